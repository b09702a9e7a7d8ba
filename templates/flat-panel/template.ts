import { circle, lineTo, openPath, type Path, rectangle } from '../../src/geometry/path.ts'
import { type Point, point } from '../../src/geometry/point.ts'
import type { Problem } from '../../src/measure/problem.ts'
import type { EdgeName } from '../../src/panel/panel.ts'
import { defineTemplate, type Values } from '../../src/panel/template.ts'
import { flatSketch } from './sketch.ts'

const specs = {
  width: { kind: 'length', min: 5, max: 20000, letter: 'A', help: 'from the left edge to the right edge' },
  height: { kind: 'length', min: 5, max: 20000, letter: 'B', help: 'from the bottom edge to the top edge' },
  radius: {
    kind: 'corners',
    max: 10000,
    letter: 'R',
    help: 'rounding of the corners: one for all, or bottomLeft, bottomRight, topRight, topLeft',
  },
  openings: {
    kind: 'list',
    help: 'what must stay free: a latch, a handle, a badge',
    item: {
      shape: { kind: 'choice', options: ['round', 'rectangular'], standard: 'rectangular', help: 'its form' },
      diameter: { kind: 'length', min: 2, max: 10000, optional: true, help: 'across a round opening' },
      width: { kind: 'length', min: 2, max: 20000, optional: true, help: 'across a rectangular opening' },
      height: { kind: 'length', min: 2, max: 20000, optional: true, help: 'up a rectangular opening' },
      radius: { kind: 'length', min: 0, max: 10000, standard: 0, help: 'rounding of a rectangular opening' },
      fromLeft: { kind: 'length', min: 0, max: 20000, help: 'from the left edge to the nearest edge of the opening' },
      fromBottom: {
        kind: 'length',
        min: 0,
        max: 20000,
        help: 'from the bottom edge to the nearest edge of the opening',
      },
    },
  },
} as const

export type FlatValues = Values<typeof specs>
type Opening = FlatValues['openings'][number]

/** Size over all of an opening, mm; NaN where the measures of its form are missing. */
function openingSize(opening: Opening): { width: number; height: number } {
  return opening.shape === 'round'
    ? { width: opening.diameter ?? Number.NaN, height: opening.diameter ?? Number.NaN }
    : { width: opening.width ?? Number.NaN, height: opening.height ?? Number.NaN }
}

/** An opening as a closed path, from the panel's lower left corner. */
export function openingPath(opening: Opening, corner: Point): Path {
  const { width, height } = openingSize(opening)
  const low = point(corner.x + opening.fromLeft, corner.y + opening.fromBottom)
  if (opening.shape === 'round') return circle(point(low.x + width / 2, low.y + width / 2), width / 2)
  const r = opening.radius
  return rectangle(low, point(low.x + width, low.y + height), [r, r, r, r])
}

export const flatPanel = defineTemplate({
  id: 'flat-panel',
  title: 'Flat panel',
  when: 'A flat face with square corners or rounded ones: a toolbox lid, a door, a sign.',
  specs,
  example: {
    measures: { width: '320 mm', height: '180 mm', radius: '12 mm' },
    shows:
      'With 1 mm on every edge it is cut 322 x 182 mm with corners of 13 mm; the hinge stands 160 mm from the left edge.',
  },
  check: ({ width, height, radius, openings }) => {
    const problems: Problem[] = []
    const pairs: [string, number, number, string][] = [
      ['bottom', radius.bottomLeft + radius.bottomRight, width, 'width'],
      ['top', radius.topLeft + radius.topRight, width, 'width'],
      ['left', radius.bottomLeft + radius.topLeft, height, 'height'],
      ['right', radius.bottomRight + radius.topRight, height, 'height'],
    ]
    for (const [edge, sum, limit, name] of pairs) {
      if (sum <= limit) continue
      problems.push({
        code: 'radii_too_big',
        field: 'radius',
        value: `${sum} mm for the two corners of the ${edge} edge`,
        limit: `the ${name} is ${limit} mm`,
        cure: `Measure the radii again; together they can be ${limit} mm at the most.`,
      })
    }
    openings.forEach((opening, i) => {
      const missing = opening.shape === 'round' ? ['diameter'] : ['width', 'height']
      for (const field of missing) {
        if (opening[field as 'diameter' | 'width' | 'height'] !== undefined) continue
        problems.push({
          code: 'missing',
          field: `openings[${i}].${field}`,
          value: 'not given',
          limit: `a ${opening.shape} opening needs ${missing.join(' and ')}`,
          cure: `Measure it and add ${field}.`,
        })
      }
      const size = openingSize(opening)
      if (opening.shape === 'rectangular' && 2 * opening.radius > Math.min(size.width, size.height)) {
        problems.push({
          code: 'radii_too_big',
          field: `openings[${i}].radius`,
          value: `${opening.radius} mm`,
          limit: `half its smaller side is ${Math.min(size.width, size.height) / 2} mm`,
          cure: 'Measure the radius again.',
        })
      }
    })
    return problems
  },
  develop: ({ width, height, radius, openings }, _facts, say) => {
    const [w, h] = [width / 2, height / 2]
    const low = point(-w, -h)
    const side = (name: EdgeName, from: Point, to: Point) => ({ name, path: openPath(from, lineTo(to)) })
    return {
      edges: [
        side('bottom', low, point(w, -h)),
        side('right', point(w, -h), point(w, h)),
        side('top', point(w, h), point(-w, h)),
        side('left', point(-w, h), low),
      ],
      radii: [radius.bottomLeft, radius.bottomRight, radius.topRight, radius.topLeft],
      holes: openings.map((opening, i) => ({ name: `openings[${i}]`, path: openingPath(opening, low) })),
      hinge: { from: point(0, -h), to: point(0, h) },
      surface: { kind: 'flat', taper: 0 },
      labelSpots: [
        [0.5, 0.5],
        [-0.5, 0.5],
        [0.5, -0.5],
        [-0.5, -0.5],
        [0.5, 0],
        [-0.5, 0],
      ].map(([x = 0, y = 0]) => ({ at: point(x * w, y * h), turn: 0 })),
      marks: [
        { code: 'hinge bottom', text: `Mark the object ${say(w)} from its left edge, at the bottom edge.` },
        { code: 'hinge top', text: `Mark the object ${say(w)} from its left edge, at the top edge.` },
      ],
      notes: [],
    }
  },
  sketch: (values, say) => flatSketch(values, say),
})
