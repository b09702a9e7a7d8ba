import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import type { CutOutProblem } from '../geometry/cut-out.ts'
import { pathLength } from '../geometry/length.ts'
import type { Path } from '../geometry/path.ts'
import type { Point } from '../geometry/point.ts'
import { intersection, offsetRings, ringsArea, ringsOf } from '../geometry/polygon.ts'
import type { Problem } from '../measure/problem.ts'
import type { BareEdge, Development } from './development.ts'
import type { PanelEdge, Tick } from './panel.ts'
import { holdsNotch, leastForNotch, notchRoom, type Spot } from './ticks.ts'

/** The least film between an opening and the edge, and between two openings, mm (common practice, no source). */
const leastBridge = 2
/** Flattening for these checks, mm, and an area under which nothing counts, mm^2. */
const fine = 0.005
const nothing = 0.01

/** Nothing is left inside the insets, or edges that were moved out run into each other. */
export function swallowProblem(
  name: string,
  bare: Path,
  edges: readonly BareEdge[],
  allowances: readonly number[],
): Problem {
  const box = boundsOf([bare])
  const list = edges.map((edge, i) => `${edge.name} ${Number((allowances[i] ?? 0).toFixed(3))} mm`)
  if (allowances.every((allowance) => allowance >= 0)) {
    return {
      code: 'allowance_collides',
      field: `${name}.allowance`,
      value: list.join(', '),
      limit: 'moved out so far its edges run into each other, as in a dent that is narrower than twice the allowance',
      cure: 'Give less allowance on the edges that bend inward.',
    }
  }
  return {
    code: 'allowance_swallows',
    field: `${name}.allowance`,
    value: list.join(', '),
    limit: `the bare panel is ${boxWidth(box).toFixed(1)} x ${boxHeight(box).toFixed(1)} mm and nothing of it would be left`,
    cure: 'Make the insets smaller than half of it.',
  }
}

/** @param open may the shape be wrapped in part, with a gap? */
export function lapProblem(name: string, open: boolean): Problem {
  return {
    code: 'panel_overlaps_itself',
    field: name,
    value: 'so flat a cone that its panel meets itself when laid out',
    limit: 'the two seam edges must stay apart on the flat film',
    cure: open
      ? 'Wrap it in two parts: give a gap, or set overlap to 0 and leave a gap of 0.5 mm.'
      : 'Set overlap to 0, and the allowance of its left and right edges too; else cover it with a ring or a disc.',
  }
}

/** What the openings leave of the panel that is too little, or not one piece. */
export function cutOutProblem(name: string, openings: Development['holes'], found: CutOutProblem): Problem {
  const opening = openings[found.opening]?.name ?? 'openings'
  const texts: Readonly<Record<CutOutProblem['problem'], readonly [value: string, limit: string, cure: string]>> = {
    splits: ['right across the panel', 'what is left must hang together in one piece', 'Make two panels of it.'],
    swallows: ['as big as the panel', 'some film must be left', 'Check its size and the unit.'],
    outside: ['beside the panel', 'an opening must meet the film', 'Check its distances from the edges.'],
    touches: [
      'just touching an edge or another opening',
      'it must lie clear of it, or reach past it',
      'Move it by half a millimetre one way or the other.',
    ],
  }
  const [value, limit, cure] = texts[found.problem]
  return { code: `opening_${found.problem}`, field: `${name}.${opening}`, value, limit, cure }
}

/** Openings with too little film beside them. `holes` are those that do not reach past the edge. */
export function holeProblems(
  name: string,
  openings: Development['holes'],
  holes: readonly Path[],
  outline: Path,
): Problem[] {
  if (holes.length === 0) return []
  const problems: Problem[] = []
  const inner = offsetRings(ringsOf([outline], fine), -leastBridge)
  const rings = holes.map((hole) => ringsOf([hole], fine))
  const fieldOf = (hole: Path) => `${name}.${openings.find((opening) => opening.path === hole)?.name ?? 'openings'}`
  holes.forEach((hole, i) => {
    const own = rings[i] ?? []
    if (ringsArea(intersection(own, inner)) < ringsArea(own) - nothing) {
      problems.push({
        code: 'opening_near_edge',
        field: fieldOf(hole),
        value: `less than ${leastBridge} mm from the cut edge`,
        limit: `the least film beside an opening is ${leastBridge} mm`,
        cure: 'Move it in, or let it reach past the edge (a distance below 0).',
      })
    }
    const grown = offsetRings(own, leastBridge)
    holes.slice(i + 1).forEach((other, k) => {
      if (ringsArea(intersection(grown, rings[i + 1 + k] ?? [])) <= nothing) return
      problems.push({
        code: 'openings_too_near',
        field: fieldOf(hole),
        value: `less than ${leastBridge} mm from ${fieldOf(other).slice(name.length + 1)}`,
        limit: `the least film between two openings is ${leastBridge} mm`,
        cure: 'Move them apart, or measure them as one.',
      })
    })
  })
  return problems
}

/** Places to find again that come nowhere onto the film; those in an opening count as on it. */
export function pointProblems(name: string, points: readonly (readonly Point[])[]): Problem[] {
  return points.flatMap((places, i) =>
    places.length > 0
      ? []
      : [
          {
            code: 'point_outside',
            field: `${name}.points[${i}]`,
            value: 'beside the panel',
            limit: 'a place to find again must lie on the film',
            cure: 'Check its distances from the edges.',
          },
        ],
  )
}

/** Letters and the like that the outline would cut, because it was taken in too far. */
export function innerProblems(name: string, inner: readonly Path[], outline: Path): Problem[] {
  if (inner.length === 0) return []
  const film = offsetRings(ringsOf([outline], fine), -1)
  const lost = inner.some((path) => {
    const own = ringsOf([path], fine)
    return Math.abs(ringsArea(intersection(own, film))) < Math.abs(ringsArea(own)) - nothing
  })
  if (!lost) return []
  return [
    {
      code: 'inset_cuts_inside',
      field: `${name}.allowance`,
      value: 'so far in that the edge comes within 1 mm of what is cut inside',
      limit: 'at least 1 mm of film must be left round it',
      cure: 'Make the inset smaller, or the border wider.',
    },
  ]
}

export function hingeProblem(name: string): Problem {
  return {
    code: 'hinge_off_panel',
    field: `${name}.allowance`,
    value: 'so far in on one side that the hinge misses the panel',
    limit: 'the hinge stands where it was measured, whatever the allowances',
    cure: 'Give insets that leave that line on the panel, or hang it elsewhere: hinge level, or a length.',
  }
}

export function notchProblems(name: string, edges: readonly PanelEdge[]): Problem[] {
  return edges
    .filter((edge) => !holdsNotch(edge))
    .map((edge) => ({
      code: 'notch_needs_allowance',
      field: `${name}.allowance.${edge.name}`,
      value: `${Number(edge.allowance.toFixed(3))} mm`,
      limit: `a notch needs ${leastForNotch} mm or more, so that it ends before the measured edge`,
      cure: 'Give that edge more allowance, or leave ticks on auto.',
    }))
}

/** An overlap or an inset may leave no room for a notch beside a corner. */
export function tickProblems(
  name: string,
  ticks: readonly { readonly spot: Spot; readonly role: Tick['role'] }[],
): Problem[] {
  return ticks.flatMap(({ spot, role }) => {
    if (!spot.edge || (spot.edge.lapped && !holdsNotch(spot.edge))) return []
    const room = Math.min(spot.length, pathLength(spot.edge.outline) - spot.length)
    if (room >= notchRoom) return []
    return [
      {
        code: 'notch_needs_room',
        field: role === 'seam' ? `${name}.overlap` : `${name}.allowance`,
        value: `a ${role} tick ${room.toFixed(2)} mm from the corner`,
        limit: `a notch keeps ${notchRoom} mm from a corner`,
        cure: 'Make that distance bigger, or set ticks to waste.',
      },
    ]
  })
}

export function stripProblem(name: string, strip: number): Problem {
  return {
    code: 'strip_too_wide',
    field: `${name}.strip`,
    value: `${strip} mm`,
    limit: 'both slits must cross the panel beside the hinge',
    cure: 'Give a narrower strip, or set slit to one.',
  }
}
