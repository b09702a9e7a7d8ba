import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { crossings } from '../../src/geometry/intersect.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { type Path, pieces } from '../../src/geometry/path.ts'
import { add, cross, distance, dot, point, subtract, unit } from '../../src/geometry/point.ts'
import { segmentHeading } from '../../src/geometry/segment.ts'
import { selfCrossing } from '../../src/geometry/valid.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { outlineOf } from '../../templates/flat-face.ts'
import { outlineByOffsets } from '../../templates/outline-by-offsets/template.ts'
import { any } from './any/outline-by-offsets.ts'
import { edgeOf, expectClosed, faceOf } from './faces.ts'
import { mm, panelOf, say, thin, unopened } from './measures.ts'

type Row = readonly [along: number, left: number, right: number, corner?: 'yes']
const values = (rows: readonly Row[], edges: 'straight' | 'smooth', more: object = {}) => ({
  stations: rows.map(([along, left, right, corner]) => ({ along, left, right, corner: corner ?? 'no' })),
  edges,
  ...unopened,
  ...more,
})
const developed = (rows: readonly Row[], edges: 'straight' | 'smooth', more: object = {}) =>
  faceOf(outlineByOffsets.develop(values(rows, edges, more), thin, say))
const areaOf = (rows: readonly Row[], edges: 'straight' | 'smooth') =>
  signedArea(outlineOf(developed(rows, edges).edges))
const problems = (rows: readonly Row[], edges: 'straight' | 'smooth' = 'straight') =>
  outlineByOffsets.check(values(rows, edges)).map((problem) => ({ ...problem, text: formatProblem(problem) }))

/** Offsets at 10 m from a straight edge, in m (askfilo.com, a surveying exercise). */
const published = [3.25, 5.6, 4.2, 6.65, 8.75, 6.2, 3.25, 4.2, 5.65]
const surveyed = (scale: number) => published.map((offset, i): Row => [10 * i * scale, 0, offset * scale])

test('nine published offsets hold 433.000 by trapezoids', () => {
  expect(areaOf(surveyed(10), 'straight') / 100).toBeCloseTo(433, 9)
  // 10 (3.25 / 2 + 5.60 + 4.20 + 6.65 + 8.75 + 6.20 + 3.25 + 4.20 + 5.65 / 2)
  const inner = published.slice(1, -1).reduce((sum, offset) => sum + offset, 0)
  expect(10 * (inner + (3.25 + 5.65) / 2)).toBeCloseTo(433, 9)
})

test("through them the smooth edge lies between trapezoids and Simpson's 439.67, so within 6.67 of either", () => {
  const simpson =
    (10 / 3) * published.reduce((sum, y, i) => sum + y * (i === 0 || i === 8 ? 1 : i % 2 === 1 ? 4 : 2), 0)
  expect(simpson).toBeCloseTo(439.666667, 6)
  const smooth = areaOf(surveyed(10), 'smooth') / 100
  expect(smooth).toBeGreaterThan(433)
  expect(smooth).toBeLessThan(simpson)
})

/** A face 240 high, 60 wide on the left, its right edge a wave: 100 + 20 sin(2 pi y / 240). */
const wave = (count: number): Row[] =>
  Array.from({ length: count + 1 }, (_, i) => [
    (240 * i) / count,
    60,
    100 + 20 * Math.sin((2 * Math.PI * i) / count + 0.4),
  ])

test('smooth edges close in on a true curve much faster than straight ones', () => {
  const length = (edges: 'straight' | 'smooth', count: number) =>
    pathLength(edgeOf(developed(wave(count), edges), 'right'))
  // The wave's own length, added up in 200,000 chords.
  let truth = 0
  const n = 200_000
  const at = (i: number) => point(100 + 20 * Math.sin((2 * Math.PI * i) / n + 0.4), (240 * i) / n)
  for (let i = 0; i < n; i++) truth += distance(at(i), at(i + 1))
  for (const count of [8, 16, 32]) {
    const [straight, smooth] = [length('straight', count) - truth, length('smooth', count) - truth]
    expect(Math.abs(smooth)).toBeLessThan(Math.abs(straight) / 4)
  }
  expect(Math.abs(length('smooth', 32) - truth)).toBeLessThan(Math.abs(length('smooth', 8) - truth) / 16)
})

/** Heading before and after every joint inside a path. */
const turns = (path: Path) => {
  const own = [...pieces(path)]
  return own.slice(1).map(({ from, segment }, i) => {
    const before = own[i] ?? expect.fail('no piece before')
    const [u, v] = [segmentHeading(before.from, before.segment, 1), segmentHeading(from, segment, 0)]
    return Math.atan2(cross(u, v), dot(u, v))
  })
}

test('smooth edges turn sharply only where a corner is marked', () => {
  const rows: Row[] = [
    [0, 45, 110],
    [70, 66, 124],
    [150, 50, 152],
    [220, 35, 95],
  ]
  for (const name of ['right', 'left']) {
    for (const turn of turns(edgeOf(developed(rows, 'smooth'), name))) expect(Math.abs(turn)).toBeLessThan(1e-9)
  }
  const marked = rows.map(
    ([along, left, right], i): Row => (i === 2 ? [along, left, right, 'yes'] : [along, left, right]),
  )
  const [first, second] = turns(edgeOf(developed(marked, 'smooth'), 'right'))
  expect(Math.abs(first ?? 1)).toBeLessThan(1e-9)
  expect(Math.abs(second ?? 0)).toBeGreaterThan(0.5)
})

test('the middle piece of four uneven points is the centripetal curve, by the pyramid of Barry and Goldman', () => {
  const rows: Row[] = [
    [0, 60, 80],
    [20, 60, 130],
    [130, 60, 90],
    [160, 60, 60],
  ]
  const face = developed(rows, 'smooth')
  const right = [...pieces(edgeOf(face, 'right'))]
  const { from, segment } = right[1] ?? expect.fail('three pieces')
  if (segment.kind !== 'cubic') return expect.fail('a cubic')
  const shift = subtract(from, point(130, 20))
  const p = rows.map(([y, , x]) => add(point(x, y), shift))
  const knots = [0]
  for (const [i, q] of p.slice(1).entries()) knots.push((knots[i] ?? 0) + Math.sqrt(distance(p[i] ?? q, q)))
  const [t0 = 0, t1 = 0, t2 = 0, t3 = 0] = knots
  const [p0, p1, p2, p3] = p as [typeof shift, typeof shift, typeof shift, typeof shift]
  const mix = (a: typeof shift, b: typeof shift, ta: number, tb: number, t: number) => {
    const share = (t - ta) / (tb - ta)
    return point(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share)
  }
  for (const share of [0.1, 0.3, 0.5, 0.8]) {
    const t = t1 + (t2 - t1) * share
    const [a1, a2, a3] = [mix(p0, p1, t0, t1, t), mix(p1, p2, t1, t2, t), mix(p2, p3, t2, t3, t)]
    const wanted = mix(mix(a1, a2, t0, t2, t), mix(a2, a3, t1, t3, t), t1, t2, t)
    const s = 1 - share
    const found = point(
      s ** 3 * from.x +
        3 * s * s * share * segment.c1.x +
        3 * s * share ** 2 * segment.c2.x +
        share ** 3 * segment.to.x,
      s ** 3 * from.y +
        3 * s * s * share * segment.c1.y +
        3 * s * share ** 2 * segment.c2.y +
        share ** 3 * segment.to.y,
    )
    expect(distance(found, wanted)).toBeLessThan(1e-9)
  }
})

const uneven = fc.array(fc.record({ step: mm(1, 200), left: mm(5, 300), right: mm(5, 300) }), {
  minLength: 2,
  maxLength: 8,
})
const rowsOf = (drawn: readonly { step: number; left: number; right: number }[]): Row[] => {
  let along = 0
  return drawn.map(({ step, left, right }) => {
    along += step
    return [along, left, right]
  })
}

test('however uneven the stations, a smooth edge makes no loop within itself', () => {
  fc.assert(
    fc.property(uneven, (drawn) => {
      const face = developed(rowsOf(drawn), 'smooth')
      for (const { path } of face.edges) {
        for (const { from, segment } of pieces(path)) {
          // Closed by its chord: a curve that only touches its chord at the ends, or crosses it once in an S, has no loop.
          if (segment.kind !== 'cubic') continue
          const way = unit(subtract(segment.to, from))
          const own = { start: from, segments: [segment], closed: false }
          expect(crossings(own, from, way).length).toBeLessThanOrEqual(3)
          expect(dot(segmentHeading(from, segment, 0.5), way)).toBeGreaterThan(0)
        }
      }
    }),
  )
})

test('the outline runs through every offset, closed, and by trapezoids when straight', () => {
  fc.assert(
    fc.property(any, ({ template, values: own, facts }) => {
      expect(template.check(own)).toEqual([])
      const face = faceOf(template.develop(own, facts, say))
      expectClosed(face)
      panelOf([face])
      const { stations, edges } = own as unknown as ReturnType<typeof values>
      const outline = outlineOf(face.edges)
      expect(selfCrossing(outline)).toBeUndefined()
      const joints = [...pieces(outline)].map(({ from }) => from)
      // Where the base line's own lower end came to lie, from the first station.
      const first = stations[0] ?? expect.fail('no station')
      const at = (x: number, y: number) => point(x, y - first.along)
      const origin = [...joints].sort((p, q) => p.y - q.y || q.x - p.x)[0] ?? expect.fail('no joints')
      const shift = subtract(origin, at(first.right, first.along))
      for (const { along, left, right } of stations) {
        for (const x of [right, -left]) {
          const wanted = add(at(x, along), shift)
          expect(Math.min(...joints.map((p) => distance(p, wanted)))).toBeLessThan(1e-9)
        }
      }
      if (edges !== 'straight') return
      const trapezoids = stations.slice(1).reduce((sum, { along, left, right }, i) => {
        const before = stations[i] ?? first
        return sum + ((along - before.along) * (left + right + before.left + before.right)) / 2
      }, 0)
      expect(signedArea(outline) / trapezoids).toBeCloseTo(1, 12)
    }),
  )
})

test('a face with an end in a point has no edge there; a smooth one runs round it', () => {
  const leaf: Row[] = [
    [0, 0, 0],
    [60, 50, 60],
    [140, 60, 40],
    [220, 0, 0],
  ]
  const sharp = developed(leaf, 'straight')
  expect(sharp.edges.map(({ name }) => name)).toEqual(['right', 'left'])
  // Its tips stand off the hinge, so that a tick can be found.
  for (const tip of [edgeOf(sharp, 'right').start, edgeOf(sharp, 'left').start]) {
    expect(distance(tip, sharp.hinge.from)).toBeGreaterThan(4)
    expect(distance(tip, sharp.hinge.to)).toBeGreaterThan(4)
  }
  panelOf([sharp])
  const round = developed(leaf, 'smooth')
  expect(round.edges.map(({ name }) => name)).toEqual(['bottom', 'right', 'top', 'left'])
  for (const turn of turns(outlineOf(round.edges))) expect(Math.abs(turn)).toBeLessThan(1e-9)
  panelOf([round])
  const half = developed([[0, 0, 0, 'yes'], ...leaf.slice(1)], 'smooth')
  expect(half.edges.map(({ name }) => name)).toEqual(['right', 'top', 'left'])
  panelOf([half])
})

test('the hinge stays on a face that is bent like a banana, and its marks are told from the base line', () => {
  const face = developed(
    [
      [0, 0, 80],
      [70, -60, 140],
      [150, -60, 150],
      [230, 0, 80],
    ],
    'straight',
  )
  const outline = outlineOf(face.edges)
  const way = unit(subtract(face.hinge.to, face.hinge.from))
  expect(way).toEqual({ x: 0, y: 1 })
  const reaches = crossings(outline, face.hinge.from, way).map(({ reach }) => reach)
  expect(reaches).toContainEqual(expect.closeTo(0, 6))
  expect(reaches).toContainEqual(expect.closeTo(distance(face.hinge.from, face.hinge.to), 6))
  // From 80 right of the base line the lower edge rises to 140 at 70, and the upper one falls from 80 at 230 to 150 at 150.
  const told = face.marks.map(({ text }) => /object ([\d.]+) mm right of the base line, ([\d.]+) mm along/.exec(text))
  const [x = 0, low = 0] = (told[1] ?? []).slice(1).map(Number)
  const [, high = 0] = (told[2] ?? []).slice(1).map(Number)
  expect(x).toBeGreaterThan(60)
  expect(low).toBeCloseTo(Math.max(0, ((x - 80) / 60) * 70), 6)
  expect(high).toBeCloseTo(Math.min(230, 230 - ((x - 80) / 70) * 80), 6)
})

test('places are told up the base line and right of it, below 0 to the left', () => {
  const face = developed(
    [
      [0, 60, 80],
      [100, 60, 80],
    ],
    'straight',
    { points: [{ fromLeft: -20, fromBottom: 30 }] },
  )
  // The hinge stands 10 right of the base line, and its middle, the origin, 50 along.
  expect(face.points).toEqual([{ x: expect.closeTo(-30, 9), y: expect.closeTo(-20, 9) }])
})

test('stations out of order, offsets that cross and ends without width are refused by name', () => {
  const found = problems([
    [0, 0, 80],
    [70, -60, 30],
    [60, -60, 150],
    [230, 1, 0],
  ])
  expect(found.map(({ code, field }) => [code, field])).toEqual([
    ['offsets_cross', 'stations[1].left'],
    ['out_of_order', 'stations[2].along'],
    ['offsets_cross', 'stations[3].left'],
  ])
  expect(found[0]?.text).toMatch(/-60 mm, with right 30 mm; together they are the width of the face, -30 mm here/)
  expect(found[1]?.text).toMatch(/60 mm; stations\[1\] is at 70 mm/)
  expect(problems([[0, 10, 10]])).toMatchObject([{ code: 'missing', field: 'stations', value: '1 of them' }])
  const tips: Row[] = [
    [0, 0, 0],
    [100, 0, 0],
  ]
  expect(problems(tips)).toMatchObject([{ code: 'no_width', field: 'stations' }])
})

test('smooth edges that run over each other between stations are refused with the place', () => {
  // A neck 3 mm wide between two steep bends of one side.
  const neck: Row[] = [
    [0, 10, 300],
    [20, 300, -297],
    [40, 10, 300],
    [300, 10, 300],
  ]
  expect(problems(neck, 'straight')).toEqual([])
  const [problem, ...others] = problems(neck, 'smooth')
  expect(others).toEqual([])
  expect(problem).toMatchObject({ code: 'edges_cross' })
  expect(problem?.field).toMatch(/^stations\[[123]\]$/)
  expect(problem?.cure).toMatch(/Add a station between/)
})
