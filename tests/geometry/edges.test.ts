import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { joinEdges, movedOut } from '../../src/geometry/edges.ts'
import { fittedCurve } from '../../src/geometry/fit.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { arcTo, cubicTo, endOf, lineTo, openPath, type Path, polyline } from '../../src/geometry/path.ts'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import { expectSimple } from '../panel/simple.ts'

/** One straight edge from each corner to the next. */
const straightEdges = (...corners: readonly Point[]): Path[] =>
  corners.map((p, i) => openPath(p, lineTo(corners[(i + 1) % corners.length] as Point)))

const allMoved = (edges: readonly Path[], moves: number | readonly number[]): Path[] =>
  edges.map((edge, i) => {
    const move = typeof moves === 'number' ? moves : (moves[i] ?? 0)
    return movedOut(edge, move) ?? expect.fail(`edge ${i} does not move by ${move}`)
  })

const joined = (edges: readonly Path[], moves: number | readonly number[]) =>
  joinEdges(allMoved(edges, moves)) ?? expect.fail('the edges do not meet')

/** A cosine wave of `rise` mm over `span` mm from `from` to the right, `beats` times up and down. */
const wave = (from: Point, span: number, rise: number, beats: number): Path => {
  const k = (2 * Math.PI * beats) / span
  return fittedCurve(
    (t) => point(from.x + t, from.y + rise * Math.cos(k * t)),
    (t) => point(1, -rise * k * Math.sin(k * t)),
    0,
    span,
  )
}

/** Is the path straight from each of these to the next? */
function expectCorners(path: Path, corners: readonly Point[]): void {
  expect(path.segments.map((s) => s.kind)).toEqual(corners.slice(1).map(() => 'line'))
  const found = [path.start, ...path.segments.map((s) => s.to)]
  for (const [i, corner] of corners.entries()) expect(distance(found[i] as Point, corner)).toBeLessThan(1e-9)
}

const toChord = (p: Point, a: Point, b: Point): number => {
  const square = (b.x - a.x) ** 2 + (b.y - a.y) ** 2
  const t = square === 0 ? 0 : ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / square
  const s = Math.max(0, Math.min(1, t))
  return Math.hypot(a.x + s * (b.x - a.x) - p.x, a.y + s * (b.y - a.y) - p.y)
}

const toChords = (p: Point, chords: readonly Point[]): number =>
  chords.slice(1).reduce((least, b, i) => Math.min(least, toChord(p, chords[i] as Point, b)), Infinity)

const rectangle = straightEdges(point(0, 0), point(100, 0), point(100, 60), point(0, 60))
const triangle = straightEdges(point(0, 0), point(14, 0), point(5, 12))
/** Two straight sides of 100 mm and two half turns of radius 20, all tangent. */
const stadium = [
  openPath(point(0, 0), lineTo(point(100, 0))),
  openPath(point(100, 0), arcTo(point(100, 40), Math.PI)),
  openPath(point(100, 40), lineTo(point(0, 40))),
  openPath(point(0, 40), arcTo(point(0, 0), Math.PI)),
]
/** A disc of radius 50 in four quarter edges. */
const disc = [0, 1, 2, 3].map((i) => {
  const at = (k: number) =>
    point(50 * Math.round(Math.cos((k * Math.PI) / 2)), 50 * Math.round(Math.sin((k * Math.PI) / 2)))
  return openPath(at(i), arcTo(at(i + 1), Math.PI / 2))
})

test('mitred corners follow Steiner: 100 x 60 out 5 is 7700, in 5 is 4500', () => {
  expect(signedArea(joined(rectangle, 5).outline)).toBeCloseTo(7700, 9)
  expect(signedArea(joined(rectangle, -5).outline)).toBeCloseTo(4500, 9)
})

test('the triangle 13-14-15 out 2 is 189, in 1 is 47.25, and in 4 nothing is left', () => {
  expect(signedArea(joined(triangle, 2).outline)).toBeCloseTo(189, 9)
  expect(signedArea(joined(triangle, -1).outline)).toBeCloseTo(47.25, 9)
  const gone = joinEdges(allMoved(triangle, -4.01))
  expect(gone === undefined || signedArea(gone.outline) <= 0).toBe(true)
})

test('each edge moves by its own distance: 100 x 60 with 1, 2, 3 and 4 mm is 106 x 64', () => {
  const { outline, edges } = joined(rectangle, [1, 2, 3, 4])
  expect(signedArea(outline)).toBeCloseTo(106 * 64, 9)
  expect(edges.map((edge) => pathLength(edge))).toEqual([106, 64, 106, 64].map((mm) => expect.closeTo(mm, 9)))
})

test('tangent neighbours with one move join at their common point: stadium and disc, out and in', () => {
  for (const d of [7, -7]) {
    const long = joined(stadium, d)
    // A + P d + pi d^2 (Steiner), A = 4000 + 400 pi
    const area = 4000 + 400 * Math.PI + (200 + 40 * Math.PI) * d + Math.PI * d * d
    expect(signedArea(long.outline)).toBeCloseTo(area, 8)
    expect(long.outline.segments).toHaveLength(4)
    const round = joined(disc, d)
    expect(signedArea(round.outline)).toBeCloseTo(Math.PI * (50 + d) ** 2, 8)
    expect(round.outline.segments).toHaveLength(4)
    expect(endOf(round.outline)).toEqual(round.outline.start)
  }
})

test('tangent neighbours with different moves are joined by a straight step square to the edge', () => {
  const { outline, edges } = joined(stadium, [10, 4, 10, 4])
  expect(outline.segments).toHaveLength(8)
  // sides 10 mm out, half discs of radius 24
  expect(signedArea(outline)).toBeCloseTo(100 * 60 + Math.PI * 24 * 24, 8)
  expect(edges.map((edge) => edge.segments.length)).toEqual([1, 1, 1, 1])
  const step = outline.segments[1] ?? expect.fail('no step')
  expect(step.kind).toBe('line')
  expect(endOf(edges[0] as Path)).toEqual(point(100, -10))
  expect(step.to).toEqual(point(100, -4))
})

test('collinear neighbours, and one edge all the way round, are joined as they are', () => {
  const parted = straightEdges(point(0, 0), point(40, 0), point(100, 0), point(100, 60), point(0, 60))
  expect(signedArea(joined(parted, 5).outline)).toBeCloseTo(7700, 9)
  const whole = openPath(point(50, 0), arcTo(point(-50, 0), Math.PI), arcTo(point(50, 0), Math.PI))
  expect(signedArea(joined([whole], 3).outline)).toBeCloseTo(Math.PI * 53 * 53, 8)
})

/** An upright spike: half of its tip angle at (0, 100), `degrees` from tip side to tip side. */
const spike = (degrees: number) => {
  const half = 100 * Math.tan((degrees * Math.PI) / 360)
  return straightEdges(point(-half, 0), point(half, 0), point(0, 100))
}

test('a tip of 30 degrees stands out r / sin 15, one of 28 degrees is cut off square at 4 r (SVG: mitre limit 4)', () => {
  const top = (path: Path) => Math.max(...flatten(path, 0.01).map((p) => p.y))
  const long = joined(spike(30), 2).outline
  expect(long.segments).toHaveLength(3)
  expect(top(long)).toBeCloseTo(100 + 2 / Math.sin(Math.PI / 12), 9)
  const cut = joined(spike(28), 2).outline
  expect(cut.segments).toHaveLength(4)
  expect(top(cut)).toBeCloseTo(108, 9)
  // The tip would stand 2 / sin 14 out; what is cut off is a triangle of that angle.
  const lost = 2 / Math.sin((14 * Math.PI) / 180) - 8
  const half = 100 * Math.tan((14 * Math.PI) / 180)
  const whole = half * 100 * (1 + 2 / inradius(half)) ** 2
  expect(signedArea(cut)).toBeCloseTo(whole - lost * lost * Math.tan((14 * Math.PI) / 180), 7)
  const flat = cut.segments[2] ?? expect.fail('no piece')
  expect(flat.to.y).toBeCloseTo(108, 9)
  // An inset has no tip to cut.
  expect(joined(spike(10), -1).outline.segments).toHaveLength(3)
})

/** Of the triangle with base 2 half and height 100: area / half the perimeter. */
const inradius = (half: number) => (half * 100) / (half + Math.hypot(half, 100))

test('the parallel of a wave lies on its normals, ends and end headings exact', () => {
  for (const d of [8, -8, 0]) {
    const edge = wave(point(0, 0), 200, 15, 1)
    const moved = movedOut(edge, d) ?? expect.fail('the wave does not move')
    const k = (2 * Math.PI) / 200
    const truth = Array.from({ length: 20_001 }, (_, i) => {
      const t = i / 100
      const slope = -15 * k * Math.sin(k * t)
      const long = Math.hypot(1, slope)
      return point(t + (d * slope) / long, 15 * Math.cos(k * t) - d / long)
    })
    expect(distance(moved.start, point(0, 15 - d))).toBeLessThan(1e-12)
    expect(distance(endOf(moved), point(200, 15 - d))).toBeLessThan(1e-9)
    const first = moved.segments[0]
    if (first?.kind !== 'cubic') return expect.fail('no cubic')
    expect(first.c1.y).toBeCloseTo(15 - d, 9)
    const points = flatten(moved, 1e-5)
    const every = Math.ceil(points.length / 150)
    for (let i = 0; i < points.length; i += every) {
      // The chords of the truth stray by at most 0.01^2 / 8 / 5 mm.
      expect(toChords(points[i] as Point, truth)).toBeLessThan(1.2e-4)
    }
  }
})

test('a curve whose radius is smaller than an inward move has no parallel', () => {
  // least radius of the wave 1 / (rise k^2) = 67.5 mm, at crest and trough
  const edge = wave(point(0, 0), 200, 15, 1)
  expect(movedOut(edge, 67)).toBeDefined()
  expect(movedOut(edge, 68)).toBeUndefined()
  expect(movedOut(edge, -68)).toBeUndefined()
  expect(movedOut(openPath(point(10, 0), arcTo(point(0, 10), Math.PI / 2)), -11)).toBeUndefined()
  const cusp = openPath(point(0, 0), cubicTo(point(10, 10), point(0, 10), point(10, 0)))
  expect(movedOut(cusp, 1)).toBeUndefined()
})

test('a cubic with a handle of no length moves like any other', () => {
  const moved = movedOut(openPath(point(0, 0), cubicTo(point(0, 0), point(60, 0), point(100, 30))), 5)
  // It sets out towards its second handle.
  expect(distance(moved?.start ?? point(9, 9), point(0, -5))).toBeLessThan(1e-9)
  expect(distance(endOf(moved ?? polyline([])), point(100 + 5 * 0.6, 30 - 5 * 0.8))).toBeLessThan(1e-9)
})

test('at corners inside an edge the pieces are run on and cut back, and what is eaten is left out', () => {
  // out 5: the first corner turns left (run on), the second right (cut back)
  const bent = polyline([point(0, 0), point(50, 0), point(50, 40), point(90, 40)])
  const out = movedOut(bent, 5) ?? expect.fail('the edge does not move')
  expectCorners(out, [point(0, -5), point(55, -5), point(55, 35), point(90, 35)])
  const chamfer = polyline([point(0, 0), point(50, 0), point(52, -2), point(52, -50)])
  const moved = movedOut(chamfer, 20) ?? expect.fail('the edge does not move')
  expectCorners(moved, [point(0, -20), point(32, -20), point(32, -50)])
  const smooth = openPath(point(0, 0), lineTo(point(50, 0)), arcTo(point(60, 10), Math.PI / 2), lineTo(point(60, 50)))
  expect(movedOut(smooth, 5)?.segments.map((s) => s.kind)).toEqual(['line', 'arc', 'line'])
  expect(pathLength(movedOut(smooth, 5) ?? smooth)).toBeCloseTo(90 + 7.5 * Math.PI, 9)
})

/** Four arcs that bend inward between (50, 0), (0, 50) ..., each turning right by `degrees`. */
const star = (degrees: number) => {
  const corners = [point(50, 0), point(0, 50), point(-50, 0), point(0, -50)]
  return corners.map((p, i) => openPath(p, arcTo(corners[(i + 1) % 4] as Point, (-degrees * Math.PI) / 180)))
}
/** Radius of its arcs, and both coordinates of their centres. */
const starArc = (degrees: number) => {
  const r = (Math.SQRT1_2 * 50) / Math.sin((degrees * Math.PI) / 360)
  return { r, c: (50 + Math.sqrt(2 * r * r - 2500)) / 2 }
}
const farRight = (path: Path) => Math.max(...flatten(path, 0.001).map((p) => p.x))

test('arcs run on along their circles, straight where those miss each other, and no farther than the limit', () => {
  const { r, c } = starArc(50)
  const own = joined(star(50), 1).outline
  expect(own.segments).toHaveLength(4)
  expect(farRight(own)).toBeCloseTo(c - Math.sqrt((r - 1) ** 2 - c * c), 9)
  // 60 degrees: tips of 30 degrees, and circles of 70.7 - 15 mm about centres 68.3 mm from the axis never meet.
  expect(starArc(60).r - 15).toBeLessThan(starArc(60).c)
  const straight = joined(star(60), 15).outline
  expect(farRight(straight)).toBeCloseTo(50 + 15 / Math.sin(Math.PI / 12), 9)
  expect(straight.segments.map((s) => s.kind).filter((kind) => kind === 'line')).toHaveLength(8)
  // 80 degrees: tips of 10 degrees are cut off.
  const cut = joined(star(80), 3).outline
  expect(farRight(cut)).toBeCloseTo(62, 9)
  for (const outline of [own, straight, cut]) {
    expect(signedArea(outline)).toBeGreaterThan(0)
    expectSimple(flatten(outline, 0.05))
  }
})

test('a tip at a corner inside an edge is cut off as well, and a hairpin is', () => {
  const spur = polyline([point(0, 0), point(100, 0), point(0, 1)])
  const out = movedOut(spur, 2) ?? expect.fail('the edge does not move')
  expect(out.segments).toHaveLength(3)
  expect(farRight(out)).toBeLessThan(108.1)
  expect(farRight(out)).toBeGreaterThan(107.9)
  const hairpin = movedOut(polyline([point(0, 0), point(100, 0), point(0, 0)]), 2) ?? expect.fail('it does not move')
  expectCorners(hairpin, [point(0, -2), point(108, -2), point(108, 2), point(0, 2)])
})

test('nearly tangent neighbours with different moves step at the corner where they would meet past an end', () => {
  // The second edge turns left by 0.01: moved 5 and 0 the lines meet 500 mm back.
  const flat = straightEdges(point(0, 0), point(100, 0), point(200, 1), point(200, 80), point(0, 80))
  const { outline, edges } = joined(flat, [5, 0, 0, 0, 0])
  expect(outline.segments).toHaveLength(6)
  expect(distance(endOf(edges[0] as Path), point(100, -5))).toBeLessThan(1e-9)
  expect(distance((edges[1] as Path).start, point(100, 0))).toBeLessThan(1e-9)
  // Where there is room, they meet: a corner of 30 degrees, 5 / sin 30 back.
  const bent = straightEdges(
    point(0, 0),
    point(100, 0),
    point(100 + 50 * Math.sqrt(3), 50),
    point(100, 150),
    point(0, 80),
  )
  const meeting = joined(bent, [5, 0, 0, 0, 0])
  expect(meeting.outline.segments).toHaveLength(5)
  expect(distance((meeting.edges[1] as Path).start, point(100 - 5 * Math.sqrt(3), -5))).toBeLessThan(1e-9)
})

test('a corner of a hundredth of a radian is a corner, inside an edge and between edges', () => {
  const turn = 0.01
  const far = point(100 + 100 * Math.cos(turn), 100 * Math.sin(turn))
  const tip = point(100 + 10 * Math.tan(turn / 2), -10)
  const end = point(far.x + 10 * Math.sin(turn), far.y - 10 * Math.cos(turn))
  const inside = movedOut(polyline([point(0, 0), point(100, 0), far]), 10) ?? expect.fail('the edge does not move')
  expectCorners(inside, [point(0, -10), tip, end])
  const { edges } = joined(straightEdges(point(0, 0), point(100, 0), far, point(100, 90)), 10)
  expect(distance(endOf(edges[0] as Path), tip)).toBeLessThan(1e-9)
})

test('an edge whose last piece is cut away whole is refused', () => {
  expect(movedOut(polyline([point(0, 0), point(50, 0), point(50, -3)]), 5)).toBeUndefined()
})

test('a lens of two fitted edges, which cross at both corners, keeps each corner', () => {
  // Both arcs of radius 100 about (0, -60) and (0, 60) between (80, 0) and (-80, 0)
  const half = Math.atan2(80, 60)
  const arc = (middle: number, y: number) =>
    fittedCurve(
      (t) => point(100 * Math.cos(t), y + 100 * Math.sin(t)),
      (t) => point(-100 * Math.sin(t), 100 * Math.cos(t)),
      middle - half,
      middle + half,
    )
  const lens = [arc(Math.PI / 2, -60), arc((3 * Math.PI) / 2, 60)]
  const { outline } = joined(lens, -5)
  // circles of 95 mm cross on the axis; area of two segments of that circle
  const x = Math.sqrt(95 * 95 - 60 * 60)
  const angle = Math.atan2(x, 60)
  expect(farRight(outline)).toBeCloseTo(x, 4)
  expect(signedArea(outline)).toBeCloseTo(2 * (95 * 95 * angle - 60 * x), 2)
  expectSimple(flatten(outline, 0.05))
})

test('an arc run on is not taken round its circle to the far side', () => {
  const corners = [point(26, 46), point(-34, 47), point(-112, -3), point(-16, -73), point(39, -43)]
  const edges = straightEdges(...corners).map((edge, i) => {
    const sweep = i === 0 ? 1.26 : i === 2 ? -0.315 : 0
    return sweep === 0 ? edge : openPath(edge.start, arcTo(endOf(edge), sweep))
  })
  const { outline } = joined(edges, [2.6, -9.1, -4.9, -7.8, 0.8])
  expect(signedArea(outline)).toBeGreaterThan(0)
  expectSimple(flatten(outline, 0.05))
})

/** A panel 200 mm wide with a wave along its bottom. */
const waved = (rise: number, beats: number) => [
  wave(point(0, 0), 200, rise, beats),
  ...straightEdges(point(200, rise), point(200, 120), point(0, 120), point(0, rise)).slice(0, 3),
]

test('an inset eats several pieces of a fitted edge: the area is that of the true offset', () => {
  const { outline, edges } = joined(waved(15, 1), -12)
  const bare = waved(15, 1)[0] as Path
  expect((edges[0] as Path).segments.length).toBeLessThan((movedOut(bare, -12) as Path).segments.length - 4)
  // The moved wave, 12 mm along its normals up, between x = 12 and 188 and under y = 108, summed by trapezoids.
  const k = (2 * Math.PI) / 200
  const place = (t: number) => {
    const slope = -15 * k * Math.sin(k * t)
    const long = Math.hypot(1, slope)
    return point(t - (12 * slope) / long, 15 * Math.cos(k * t) + 12 / long)
  }
  let area = 0
  for (let i = 0; i < 400_000; i++) {
    const a = place(i / 2000)
    const b = place((i + 1) / 2000)
    if ((a.x + b.x) / 2 < 12 || (a.x + b.x) / 2 > 188) continue
    area += (b.x - a.x) * (108 - (a.y + b.y) / 2)
  }
  expect(signedArea(outline)).toBeCloseTo(area, 1)
  expectSimple(flatten(outline, 0.05))
})

test('a lens of arcs keeps both corners: of two places where the edges cross the near one counts', () => {
  // Circles of radius 100 about (0, 60) and (0, -60) cross at (80, 0) and (-80, 0); 10 mm in at sqrt(90^2 - 60^2).
  const half = Math.asin(0.8)
  const lower = openPath(point(-80, 0), arcTo(point(0, -40), half), arcTo(point(80, 0), half))
  const upper = openPath(point(80, 0), arcTo(point(0, 40), half), arcTo(point(-80, 0), half))
  for (const [move, radius] of [
    [-10, 90],
    [-20, 80],
    [10, 110],
  ] as const) {
    const { outline, edges } = joined([lower, upper], move)
    const corner = Math.sqrt(radius ** 2 - 60 ** 2)
    for (const [i, x] of [-corner, corner].entries()) {
      expect(distance(edges[i]?.start ?? expect.fail('an edge is gone'), point(x, 0))).toBeLessThan(1e-9)
    }
    // Twice the segment of a circle: r^2 acos(d / r) - d sqrt(r^2 - d^2)
    expect(signedArea(outline)).toBeCloseTo(2 * (radius ** 2 * Math.acos(60 / radius) - 60 * corner), 7)
  }
})

test('a short edge may be cut back past its own end where its other end is run on', () => {
  // The slant from (100, 0) to (103, 3) stays where it is. Below it 5 mm are taken off, beside it 10 mm are added, so
  // that it runs from (105, 5) to (113, 13).
  const edges = straightEdges(point(0, 0), point(100, 0), point(103, 3), point(103, 60), point(0, 60))
  const corners = [point(0, 5), point(105, 5), point(113, 13), point(113, 60), point(0, 60), point(0, 5)]
  expectCorners(joined(edges, [-5, 0, 10, 0, 0]).outline, corners)
  // The same the other way round, from the left: x goes over into 100 - x.
  const mirrored = straightEdges(point(-3, 3), point(0, 0), point(100, 0), point(100, 60), point(-3, 60))
  const there = [point(-13, 13), point(-5, 5), point(100, 5), point(100, 60), point(-13, 60), point(-13, 13)]
  expectCorners(joined(mirrored, [0, -5, 0, 0, 10]).outline, there)
})

test('a fitted edge and its neighbours run on straight to meet', () => {
  const { outline, edges } = joined(waved(15, 1), 6)
  expect((edges[0] as Path).segments.at(-1)?.kind).toBe('line')
  expect(distance(outline.start, point(-6, 9))).toBeLessThan(1e-9)
  // Steiner with four square corners; the wave turns by nothing in all
  const bare = joined(waved(15, 1), 0).outline
  expect(signedArea(outline)).toBeCloseTo(signedArea(bare) + pathLength(bare) * 6 + 4 * 36, 2)
})

test('any panel of straight and waved edges grows by P d + d^2 sum tan(x / 2), closed, simple and counter-clockwise', () => {
  const mm = (min: number, max: number) => fc.double({ min, max, noNaN: true })
  const anyMeasures = fc.record({
    rise: mm(0, 12),
    beats: fc.integer({ min: 1, max: 2 }),
    lean: mm(-50, 50),
    d: mm(0.5, 15),
  })
  fc.assert(
    fc.property(anyMeasures, ({ rise, beats, lean, d }) => {
      const edges = [
        wave(point(0, 0), 200, rise, beats),
        ...straightEdges(point(200, rise), point(200 + lean, 120), point(0, 120), point(0, rise)).slice(0, 3),
      ]
      const bare = joined(edges, 0).outline
      const { outline, edges: parts } = joined(edges, d)
      // exterior angles: the right edge leans by x, so its ends turn by 90 - x and 90 + x degrees
      const x = Math.atan2(lean, 120 - rise)
      const corners = 2 + Math.tan((Math.PI / 2 - x) / 2) + Math.tan((Math.PI / 2 + x) / 2)
      expect(Math.abs(signedArea(outline) - signedArea(bare) - pathLength(bare) * d - corners * d * d)).toBeLessThan(
        0.05,
      )
      expect(outline.closed).toBe(true)
      expect(endOf(outline)).toEqual(outline.start)
      expect(parts).toHaveLength(4)
      expectSimple(flatten(outline, 0.05))
    }),
    { numRuns: 40 },
  )
})

test('every place of a moved edge is as far from the bare edge as it was moved, within 2e-4 mm', () => {
  const mm = (min: number, max: number) => fc.double({ min, max, noNaN: true })
  const anyCubic = fc
    .record({ a: mm(-0.8, 0.8), b: mm(-0.8, 0.8), first: mm(20, 45), last: mm(20, 45) })
    .map(({ a, b, first, last }) =>
      openPath(
        point(0, 0),
        cubicTo(
          point(first * Math.cos(a), first * Math.sin(a)),
          point(100 - last * Math.cos(b), -last * Math.sin(b)),
          point(100, 0),
        ),
      ),
    )
  let looked = 0
  fc.assert(
    fc.property(anyCubic, mm(-12, 12), (edge, d) => {
      const moved = movedOut(edge, d)
      if (!moved) return
      const chords = flatten(edge, 1e-5)
      const points = flatten(moved, 1e-4)
      const every = Math.ceil(points.length / 80)
      for (let i = 0; i < points.length; i += every) {
        expect(Math.abs(toChords(points[i] as Point, chords) - Math.abs(d))).toBeLessThan(2e-4)
        looked++
      }
    }),
    { numRuns: 60 },
  )
  expect(looked).toBeGreaterThan(1000)
})

test('insets of any waved panel stay simple, or are refused', () => {
  const mm = (min: number, max: number) => fc.double({ min, max, noNaN: true })
  let made = 0
  fc.assert(
    fc.property(
      mm(-20, 20),
      fc.integer({ min: 1, max: 3 }),
      fc.array(mm(-25, 5), { minLength: 4, maxLength: 4 }),
      (rise, beats, moves) => {
        const edges = waved(rise, beats)
        const moved = edges.map((edge, i) => movedOut(edge, moves[i] ?? 0)).filter((edge) => edge !== undefined)
        if (moved.length < 4) return
        const found = joinEdges(moved)
        if (!found) return expect.fail('there is room for every inset')
        made++
        expect(signedArea(found.outline)).toBeGreaterThan(0)
        expectSimple(flatten(found.outline, 0.05))
      },
    ),
    { numRuns: 60 },
  )
  expect(made).toBeGreaterThan(15)
})
