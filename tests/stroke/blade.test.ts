import fc from 'fast-check'
import { expect, test } from 'vitest'
import { flatten } from '../../src/geometry/flatten.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { arcTo, circle, cubicTo, endOf, lineTo, openPath, type Path, polyline } from '../../src/geometry/path.ts'
import { add, direction, distance, type Point, point, scaled } from '../../src/geometry/point.ts'
import { type Blade, drivenPath } from '../../src/stroke/blade.ts'
import { tipWay } from '../../src/stroke/tip.ts'

const fine: Blade = { offset: 0.25, leastTurn: 0.1 }
const blades = fc.record({ offset: fc.constantFrom(0.25, 0.5, 1, 1.5), leastTurn: fc.constantFrom(0, 0.1, 0.17) })
const driven = (path: Path, blade: Blade, heading?: number) => drivenPath(path, blade, heading).path
const radians = (angle: number) => (angle * Math.PI) / 180
/** A number of `low` to `high` spread evenly. */
const even = (low: number, high: number) => fc.integer({ min: 0, max: 1e6 }).map((i) => low + ((high - low) * i) / 1e6)

function toLine(p: Point, line: readonly Point[]): number {
  return Math.min(
    ...line.slice(1).map((b, i) => {
      const a = line[i] as Point
      const [dx, dy] = [b.x - a.x, b.y - a.y]
      const square = dx * dx + dy * dy
      const t = square === 0 ? 0 : Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / square))
      return Math.hypot(a.x + t * dx - p.x, a.y + t * dy - p.y)
    }),
  )
}

/** Where a tip goes whose blade stands right when it comes down; the axis's arcs in chords of next to nothing. */
const cutBy = (drive: Path, heading: number, blade: Blade) =>
  tipWay(flatten(drive, 1e-5), heading, blade.offset, 5e-4).points

/** The farthest that either line's points lie from the other. */
const apart = (a: readonly Point[], b: readonly Point[]) =>
  Math.max(...a.map((p) => toLine(p, b)), ...b.map((p) => toLine(p, a)))

test('a straight cut is driven along itself, ahead by the offset at both ends', () => {
  const { path, heading } = drivenPath(openPath(point(0, 0), lineTo(point(10, 0))), fine, undefined)
  expect(path).toEqual(openPath(point(0.25, 0), lineTo(point(10.25, 0))))
  expect(heading).toBe(0)
})

test('a square of side 100 cut from the middle of a side takes 400 + 2 pi L of travel: 401.570796 for 0.25', () => {
  const from = point(50, 0)
  const corners = [point(100, 0), point(100, 100), point(0, 100), point(0, 0)]
  for (const way of [corners, [...corners].reverse()]) {
    const path = driven({ start: from, segments: [...way, from].map(lineTo), closed: true }, fine)
    expect(pathLength(path)).toBeCloseTo(401.570796, 6)
    expect(path.closed).toBe(false)
    expect(distance(path.start, from)).toBeCloseTo(0.25, 12)
    expect(distance(path.start, endOf(path))).toBeLessThan(1e-12)
  }
})

test('at a corner the axis overruns by the offset and swings about the corner: 0.392699 for 90 degrees and 0.25', () => {
  const corner = point(10, 0)
  for (const turn of [90, -90, 15, 175, -175, 180]) {
    const way = direction(radians(turn))
    const path = driven(openPath(point(0, 0), lineTo(corner), lineTo(add(corner, scaled(way, 10)))), fine)
    const swing: Path = { ...path, start: point(10.25, 0), segments: path.segments.slice(1, -1) }
    expect(path.segments[0]?.to).toEqual(swing.start)
    expect(pathLength(swing)).toBeCloseTo(0.25 * Math.abs(radians(turn)), 9)
    expect(distance(endOf(swing), add(corner, scaled(way, 0.25)))).toBeLessThan(1e-12)
    for (const p of flatten(swing, 1e-5)) expect(distance(p, corner)).toBeCloseTo(0.25, 9)
    for (const s of swing.segments) expect(s.kind).toBe('arc')
  }
  const right = driven(openPath(point(0, 0), lineTo(corner), lineTo(point(10, 10))), fine)
  expect(pathLength(right)).toBeCloseTo(20 + 0.392699, 6)
})

test('a corner that turns by less than the least gets no swing and is cut off by no more than L turn^2 / 8', () => {
  const blade = { offset: 1.5, leastTurn: radians(10) }
  for (const turn of [9.9, -9.9, 3]) {
    const asked = [point(0, 0), point(10, 0), add(point(10, 0), scaled(direction(radians(turn)), 10))]
    const path = driven(polyline(asked), blade)
    expect(path.segments.map((s) => s.kind)).toEqual(['line', 'line', 'line'])
    expect(apart(cutBy(path, 0, blade), asked)).toBeLessThan((1.5 * radians(turn) ** 2) / 8 + 6e-4)
  }
  const swung = driven(polyline([point(0, 0), point(10, 0), point(10, 10)]), blade)
  expect(swung.segments.some((s) => s.kind === 'arc')).toBe(true)
})

test('an arc of radius 5 is driven on the concentric circle of radius 5.006246 for an offset of 0.25', () => {
  for (const hand of [1, -1]) {
    const arc = openPath(point(5, 0), arcTo(point(-5, 0), hand * Math.PI))
    const path = driven(arc, fine)
    // ahead along the tangent by the offset, so at an angle of atan(0.25 / 5)
    expect(distance(path.start, point(5, hand * 0.25))).toBeLessThan(1e-12)
    for (const p of flatten(path, 1e-6)) expect(Math.hypot(p.x, p.y)).toBeCloseTo(5.006246, 6)
    expect(pathLength(path)).toBeCloseTo(5.006246 * Math.PI, 4)
  }
  for (const [radius, offset] of [
    [0.1, 1.5],
    [1, 1],
    [300, 0.25],
  ] as const) {
    const blade = { offset, leastTurn: 0.1 }
    const round = circle(point(0, 0), radius)
    const tips = cutBy(driven(round, blade), Math.PI / 2, blade)
    for (const p of tips) expect(Math.abs(Math.hypot(p.x, p.y) - radius)).toBeLessThan(6e-4)
  }
})

test('a part that a writer makes one chord of stays within 0.003 mm of it, so that chords add up to little', () => {
  for (const offset of [0.25, 1.5]) {
    const zigzag = polyline([point(0, 0), point(5, 0), point(1, 0.5), point(3, 4)])
    const path = driven(zigzag, { offset, leastTurn: 0.1 })
    const chords = flatten(path, 0.02)
    expect(chords.length).toBeGreaterThan(10)
    for (const p of flatten(path, 1e-5)) expect(toLine(p, chords)).toBeLessThan(0.00301)
  }
})

const place = fc.record({ x: even(0, 20), y: even(0, 20) })
const curves = fc
  .record({ start: place, rest: fc.array(fc.tuple(place, place, place), { minLength: 1, maxLength: 3 }) })
  .map(({ start, rest }) => openPath(start, ...rest.map(([a, b, c]) => cubicTo(a, b, c))))

/** Places on the path's cubics by their Bernstein form, with the direction by a difference: no code under test. */
function shifted(path: Path, offset: number): Point[] {
  let from = path.start
  return path.segments.flatMap((s) => {
    if (s.kind !== 'cubic') return expect.fail(`a ${s.kind} where cubics were asked for`)
    const own = from
    from = s.to
    const mix = (t: number, a: number, b: number, c: number, d: number) =>
      (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t * t * (1 - t) * c + t ** 3 * d
    const at = (t: number) => point(mix(t, own.x, s.c1.x, s.c2.x, s.to.x), mix(t, own.y, s.c1.y, s.c2.y, s.to.y))
    return Array.from({ length: 20 }, (_, i) => {
      const t = (i + 0.5) / 20
      const [a, b] = [at(t - 1e-5), at(t + 1e-5)]
      const speed = distance(a, b)
      return point(at(t).x + (offset * (b.x - a.x)) / speed, at(t).y + (offset * (b.y - a.y)) / speed)
    })
  })
}

test('cubics are driven on the curve shifted ahead along its tangent, within 0.002 mm, and so cut', () => {
  fc.assert(
    fc.property(curves, blades, (path, blade) => {
      const { path: drive, heading } = drivenPath(path, blade, undefined)
      const way = flatten(drive, 2e-4)
      for (const p of shifted(path, blade.offset)) expect(toLine(p, way)).toBeLessThan(0.0024)
      const asked = flatten(path, 1e-3)
      const first = Math.atan2(drive.start.y - path.start.y, drive.start.x - path.start.x)
      const tips = tipWay(flatten(drive, 1e-3), first, blade.offset, 1e-3).points
      expect(apart(tips, asked)).toBeLessThan(0.007)
      expect(distance(endOf(drive), add(endOf(path), scaled(direction(heading), blade.offset)))).toBeLessThan(1e-9)
    }),
    { numRuns: 20 },
  )
})

test('a gentle curve takes few cubics', () => {
  const s = openPath(point(0, 0), cubicTo(point(20, 0), point(20, 30), point(40, 30)))
  const path = driven(s, fine)
  expect(path.segments.length).toBeLessThanOrEqual(8)
  for (const own of path.segments) expect(own.kind).toBe('cubic')
})

test('a cubic that stands still and turns back is cut up to that place and on from it', () => {
  // x' and y' are both 0 at t = 1/2, where it comes to (3, 4.5) and turns back
  const cusped = openPath(point(0, 0), cubicTo(point(6, 6), point(0, 6), point(6, 0)))
  const flat = openPath(point(0, 0), cubicTo(point(10, 0), point(-4, 0), point(6, 0)))
  const stopped = openPath(point(0, 0), cubicTo(point(0, 0), point(6, 0), point(6, 0)), lineTo(point(6, 5)))
  const near = openPath(point(0, 0), cubicTo(point(6 + 1e-5, 6), point(0, 6), point(6, 0)))
  for (const path of [cusped, flat, stopped, near]) {
    for (const offset of [0.25, 1.5]) {
      const blade = { offset, leastTurn: 0.1 }
      const drive = driven(path, blade)
      const heading = Math.atan2(drive.start.y, drive.start.x)
      expect(apart(cutBy(drive, heading, blade), flatten(path, 1e-4))).toBeLessThan(0.005)
    }
  }
})

test('what rounding leaves of a handle or of a bulge does not turn the blade', () => {
  const handle = openPath(
    point(5.396142, 0.021524),
    cubicTo(point(0, 0), point(2.502332, 0), point(2.502332, 2.582844e-7)),
  )
  const bulge = openPath(point(0, 0), cubicTo(point(30, 3e-8), point(0, 3e-8), point(30, 0)))
  const leaning = openPath(point(0, 0), cubicTo(point(16.96, 1.7e-8), point(2e-13, 1.7e-8), point(16.96, 0)))
  for (const path of [handle, bulge, leaning]) {
    for (const offset of [0.25, 1.25, 1.5]) {
      const blade = { offset, leastTurn: 0.1 }
      const drive = driven(path, blade)
      const heading = Math.atan2(drive.start.y - path.start.y, drive.start.x - path.start.x)
      expect(apart(cutBy(drive, heading, blade), flatten(path, 1e-4))).toBeLessThan(0.005)
    }
  }
  for (const s of driven(bulge, fine).segments) expect(s.kind).toBe('line')
})

test('corners closer together than the offset are cut all the same, either way round and straight back', () => {
  const leg = fc.record({ turn: even(-180, 180), length: even(0.05, 2) })
  fc.assert(
    fc.property(fc.array(leg, { minLength: 1, maxLength: 9 }), blades, (legs, blade) => {
      const points = [point(7, 3)]
      let way = 1
      for (const { turn, length } of legs) {
        points.push(add(points.at(-1) as Point, scaled(direction(way), length)))
        way += radians(turn)
      }
      const { path, heading } = drivenPath(polyline(points), blade, undefined)
      const tips = cutBy(path, 1, blade)
      expect(apart(tips, points)).toBeLessThan(0.008)
      const last = points.at(-1) as Point
      expect(distance(endOf(path), add(last, scaled(direction(heading), blade.offset)))).toBeLessThan(1e-9)
    }),
    { numRuns: 60 },
  )
})

test('a blade that comes from elsewhere comes down with its tip on the start and turns there', () => {
  const asked = [point(2, 1), point(12, 1)]
  for (const heading of [Math.PI / 2, -2.5, Math.PI, 0.4]) {
    const blade = { offset: 0.5, leastTurn: 0.1 }
    const path = driven(polyline(asked), blade, heading)
    expect(distance(path.start, add(asked[0] as Point, scaled(direction(heading), 0.5)))).toBeLessThan(1e-12)
    expect(pathLength(path)).toBeCloseTo(0.5 * Math.abs(heading) + 10, 9)
    expect(apart(cutBy(path, heading, blade), asked)).toBeLessThan(0.003)
  }
  expect(driven(polyline(asked), fine, 0)).toEqual(driven(polyline(asked), fine))
})

test('the heading handed back is that of the last piece, and with it strokes go on from one to the next', () => {
  const up = drivenPath(polyline([point(0, 0), point(5, 0), point(5, 5)]), fine, undefined)
  expect(up.heading).toBeCloseTo(Math.PI / 2, 12)
  const next = drivenPath(polyline([point(20, 0), point(25, 0)]), fine, up.heading)
  expect(distance(next.path.start, point(20, 0.25))).toBeLessThan(1e-12)
  expect(next.heading).toBeCloseTo(0, 12)
})

test('with no offset the line itself is driven, a closed one once round', () => {
  const pen = { offset: 0, leastTurn: 0.1 }
  const round = circle(point(0, 0), 5)
  expect(drivenPath(round, pen, 2)).toEqual({ path: { ...round, closed: false }, heading: expect.closeTo(Math.PI / 2) })
})

test('hairlines have no direction: one is passed over, a run of them is cut as the line it makes', () => {
  const one = openPath(point(0, 0), lineTo(point(5, 0)), lineTo(point(5, 1e-6)), lineTo(point(10, 1e-6)))
  expect(driven(one, fine).segments).toEqual([lineTo(point(5.25, 0)), lineTo(point(10.25, 1e-6))])
  const corner = [...Array(200)].map((_, i) => (i < 100 ? point(i * 3e-5, 0) : point(3e-3, (i - 99) * 3e-5)))
  const run = [...corner, point(0.003, 5)]
  const tips = cutBy(driven(polyline(run), fine), 0, fine)
  expect(apart(tips, run)).toBeLessThan(0.002)
})

test('a stroke without length is a place where the blade stands', () => {
  expect(drivenPath(openPath(point(3, 4)), fine, 0)).toEqual({ path: openPath(point(3.25, 4)), heading: 0 })
  expect(driven(openPath(point(3, 4), lineTo(point(3, 4))), fine).segments).toEqual([])
})

test('an offset that is none is refused', () => {
  for (const offset of [-0.1, Number.NaN, Infinity]) {
    expect(() => drivenPath(circle(point(0, 0), 1), { offset, leastTurn: 0 }, 0)).toThrow(/must be 0 or more/)
  }
})
