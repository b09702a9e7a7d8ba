import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { between, distance, type Point, point } from '../../src/geometry/point.ts'
import type { Panel } from '../../src/panel/panel.ts'
import { onObject, onPanel } from '../../src/panel/surface.ts'
import { straightBand } from '../../templates/straight-band/template.ts'
import { taperedBand } from '../../templates/tapered-band/template.ts'
import { surfaceOf } from '../panel/simple.ts'
import { mm, panelOf, say, thin } from './measures.ts'

const boss = { shape: 'round' as const, diameter: 30, width: undefined, height: undefined, radius: 0 }
const badge = { shape: 'rectangular' as const, diameter: undefined, width: 50, height: 20, radius: 4 }

const tin = (values: object, facts = thin) =>
  panelOf(
    straightBand.develop(
      {
        girth: 300,
        diameter: undefined,
        height: 95,
        gap: undefined,
        span: undefined,
        overlap: 6,
        ...values,
      } as Parameters<typeof straightBand.develop>[0],
      facts,
      say,
    ),
  )

const laidPail = (values: object) =>
  taperedBand.develop(
    {
      bottomDiameter: undefined,
      topDiameter: undefined,
      height: undefined,
      gap: undefined,
      bottomGap: undefined,
      topGap: undefined,
      overlap: undefined,
      openings: [],
      points: [],
      ...values,
    } as Parameters<typeof taperedBand.develop>[0],
    thin,
    say,
  )
const pail = (values: object) => panelOf(laidPail(values))

const middleOf = ({ holes: [hole] }: Panel) => {
  const { low, high } = boundsOf([hole ?? expect.fail('no hole')])
  return point((low.x + high.x) / 2, (low.y + high.y) / 2)
}

describe('an opening on a cylinder', () => {
  test('that is round comes out as a circle in girth distance', () => {
    const panel = tin({ openings: [{ ...boss, fromLeft: 60, fromBottom: 20 }], points: [] })
    const [hole = expect.fail('no hole')] = panel.holes
    expect(hole.segments.map((segment) => segment.kind)).toEqual(['arc', 'arc'])
    expect(signedArea(hole)).toBeCloseTo(Math.PI * 15 * 15, 9)
    // 300 mm round: the left edge is at -150, so the middle is at -150 + 60 + 15, and 20 + 15 up from -47.5.
    expect(distance(middleOf(panel), point(-75, -12.5))).toBeLessThan(1e-9)
  })

  test('is measured by the tape that measured the girth: the film over it counts along its own middle', () => {
    const facts = { filmThickness: 0.5, tapeThickness: 0.1 }
    const panel = tin({ openings: [{ ...boss, fromLeft: 60, fromBottom: 20 }], points: [] }, facts)
    const film = 300 + Math.PI * 0.4
    expect(middleOf(panel).x).toBeCloseTo(-film / 2 + (75 * film) / 300, 9)
  })

  test('reaches past the edge where it was measured so', () => {
    const panel = tin({ openings: [{ ...badge, radius: 0, fromLeft: 100, fromBottom: -8 }], points: [] })
    expect(panel.holes).toEqual([])
    // 50 mm wide, 20 - 8 mm up from the measured edge, and 1 mm of allowance below it.
    expect(signedArea(panel.outline)).toBeCloseTo(306 * 97 - 50 * 13, 6)
  })
})

const anyCone = fc.record({ mid: mm(400, 1500), slant: mm(150, 300), turn: mm(-2, 2) }).map(({ mid, slant, turn }) => {
  const half = Math.max(-mid / 2, Math.min(mid / 2, (turn * slant) / 2))
  return { bottomGirth: mid - half, topGirth: mid + half, slant }
})

describe('on a cone', () => {
  test('points of the object go to the panel and back within 1e-9 mm', () => {
    fc.assert(
      fc.property(anyCone, mm(0.02, 0.98), mm(0, 1), (cone, share, height) => {
        const fromBottom = height * cone.slant
        const girth = cone.bottomGirth + (cone.topGirth - cone.bottomGirth) * height
        const panel = pail({ ...cone, points: [{ fromLeft: share * girth, fromBottom }] })
        const [p = expect.fail('no point')] = panel.points
        const surface = surfaceOf(panel)
        const { round, up } = onObject(surface, p)
        expect(distance(onPanel(surface, round, up), p)).toBeLessThan(1e-9)
        // Its share of the level line is the share that was measured, at the height that was measured.
        const mid = (cone.bottomGirth + cone.topGirth) / 2
        expect(Math.abs((round / mid + 0.5) * girth - share * girth)).toBeLessThan(1e-9 * mid)
        expect(Math.abs(up + cone.slant / 2 - fromBottom)).toBeLessThan(1e-9 * cone.slant)
      }),
      { numRuns: 200 },
    )
  })

  test('an opening keeps its form and area and stands upright at its own place', () => {
    fc.assert(
      fc.property(anyCone, mm(0.2, 0.7), (cone, share) => {
        const panel = pail({ ...cone, openings: [{ ...badge, fromLeft: share * 300, fromBottom: 60 }] })
        const [hole = expect.fail('no hole')] = panel.holes
        expect(signedArea(hole)).toBeCloseTo(50 * 20 - (4 - Math.PI) * 16, 6)
        const surface = surfaceOf(panel)
        const { low, high } = boundsOf([hole])
        expect(high.x - low.x).toBeLessThan(Math.hypot(50, 20) + 1e-9)
        expect(high.y - low.y).toBeLessThan(Math.hypot(50, 20) + 1e-9)
        // Middle to middle of its upper side runs along a ray: the same way round, 10 mm further up.
        const middle = point((low.x + high.x) / 2, (low.y + high.y) / 2)
        const { round, up } = onObject(surface, middle)
        const above = onPanel(surface, round, up + 10)
        expect(Math.min(...hole.segments.map(({ to }) => Math.abs(distance(to, above) - 21)))).toBeLessThan(1e-6)
      }),
      { numRuns: 60 },
    )
  })

  test('beside a gap of one width it stands off the gap by the level distance that was measured', () => {
    // Laid out about the apex the gap's edges are parallel to the ray between them, half its width away: worked out
    // here in polar coordinates, the film's left edge being at T/2 - asin(gap / 2 rho) from the hinge.
    const [bottomGirth, topGirth, slant, gap] = [600, 800, 200, 40]
    const panel = pail({ bottomGirth, topGirth, slant, gap, points: [{ fromLeft: 120, fromBottom: 70 }] })
    const [p = expect.fail('no point')] = panel.points
    const angle = (topGirth - bottomGirth) / slant
    const rho = bottomGirth / angle + 70
    const left = -(angle / 2 - Math.asin(gap / 2 / rho))
    const turn = left + 120 / rho
    const apex = -(bottomGirth / angle + slant / 2)
    expect(distance(p, point(rho * Math.sin(turn), apex + rho * Math.cos(turn)))).toBeLessThan(1e-9)
  })
})

/** A place of the flat panel on the cone in space and by tape, worked out about the apex of the cone's own measures. */
function onCone({ bottomGirth, topGirth, slant }: { bottomGirth: number; topGirth: number; slant: number }) {
  const pattern = (topGirth - bottomGirth) / slant
  const atFoot = bottomGirth / pattern
  const apex = point(0, -(atFoot + slant / 2))
  const sine = Math.abs(pattern) / (2 * Math.PI)
  return (p: Point) => {
    const rho = Math.sign(pattern) * distance(p, apex)
    const turn = Math.atan2(p.x, Math.sign(pattern) * (p.y - apex.y))
    const [radius, angle] = [Math.abs(rho) * sine, (turn * 2 * Math.PI) / Math.abs(pattern)]
    const space = [
      radius * Math.cos(angle),
      radius * Math.sin(angle),
      Math.abs(rho) * Math.sqrt(1 - sine * sine),
    ] as const
    // Level from the seam, opposite the hinge, and up the side from the lower edge.
    return { space, level: radius * (Math.PI + angle), up: rho - atFoot }
  }
}

describe('an opening on a steep cone stands where its words say', () => {
  const steep = fc
    .record({
      mid: mm(500, 1500),
      slant: mm(150, 300),
      turn: fc.oneof(mm(-4, -0.3), mm(0.3, 4)),
      size: fc.tuple(mm(20, 90), mm(20, 60)),
    })
    .map(({ mid, slant, turn, size: [width, height] }) => {
      const half = Math.max(-mid / 2, Math.min(mid / 2, (turn * slant) / 2))
      return { cone: { bottomGirth: mid - half, topGirth: mid + half, slant }, width, height }
    })
  const check = (
    cone: { bottomGirth: number; topGirth: number; slant: number },
    opening: typeof badge,
    fromLeft: number,
    fromBottom: number,
  ) => {
    const [laid] = laidPail({ ...cone, openings: [{ ...opening, fromLeft, fromBottom }] })
    const hole = laid?.holes[0]?.path ?? expect.fail('no hole')
    const [a, b, c, d] = hole.segments.map(({ to }) => to) as [Point, Point, Point, Point]
    // The rectangle runs from its lower left corner: to the right, up, to the left, down.
    const sides = {
      lower: between(d, a, 0.5),
      right: between(a, b, 0.5),
      upper: between(b, c, 0.5),
      left: between(c, d, 0.5),
    }
    const seen = onCone(cone)
    expect(seen(sides.left).level).toBeCloseTo(fromLeft, 6)
    expect(seen(sides.lower).up).toBeCloseTo(fromBottom, 6)
    const walked = (from: Point, to: Point) => {
      const places = Array.from({ length: 501 }, (_, i) => seen(between(from, to, i / 500)).space)
      return places.slice(1).reduce((sum, [x, y, z], i) => {
        const [px, py, pz] = places[i] ?? [x, y, z]
        return sum + Math.hypot(x - px, y - py, z - pz)
      }, 0)
    }
    expect(walked(sides.left, sides.right)).toBeCloseTo(opening.width, 4)
    expect(walked(sides.lower, sides.upper)).toBeCloseTo(opening.height, 4)
  }

  test('100 x 60 mm on girths of 1100 and 400, 180 mm up', () => {
    check({ bottomGirth: 1100, topGirth: 400, slant: 180 }, { ...badge, width: 100, height: 60, radius: 0 }, 300, 60)
  })

  test('of any size, on cones either way up, by steps on the cone itself', () => {
    fc.assert(
      fc.property(steep, ({ cone, width, height }) => {
        check(cone, { ...badge, width, height, radius: 0 }, 80, 60)
      }),
      { numRuns: 40 },
    )
  })

  test('and the sheet says how far its corners stand from the level of its sides', () => {
    const opening = { ...badge, width: 100, height: 60, radius: 0, fromLeft: 300, fromBottom: 60 }
    const { notes } = pail({ bottomGirth: 1100, topGirth: 400, slant: 180, openings: [opening] })
    // About the apex the lower side stands at 1100 / T - 60 with T = 700 / 180, its corners at hypot(that, 50).
    const low = 1100 / (700 / 180) - 60
    expect(notes).toHaveLength(1)
    expect(Number(/stand ([\d.]+) mm lower than/.exec(notes[0] ?? '')?.[1])).toBeCloseTo(Math.hypot(low, 50) - low, 6)
    expect(pail({ bottomGirth: 700, topGirth: 690, slant: 180, openings: [opening] }).notes).toEqual([])
  })
})
