import fc from 'fast-check'
import { expect, test } from 'vitest'
import { flatten } from '../../src/geometry/flatten.ts'
import { pathLength, stationAt } from '../../src/geometry/length.ts'
import { meetings } from '../../src/geometry/meet.ts'
import {
  arcTo,
  circle,
  cubicTo,
  lineTo,
  openPath,
  type Path,
  polyline,
  rectangle,
  reversed,
} from '../../src/geometry/path.ts'
import { cross, distance, type Point, point, subtract } from '../../src/geometry/point.ts'

/** Evenly spread over the range, unlike doubles drawn by their bits. */
const number = (min: number, max: number) =>
  fc.integer({ min: 0, max: 1e6 }).map((share) => min + ((max - min) * share) / 1e6)
const place = fc.record({ x: number(-500, 500), y: number(-500, 500) })
/** Paths that fill a square of 1 m. */
const widePath: fc.Arbitrary<Path> = fc
  .tuple(
    place,
    fc.array(
      fc.oneof(
        place.map(lineTo),
        fc.tuple(place, number(-3.1, 3.1)).map(([to, sweep]) => arcTo(to, sweep)),
        fc.tuple(place, place, place).map(([a, b, to]) => cubicTo(a, b, to)),
      ),
      { minLength: 1, maxLength: 5 },
    ),
  )
  .map(([start, segments]) => openPath(start, ...segments))
const arch = openPath(point(0, 0), cubicTo(point(0, 100), point(100, 100), point(100, 0)))

test('two circles meet where the radical line says, for any sizes', () => {
  fc.assert(
    fc.property(number(1, 300), number(1, 300), number(0.02, 0.98), number(0, 6.28), (r, q, share, angle) => {
      // centres apart by something between |r - q| and r + q
      const d = Math.abs(r - q) + share * (r + q - Math.abs(r - q))
      const along = (d * d + r * r - q * q) / (2 * d)
      const up = Math.sqrt(r * r - along * along)
      const put = (x: number, y: number) =>
        point(7 + x * Math.cos(angle) - y * Math.sin(angle), -3 + x * Math.sin(angle) + y * Math.cos(angle))
      const met = meetings(circle(put(0, 0), r), circle(put(d, 0), q))
      expect(met).toHaveLength(2)
      for (const expected of [put(along, up), put(along, -up)]) {
        // The formula loses digits where the circles graze; there the square root doubles its error.
        expect(Math.min(...met.map((m) => distance(m.at, expected)))).toBeLessThan(1e-9 * Math.max(1, r / up))
      }
      expect(met.every((m) => !m.touches)).toBe(true)
    }),
    { numRuns: 300 },
  )
})

test('a line at the height h cuts a circle at sqrt(r^2 - h^2), at lengths told by the angle', () => {
  const line = openPath(point(-20, 3), lineTo(point(20, 3)))
  const met = meetings(line, circle(point(0, 0), 5))
  expect(met.map((m) => m.at.x)).toEqual([expect.closeTo(-4, 11), expect.closeTo(4, 11)])
  expect(met.map((m) => m.onA)).toEqual([expect.closeTo(16, 11), expect.closeTo(24, 11)])
  expect(met.map((m) => m.onB)).toEqual([
    expect.closeTo(5 * (Math.PI - Math.atan2(3, 4)), 11),
    expect.closeTo(5 * Math.atan2(3, 4), 11),
  ])
})

test('a cubic arch is as high as 48 at t = 0.2 and 0.8: x = 10.4 and 89.6', () => {
  // y = 300 t (1 - t), x = 300 t^2 (1 - t) + 100 t^3
  const level = openPath(point(-10, 48), lineTo(point(110, 48)))
  expect(meetings(level, arch).map((m) => m.at.x)).toEqual([expect.closeTo(10.4, 10), expect.closeTo(89.6, 10)])
  const upsideDown = openPath(point(0, 96), cubicTo(point(0, -4), point(100, -4), point(100, 96)))
  const met = meetings(arch, upsideDown)
  expect(met.map((m) => m.at.x)).toEqual([expect.closeTo(10.4, 10), expect.closeTo(89.6, 10)])
  expect(met.map((m) => m.at.y)).toEqual([expect.closeTo(48, 10), expect.closeTo(48, 10)])
})

test('a line 20 m long meets an arc of 10 km radius to 1e-9 mm', () => {
  // chord 16 m on radius 10 km; a line at half the sagitta
  const half = Math.asin(8000 / 1e7)
  const sagitta = 1e7 * (1 - Math.cos(half))
  const bow = openPath(point(-8000, 0), arcTo(point(8000, 0), -2 * half))
  const met = meetings(openPath(point(-10000, sagitta / 2), lineTo(point(10000, sagitta / 2))), bow)
  // (1e7 - sagitta / 2)^2 + x^2 = 1e14
  const x = Math.sqrt((sagitta / 2) * (2e7 - sagitta / 2))
  // height is known to some 1e-12 mm, and the line rises on it at 1 : 1768
  expect(met.map((m) => m.at.x)).toEqual([expect.closeTo(-x, 5), expect.closeTo(x, 5)])
  const upright = meetings(openPath(point(0, -10000), lineTo(point(0, 10000))), bow)
  expect(upright.map((m) => m.at.y)).toEqual([expect.closeTo(sagitta, 9)])
})

test('what only touches says so: line and circle, circle and circle, cubic and line, a corner on an edge', () => {
  const disc = circle(point(0, 0), 10)
  const touches: readonly (readonly [Path, Path, Point])[] = [
    [openPath(point(-30, 10), lineTo(point(30, 10))), disc, point(0, 10)],
    [openPath(point(10, -30), lineTo(point(10, 30))), disc, point(10, 0)],
    [circle(point(16, 0), 6), disc, point(10, 0)],
    [circle(point(3, 4), 5), disc, point(6, 8)],
    [openPath(point(0, 75), lineTo(point(100, 75))), arch, point(50, 75)],
    [
      polyline([point(-5, 20), point(0, 10), point(5, 20)]),
      openPath(point(-9, 10), lineTo(point(9, 10))),
      point(0, 10),
    ],
  ]
  for (const [a, b, at] of touches) {
    const met = meetings(a, b)
    expect(met).toHaveLength(1)
    expect(met[0]?.touches).toBe(true)
    // A touch is known to the root of the gap that counts as none: sqrt(2 r 1e-9).
    expect(distance(met[0]?.at ?? point(0, 0), at)).toBeLessThan(3e-4)
  }
  expect(meetings(openPath(point(-30, 10.00001), lineTo(point(30, 10.00001))), disc)).toEqual([])
  const shallow = meetings(openPath(point(-30, 9.99999), lineTo(point(30, 9.99999))), disc)
  expect(shallow.map((m) => m.at.x)).toEqual([
    expect.closeTo(-Math.sqrt(100 - 9.99999 ** 2), 8),
    expect.closeTo(Math.sqrt(100 - 9.99999 ** 2), 8),
  ])
})

test('a crossing at a joint counts once, and is one even where a corner meets a corner', () => {
  const square = rectangle(point(0, 0), point(10, 10))
  const diagonal = openPath(point(-5, -5), lineTo(point(15, 15)))
  const met = meetings(square, diagonal)
  expect(met.map((m) => [m.at, m.onA, m.touches])).toEqual([
    [point(0, 0), 0, false],
    [point(10, 10), 20, false],
  ])
  const zigzag = polyline([point(-5, 0), point(0, 0), point(3, 9)])
  // runs along no edge, and comes from outside to inside through the corner
  expect(meetings(rectangle(point(0, 0), point(4, 30)), zigzag).map((m) => m.touches)).toEqual([false])
})

test('a stretch in common is told by its ends: lines, arcs and cubics', () => {
  const ends = (a: Path, b: Path) => {
    const met = meetings(a, b)
    expect(met.every((m) => m.touches)).toBe(true)
    return met.map((m) => [m.onA, m.onB])
  }
  const near = (x: number) => expect.closeTo(x, 7)
  const level = openPath(point(0, 0), lineTo(point(10, 0)))
  expect(ends(level, openPath(point(4, 0), lineTo(point(16, 0))))).toEqual([
    [near(4), near(0)],
    [near(10), near(6)],
  ])
  expect(ends(level, openPath(point(7, 0), lineTo(point(2, 0))))).toEqual([
    [near(2), near(5)],
    [near(7), near(0)],
  ])
  const quarter = openPath(point(10, 0), arcTo(point(0, 10), Math.PI / 2))
  const eighth = openPath(point(10 * Math.SQRT1_2, 10 * Math.SQRT1_2), arcTo(point(-10, 0), 0.75 * Math.PI))
  expect(ends(quarter, eighth)).toEqual([
    [near(2.5 * Math.PI), near(0)],
    [near(5 * Math.PI), near(2.5 * Math.PI)],
  ])
  const whole = pathLength(arch)
  expect(ends(arch, reversed(arch))).toEqual([
    [near(0), near(whole)],
    [near(whole), near(0)],
  ])
  // the end of one is the start of the other, on the same circle
  const rest = openPath(point(0, 10), arcTo(point(-10, 0), Math.PI / 2))
  expect(ends(quarter, rest)).toEqual([[near(5 * Math.PI), near(0)]])
})

/** Crossings of fine chords, each pair looked at: slow, and independent of what is tested. */
function chordCrossings(a: readonly Point[], b: readonly Point[]): { at: Point; angle: number }[] {
  const found: { at: Point; angle: number }[] = []
  for (let i = 1; i < a.length; i++) {
    for (let j = 1; j < b.length; j++) {
      const p = a[i - 1] as Point
      const q = b[j - 1] as Point
      const u = subtract(a[i] as Point, p)
      const v = subtract(b[j] as Point, q)
      const det = cross(u, v)
      const s = cross(subtract(q, p), v) / det
      const t = cross(subtract(q, p), u) / det
      if (!(s >= 0 && s < 1 && t >= 0 && t < 1)) continue
      const angle = Math.abs(det) / Math.hypot(u.x, u.y) / Math.hypot(v.x, v.y)
      found.push({ at: point(p.x + u.x * s, p.y + u.y * s), angle })
    }
  }
  return found
}

test('any two paths meet on both of them, at the lengths told, and wherever their chords plainly cross', () => {
  let seen = 0
  fc.assert(
    fc.property(widePath, widePath, (a, b) => {
      const met = meetings(a, b)
      seen += met.length
      for (const m of met) {
        expect(distance(stationAt(a, Math.min(m.onA, pathLength(a))).at, m.at)).toBeLessThan(1e-6)
        expect(distance(stationAt(b, Math.min(m.onB, pathLength(b))).at, m.at)).toBeLessThan(1e-6)
      }
      const plain = chordCrossings(flatten(a, 0.1), flatten(b, 0.1)).filter((c) => c.angle > 0.1)
      for (const c of plain) {
        expect(Math.min(...met.map((m) => distance(m.at, c.at)))).toBeLessThan(3)
      }
      const back = meetings(b, a)
      expect(back).toHaveLength(met.length)
      for (const m of met) expect(Math.min(...back.map((other) => distance(other.at, m.at)))).toBeLessThan(0.02)
    }),
    { numRuns: 100 },
  )
  expect(seen).toBeGreaterThan(100)
})

test('two zigzags of 1000 pieces cross once a piece', () => {
  const zigzag = (shift: number) =>
    polyline(Array.from({ length: 1001 }, (_, i) => point(i * 5, (i % 2 === 0 ? -10 : 10) * shift)))
  // each pair of pieces runs through (2.5 + 5 i, 0)
  const met = meetings(zigzag(1), zigzag(-1))
  expect(met).toHaveLength(1000)
  expect(met.every((m, i) => distance(m.at, point(2.5 + 5 * i, 0)) < 1e-9 && !m.touches)).toBe(true)
})

test('nothing meets an empty path', () => {
  expect(meetings({ start: point(0, 0), segments: [], closed: false }, arch)).toEqual([])
  expect(meetings(arch, { start: point(0, 0), segments: [], closed: false })).toEqual([])
})
