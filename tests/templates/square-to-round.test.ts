import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { closedPath, endOf, type Path } from '../../src/geometry/path.ts'
import { distance, dot, norm, type Point, subtract } from '../../src/geometry/point.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import type { Development } from '../../src/panel/development.ts'
import { squareToRound } from '../../templates/square-to-round/template.ts'
import { layTransition, transitionOf } from '../../templates/square-to-round/transition.ts'
import { any } from './any/square-to-round.ts'
import { panelsOf, plainOptions, say, thin } from './measures.ts'

const hood = {
  length: 200,
  width: 200,
  diameter: 120 as number | undefined,
  girth: undefined as number | undefined,
  height: 100,
  right: 0,
  back: 0,
  slant: undefined as number | undefined,
  panels: 'one',
  seam: 'back',
  overlap: 6,
  divisions: 36,
}
const developed = (values: object = {}, facts = thin) => squareToRound.develop({ ...hood, ...values }, facts, say)
const laid = (divisions: number) => layTransition(transitionOf({ ...hood, divisions }, 120), 0, 4)
const problems = (values: object) =>
  squareToRound.check({ ...hood, ...values }).map((problem) => ({ ...problem, text: formatProblem(problem) }))
const edgesOf = ({ edges }: Development): [Path, Path, Path, Path] => {
  const [bottom, right, top, left] = edges.map(({ path }) => path)
  return bottom && right && top && left ? [bottom, right, top, left] : expect.fail('four edges')
}
const areaOf = (development: Development) => {
  const own = edgesOf(development)
  return signedArea(
    closedPath(
      own[0].start,
      own.flatMap(({ segments }) => segments),
    ),
  )
}
const angleAt = (tip: Point, a: Point, b: Point) => {
  const [u, v] = [subtract(a, tip), subtract(b, tip)]
  return (Math.acos(dot(u, v) / norm(u) / norm(v)) * 180) / Math.PI
}
/** Sum of the angles at the first corner between the elements to the first quarter of the rim, degrees. */
function cornerFan(divisions: number): number {
  const { low, high } = laid(divisions)
  const tip = low[1] ?? expect.fail('no corner')
  return high
    .slice(1, divisions + 1)
    .reduce((sum, p, k) => sum + angleAt(tip, high[k] ?? expect.fail('no element'), p), 0)
}

test('a square of 200 mm to a circle of 120 mm, 100 mm up, has the true lengths sqrt(plan^2 + height^2)', () => {
  const { low, high } = laid(6)
  const lengths = high.slice(0, 7).map((p) => distance(low[1] ?? p, p))
  const quarter = [146.969385, 137.488405, 131.178105, 128.955175, 131.178105, 137.488405, 146.969385]
  expect(lengths).toEqual(quarter.map((l) => expect.closeTo(l, 6)))
  const four = laid(4)
  expect(distance(four.low[1] ?? expect.fail('no corner'), four.high[1] ?? expect.fail('no rim'))).toBeCloseTo(
    133.870252,
    6,
  )
  // Chords of 2 r sin(15 degrees) and 2 r sin(11.25 degrees).
  const chord = (points: readonly Point[]) => points[0] && points[1] && distance(points[0], points[1])
  expect(chord(laid(3).high)).toBeCloseTo(31.058285, 6)
  expect(chord(four.high)).toBeCloseTo(23.410839, 6)
})

test('its flat triangles are 200 mm wide and 107.703296 mm high, with angles of 85.751977 and 47.124011 degrees', () => {
  const { low, high } = laid(3)
  const [a, b, tip] = [low[1], low[2], high[3]]
  if (!a || !b || !tip) return expect.fail('no triangle')
  expect(distance(a, b)).toBeCloseTo(200, 9)
  expect(angleAt(tip, a, b)).toBeCloseTo(85.751977, 6)
  expect(angleAt(a, tip, b)).toBeCloseTo(47.124011, 6)
  expect(angleAt(b, tip, a)).toBeCloseTo(47.124011, 6)
  expect(edgesOf(developed()[0] ?? expect.fail('no panel'))[1]).toSatisfy(
    (side: Path) => Math.abs(pathLength(side) - 107.703296) < 1e-6,
  )
})

test('its corners fan out by 35.703566 degrees in 3 chords, 35.960541 in 6, and 36.04864 in the end', () => {
  expect(cornerFan(3)).toBeCloseTo(35.703566, 6)
  expect(cornerFan(6)).toBeCloseTo(35.960541, 6)
  expect(cornerFan(3000)).toBeCloseTo(36.04864, 6)
})

test('its area is 65956.982036 mm^2 in 3 chords a corner and comes to 65891.029981 from above', () => {
  expect(laid(3).area).toBeCloseTo(65956.982036, 5)
  expect(laid(3000).area).toBeCloseTo(65891.029981, 3)
  expect(laid(36).area).toBeGreaterThan(65891.029981)
})

test('the error of angle and area falls to a quarter with twice the divisions', () => {
  for (const divisions of [12, 24, 48]) {
    const area = (n: number) => laid(n).area - 65891.029981
    const fan = (n: number) => 36.04864 - cornerFan(n)
    expect(area(divisions) / area(2 * divisions)).toBeCloseTo(4, 1)
    expect(fan(divisions) / fan(2 * divisions)).toBeCloseTo(4, 1)
  }
})

/** Area of the smooth skin, mm^2: four flat triangles, and about each corner half of |(p - c) x p'| by Simpson's rule. */
function skinArea({ length, width, height, right, back }: typeof hood, diameter: number): number {
  const r = diameter / 2
  const corners = [
    [1, -1],
    [1, 1],
    [-1, 1],
    [-1, -1],
  ] as const
  let area = 0
  corners.forEach(([sx, sy], i) => {
    const c = [(sx * length) / 2, (sy * width) / 2, 0] as const
    const speed = (f: number) => {
      const u = [right + r * Math.cos(f) - c[0], back + r * Math.sin(f) - c[1], height] as const
      const v = [-r * Math.sin(f), r * Math.cos(f)] as const
      return Math.hypot(u[2] * v[1], u[2] * v[0], u[0] * v[1] - u[1] * v[0]) / 2
    }
    const count = 400
    for (let k = 0; k < count; k++) {
      const [a, b] = [i - 1 + k / count, i - 1 + (k + 1) / count].map((t) => (t * Math.PI) / 2) as [number, number]
      area += ((b - a) / 6) * (speed(a) + 4 * speed((a + b) / 2) + speed(b))
    }
  })
  const up = (out: number) => Math.hypot(height, out)
  const sides = [
    up(width / 2 + back - r),
    up(width / 2 - back - r),
    up(length / 2 + right - r),
    up(length / 2 - right - r),
  ]
  const [front = 0, rear = 0, left = 0, side = 0] = sides
  return area + (length * (front + rear)) / 2 + (width * (left + side)) / 2
}

test('any transition in 180 divisions has the area of its smooth skin, to 1 in 10,000', () => {
  fc.assert(
    fc.property(any, ({ template, values }) => {
      const own = { ...hood, ...values, divisions: 180 } as typeof hood
      const panels = template.develop(own, thin, say)
      const sum = panels.reduce((area, panel) => area + areaOf(panel), 0)
      const exact = skinArea(own, own.diameter ?? (own.girth ?? 0) / Math.PI)
      expect(Math.abs(sum / exact - 1)).toBeLessThan(1e-4)
    }),
    { numRuns: 60 },
  )
})

/** Area of the triangles in the air, mm^2, each by the sides between its places (Heron, as W. Kahan writes it). */
function facesArea(own: typeof hood, diameter: number): number {
  const { corners, rim } = transitionOf(own, diameter)
  const between = (a: { x: number; y: number; z: number }, b: typeof a) => Math.hypot(a.x - b.x, a.y - b.y, a.z - b.z)
  const heron = (p: Parameters<typeof between>[0], q: typeof p, s: typeof p) => {
    const [a = 0, b = 0, c = 0] = [between(p, q), between(q, s), between(s, p)].sort((x, y) => y - x)
    return Math.sqrt((a + (b + c)) * (c - (a - b)) * (c + (a - b)) * (a + (b - c))) / 4
  }
  let area = 0
  for (let i = 0; i < 4; i++) {
    const [c, before] = [corners[i], corners[(i + 3) % 4]]
    if (!c || !before) return expect.fail('four corners')
    area += heron(before, c, rim(i))
    for (let k = 0; k < own.divisions; k++)
      area += heron(c, rim(i + k / own.divisions), rim(i + (k + 1) / own.divisions))
  }
  return area
}

test('any transition lies flat with the area of its faces, its edges full, and what meets as long as what it meets', () => {
  let pairs = 0
  fc.assert(
    fc.property(any, ({ template, values }) => {
      const own = values as typeof hood
      const panels = template.develop(values, thin, say)
      const diameter = own.diameter ?? (own.girth ?? 0) / Math.PI
      const area = panels.reduce((sum, panel) => sum + areaOf(panel), 0)
      expect(Math.abs(area / facesArea(own, diameter) - 1)).toBeLessThan(1e-9)
      const all = panels.map(edgesOf)
      const sum = (i: 0 | 2) => all.reduce((length, edges) => length + pathLength(edges[i]), 0)
      expect(sum(0)).toBeCloseTo(2 * (own.length + own.width), 8)
      const n = own.divisions
      expect(sum(2)).toBeCloseTo(4 * n * diameter * Math.sin(Math.PI / (4 * n)), 8)
      const sides = panels.flatMap(({ edges }) => edges.filter(({ name }) => name === 'right' || name === 'left'))
      for (const { name, seam, path } of sides) {
        const met = sides.filter((other) => other.name !== name && other.seam === seam)
        expect(met).toHaveLength(1)
        for (const other of met) expect(Math.abs(pathLength(other.path) - pathLength(path))).toBeLessThan(1e-9)
        pairs++
      }
    }),
    { numRuns: 60 },
  )
  expect(pairs).toBeGreaterThan(120)
})

test('the hinge stands upright through the middle of the lower and the upper edge of each panel', () => {
  for (const values of [{}, { panels: 'two', right: 30, back: -20 }, { seam: 'left', length: 320, divisions: 5 }]) {
    for (const development of developed(values)) {
      const [bottom, , top] = edgesOf(development)
      const { from, to } = development.hinge
      expect([from.x, to.x]).toEqual([0, 0])
      for (const [edge, p] of [
        [bottom, from],
        [top, to],
      ] as const) {
        const corners = [edge.start, ...edge.segments.map((segment) => segment.to)]
        const middle = (corners.length - 1) / 2
        const [a, b] = [corners[Math.floor(middle)], corners[Math.ceil(middle)]]
        if (!a || !b) return expect.fail('no middle')
        expect((a.x + b.x) / 2).toBeCloseTo(p.x, 9)
        expect((a.y + b.y) / 2).toBeCloseTo(p.y, 9)
      }
      expect(endOf(bottom).x).toBeGreaterThan(bottom.start.x)
    }
  }
})

test('two halves are named by the face in their middle and meet by the codes of their seams', () => {
  const halves = developed({ panels: 'two', seam: 'front', length: 320 })
  expect(halves.map(({ part }) => part)).toEqual(['right half', 'left half'])
  expect(halves.map(({ edges }) => edges.map(({ seam, lap }) => [seam, lap]))).toEqual([
    [
      [undefined, undefined],
      ['B', 6],
      [undefined, undefined],
      ['A', 0],
    ],
    [
      [undefined, undefined],
      ['A', 6],
      [undefined, undefined],
      ['B', 0],
    ],
  ])
  // The right face is the middle of the first half: 100 mm to its corners, a quarter of 377 mm of rim to its lines.
  const texts = halves[0]?.marks.map(({ text }) => text).join(' ')
  expect(texts).toContain('lower edge of the right face, 100 mm from either corner')
  expect(texts).toContain(`farthest to the right, ${(Math.PI * 120) / 4} mm round it`)
})

test('the cut panel has ticks at the corners, at the middle of each bend, and at the middle of the flat faces', () => {
  const [panel] = panelsOf(developed(), { ...plainOptions })
  if (!panel) return expect.fail('no panel')
  const marks = panel.ticks.map(({ mark, edge }) => `${mark}, ${edge}`)
  for (const bend of ['front right', 'back right', 'back left', 'front left']) {
    expect(marks).toContain(`bend ${bend} bottom, bottom`)
    expect(marks).toContain(`bend ${bend} top, top`)
  }
  expect(marks).toContain('flat left top, top')
  expect(marks).not.toContain('flat front top, top')
  expect(panel.surface).toBeUndefined()
})

test('the middle of a bend is the shortest way from its corner to the rim of an upright transition', () => {
  const bends = (divisions: number) =>
    (developed({ divisions })[0]?.tickLines ?? [])
      .filter(({ role }) => role === 'fold')
      .map(({ line }) => distance(line.from, line.to))
  // At 45 degrees; between two places of the rim the middle of their chord: sqrt(131.178105^2 - 15.529143^2).
  expect(bends(6)).toEqual([1, 2, 3, 4].map(() => expect.closeTo(128.955175, 6)))
  expect(bends(3)).toEqual([1, 2, 3, 4].map(() => expect.closeTo(130.255675, 4)))
})

test('the drawing shows the measures, and the letters of the fields where there are none', () => {
  const words = (values?: object) => {
    const own = values && ({ ...hood, ...values } as Parameters<typeof squareToRound.sketch>[0])
    return squareToRound.sketch(own, say).items.flatMap((item) => (item.kind === 'words' ? [item.text] : []))
  }
  expect(words({ length: 310, right: 40, slant: 107 })).toEqual(
    expect.arrayContaining(['310 mm', '200 mm', '120 mm', '100 mm', 'slant 107 mm', 'X 40 mm, Y 0 mm']),
  )
  expect(words()).toEqual(expect.arrayContaining(['A  length', 'B  width', 'C  height', 'D  diameter', 'S  slant']))
})

test('the film is as long as its own middle round the rim', () => {
  const rim = (values: object, facts = thin) =>
    pathLength(edgesOf(developed({ divisions: 180, ...values }, facts)[0] ?? expect.fail('no panel'))[2])
  // Up from the corner (100, 100) to the rim at the angle a the skin leans by 60 - 100 (cos a + sin a) over a height of
  // 100, and the sheet lies square to it: the rim grows by half the sheet times the integral of that cosine (Meusnier).
  const cosine = (a: number) => 100 / Math.hypot(100, 60 - 100 * (Math.cos(a) + Math.sin(a)))
  const parts = Array.from({ length: 1001 }, (_, i) => (i === 0 || i === 1000 ? 1 : 2) * cosine((Math.PI * i) / 2000))
  const whole = (4 * parts.reduce((a, b) => a + b) * Math.PI) / 4000
  expect(whole).toBeCloseTo(2 * Math.PI * 0.829, 2)
  for (const filmThickness of [0.08, 2]) {
    const grown = rim({}, { filmThickness, tapeThickness: 0 }) - rim({})
    expect(grown / ((filmThickness / 2) * whole)).toBeCloseTo(1, 2)
  }
  const taped = { diameter: undefined, girth: 120 * Math.PI + 0.2 * Math.PI }
  expect(rim(taped, { filmThickness: 0, tapeThickness: 0.2 })).toBeCloseTo(rim({}), 9)
})

test('the middle of the film turns about each lower corner by its own thickness, as round a box', () => {
  const low = (values: object, filmThickness: number) =>
    pathLength(edgesOf(developed(values, { filmThickness, tapeThickness: 0 })[0] ?? expect.fail('no panel'))[0])
  // Faces lean by 40 over 100, so their normals are apart by acos(40^2 / (100^2 + 40^2)) = 1.432453; four corners of
  // 1 mm make 5.7298, and of 0.04 mm 0.2292.
  expect(Math.abs((low({}, 2) - low({}, 0)) / 5.7298 - 1)).toBeLessThan(0.04)
  expect(Math.abs((low({}, 0.08) - low({}, 0)) / 0.2292 - 1)).toBeLessThan(0.04)
  // Hardly leaning at all it is a box: pi times the thickness.
  const box = { diameter: 190, height: 3000 }
  expect((low(box, 2) - low(box, 0)) / (2 * Math.PI)).toBeGreaterThan(0.99)
  expect((low(box, 2) - low(box, 0)) / (2 * Math.PI)).toBeLessThan(1.0001)
})

test('an inset and no thickness of tape change nothing about that', () => {
  const [panel] = developed({}, { filmThickness: 0.08, tapeThickness: 0 })
  const inset = { ...plainOptions, allowances: { other: -2 } }
  expect(panelsOf([panel ?? expect.fail('no panel')], inset)).toHaveLength(1)
})

test('a round edge of few straight pieces says how much it is short, and one of many does not', () => {
  const notes = (values: object) => developed(values)[0]?.notes
  // 8 chords of 120 sin(pi/8) are 367.376 mm, of 376.991 mm.
  expect(notes({ divisions: 2 })).toEqual([expect.stringMatching(/as 8 straight pieces, 9\.615\d* mm shorter/)])
  expect(notes({})).toEqual([])
  // The hood is 107.703 mm up the middle of its front face.
  expect(notes({ slant: 109 })).toEqual([expect.stringMatching(/^The slant read is 1\.296\d* mm more/)])
})

test('one of diameter and girth is wanted', () => {
  expect(problems({})).toEqual([])
  expect(problems({ diameter: undefined })).toMatchObject([{ code: 'missing', field: 'diameter' }])
  expect(problems({ girth: 377 })).toMatchObject([{ code: 'contradiction', field: 'girth' }])
})

test('a slant that the other measures cannot give is refused with its size and the reading to repeat', () => {
  // The hood is 107.7 mm up the middle of its front face.
  expect(problems({ slant: 110 })).toEqual([])
  const [problem] = problems({ slant: 100 })
  expect(problem).toMatchObject({ code: 'contradiction', field: 'slant', value: '100 mm' })
  expect(problem?.text).toMatch(/give 107\.7 mm, which is 7\.7 mm more\. Measure height again, then slant/)
  expect(problems({ slant: 100, back: 90 })[0]?.text).toMatch(/Measure width, back and the round end again/)
})
