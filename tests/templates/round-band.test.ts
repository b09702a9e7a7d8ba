import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { pathLength, stationAt } from '../../src/geometry/length.ts'
import { closedPath, endOf, type Path } from '../../src/geometry/path.ts'
import { distance, type Point } from '../../src/geometry/point.ts'
import type { Development } from '../../src/panel/development.ts'
import { onObject } from '../../src/panel/surface.ts'
import { developBand } from '../../templates/round-band.ts'
import { taperedBand } from '../../templates/tapered-band/template.ts'
import { surfaceOf } from '../panel/simple.ts'
import { mm, say, thin, unopened } from './measures.ts'

const band = (bottomGirth: number, topGirth: number, slant: number, bottomGap = 0, topGap = 0) =>
  developBand({
    bottomGirth,
    topGirth,
    slant,
    bottomGap,
    topGap,
    marks: [],
    notes: [],
    openings: unopened,
  })[0]

const sides = ({ edges }: Development): [Path, Path, Path, Path] => {
  const [bottom, right, top, left] = edges.map((edge) => edge.path)
  return bottom && right && top && left ? [bottom, right, top, left] : expect.fail('four edges')
}
const chord = (path: Path) => distance(path.start, endOf(path))
const turn = (path: Path) => path.segments.reduce((sum, s) => sum + (s.kind === 'arc' ? s.sweep : 0), 0)
const degrees = (radians: number) => (Math.abs(radians) * 180) / Math.PI
const outlineOf = (development: Development) => {
  const own = sides(development)
  return closedPath(
    own[0].start,
    own.flatMap((side) => side.segments),
  )
}

test('a frustum of 184 and 320 in and 285 in depth is a ring of 396.411765 and 689.411765 in (mensuration book p. 76, ex. 6)', () => {
  // 68-285-293 is a right triangle in whole numbers. The book: 1611 square feet.
  const slant = Math.hypot(285, (320 - 184) / 2)
  expect(slant).toBe(293)
  const laid = band(184 * Math.PI, 320 * Math.PI, slant)
  const [bottom, right, top] = sides(laid)
  expect(degrees(turn(bottom))).toBeCloseTo(83.549488, 6)
  expect(degrees(turn(top))).toBeCloseTo(83.549488, 6)
  expect(pathLength(bottom) / Math.abs(turn(bottom))).toBeCloseTo(396.411765, 6)
  expect(pathLength(top) / Math.abs(turn(top))).toBeCloseTo(689.411765, 6)
  expect(chord(right)).toBeCloseTo(293, 9)
  expect(chord(bottom)).toBeCloseTo(528.182048, 6)
  expect(chord(top)).toBeCloseTo(918.577475, 6)
  expect(signedArea(outlineOf(laid)) / 144).toBeCloseTo(1610.851633, 6)
})

test('a frustum of 6 and 3 in and 3 in altitude opens to 160.996894 degrees (Longfield, Sheet Metal Drafting, p. 128)', () => {
  const laid = band(3 * Math.PI, 6 * Math.PI, Math.hypot(3, 1.5))
  const [bottom, right, top] = sides(laid)
  expect(chord(right)).toBeCloseTo(3.354102, 6)
  expect(degrees(turn(top))).toBeCloseTo(160.996894, 6)
  expect(chord(bottom)).toBeCloseTo(6.616175, 6)
  expect(chord(top)).toBeCloseTo(13.23235, 6)
  expect(signedArea(outlineOf(laid))).toBeCloseTo(47.417499, 6)
})

test('a cap of base 3 in and slant 2 in is three quarters of a disc (Atkins, Practical Sheet and Plate Metal Work, ch. XII)', () => {
  const [bottom, , top] = sides(band(3 * Math.PI, 1e-9, 2))
  expect(degrees(turn(bottom))).toBeCloseTo(270, 6)
  expect(pathLength(bottom)).toBeCloseTo(9.424778, 6)
  expect(pathLength(bottom) / Math.abs(turn(bottom))).toBeCloseTo(2, 6)
  expect(chord(top)).toBeLessThan(1e-9)
})

test('a pail 800 over 700 mm and 200 mm up its side measures the same round both edges when laid out', () => {
  const laid = band(700, 800, 200)
  const [bottom, right, top, left] = sides(laid)
  expect(pathLength(bottom)).toBeCloseTo(700, 9)
  expect(pathLength(top)).toBeCloseTo(800, 9)
  expect(chord(right)).toBeCloseTo(200, 9)
  expect(chord(left)).toBeCloseTo(200, 9)
  expect(chord(bottom)).toBeCloseTo(692.731086, 6)
  expect(chord(top)).toBeCloseTo(791.69267, 6)
  const { low, high } = boundsOf([outlineOf(laid)])
  expect(high.x - low.x).toBeCloseTo(791.69267, 6)
  expect(high.y - low.y).toBeCloseTo(243.52261, 6)
  expect(signedArea(outlineOf(laid))).toBeCloseTo(150000, 6)
})

test('240 of the 360 degrees of that pail are arcs of 533.333 and 466.667 mm', () => {
  const [bottom, , top] = sides(band(700, 800, 200, 700 / 3, 800 / 3))
  expect(pathLength(top)).toBeCloseTo(533.333333, 6)
  expect(pathLength(bottom)).toBeCloseTo(466.666667, 6)
  expect(degrees(turn(top))).toBeCloseTo(19.098593, 6)
})

test('a band nearly as wide above as below bends by its true sagitta, not by a rounded one', () => {
  // For the bottom edge: girth^2 (difference / slant) / girth / 8 = 700 d / 1600, apex 1.4e8 mm away.
  for (const difference of [1e-3, 1e-6]) {
    const [bottom] = sides(band(700, 700 + difference, 200))
    const middle = bottom.segments[0]?.to ?? expect.fail('two arcs')
    expect((middle.y - bottom.start.y) / ((700 * difference) / 1600)).toBeCloseTo(1, 6)
  }
})

/** A place on a cone in space, from its own measures; only the reading of the panel is the code under test. */
interface Cone {
  readonly bottom: number
  readonly top: number
  readonly slant: number
}
type Space = readonly [number, number, number]

function inSpace({ bottom, top, slant }: Cone, angle: number, up: number): Space {
  const [low, high] = [bottom / (2 * Math.PI), top / (2 * Math.PI)]
  const share = up / slant + 0.5
  const radius = low + (high - low) * share
  return [radius * Math.cos(angle), radius * Math.sin(angle), share * Math.sqrt(slant ** 2 - (high - low) ** 2)]
}

const apart = (a: Space, b: Space) => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2])
const walked = (places: readonly Space[]) =>
  places.slice(1).reduce((sum, place, i) => sum + apart(place, places[i] ?? place), 0)

const steps = 2000
const angleOf = (cone: Cone, laid: Development, p: Point) => {
  const { round, up } = onObject(surfaceOf(laid), p)
  return { angle: (round / (cone.bottom + cone.top)) * 4 * Math.PI, up }
}

function onCone(cone: Cone, laid: Development, path: Path): Space[] {
  const length = pathLength(path)
  return Array.from({ length: steps + 1 }, (_, i) => {
    const { angle, up } = angleOf(cone, laid, stationAt(path, (length * i) / steps).at)
    return inSpace(cone, angle, up)
  })
}

const anyCone = fc
  .record({ mid: mm(200, 1500), slant: mm(50, 400), turn: fc.oneof(mm(-4, 4), mm(-1e-5, 1e-5)) })
  .map(({ mid, slant, turn: angle }): Cone => {
    const difference = Math.max(-1.4 * mid, Math.min(1.4 * mid, angle * slant))
    return { bottom: mid - difference / 2, top: mid + difference / 2, slant }
  })

test('every edge of a part wrap is as long on the flat as it is in space, added up in small steps on the cone', () => {
  fc.assert(
    fc.property(anyCone, mm(0.02, 0.6), mm(0.02, 0.6), (cone, low, high) => {
      const laid = band(cone.bottom, cone.top, cone.slant, low * cone.bottom, high * cone.top)
      const [bottom, right, top, left] = sides(laid)
      for (const path of [bottom, right, top, left]) {
        expect(walked(onCone(cone, laid, path)) / pathLength(path)).toBeCloseTo(1, 5)
      }
      expect(pathLength(bottom)).toBeCloseTo(cone.bottom * (1 - low), 6)
      expect(pathLength(top)).toBeCloseTo(cone.top * (1 - high), 6)
    }),
    { numRuns: 40 },
  )
})

test('a gap of one width leaves a strip whose sides are that far apart all the way up', () => {
  fc.assert(
    fc.property(anyCone, mm(2, 25), (cone, gap) => {
      const values = {
        bottomGirth: cone.bottom,
        bottomDiameter: undefined,
        topGirth: cone.top,
        topDiameter: undefined,
        slant: cone.slant,
        height: undefined,
        gap,
        bottomGap: undefined,
        topGap: undefined,
        overlap: undefined,
        ...unopened,
      }
      expect(taperedBand.check(values)).toEqual([])
      const [laid = expect.fail('no panel')] = taperedBand.develop(values, thin, say)
      const [bottom, right, top, left] = sides(laid)
      const sine = (cone.top - cone.bottom) / (2 * Math.PI * cone.slant)
      // mm from the strip's own middle line, laid out about the cone's apex: rho sin(angle on the flat).
      const aside = (p: Point) => {
        const { angle, up } = angleOf(cone, laid, p)
        const away = (Math.PI - Math.abs(angle)) * sine
        const radius = (cone.bottom + cone.top) / (4 * Math.PI) + up * sine
        return Math.abs(sine) < 1e-6 ? radius * (Math.PI - Math.abs(angle)) : (radius / sine) * Math.sin(away)
      }
      for (const share of [0, 0.2, 0.5, 0.8, 1]) {
        expect(aside(stationAt(right, share * chord(right)).at)).toBeCloseTo(gap / 2, 6)
        expect(aside(stationAt(left, share * chord(left)).at)).toBeCloseTo(gap / 2, 6)
      }
      // The shortest way over the strip, straight across it, walked in space from one edge of the film to the other.
      if (Math.abs(sine) > 1e-3) {
        const { angle, up } = angleOf(cone, laid, stationAt(right, chord(right) / 2).at)
        const rho = ((cone.bottom + cone.top) / (4 * Math.PI) + up * sine) / sine
        const level = rho * Math.cos((Math.PI - angle) * sine)
        const across = Array.from({ length: steps + 1 }, (_, i) => {
          const x = -gap / 2 + (gap * i) / steps
          const from = Math.sign(level) * Math.hypot(x, level)
          const own = Math.asin(x / from) / sine
          return inSpace(cone, Math.PI + own, from - (cone.bottom + cone.top) / (4 * Math.PI) / sine)
        })
        expect(walked(across)).toBeCloseTo(gap, 5)
        const first = across[0] ?? expect.fail('no steps')
        expect(apart(first, inSpace(cone, angle, up))).toBeLessThan(1e-6)
      }
      // Film and bare arc make up the girth.
      for (const [edge, girth] of [
        [bottom, cone.bottom],
        [top, cone.top],
      ] as const) {
        const rho = girth / (2 * Math.PI) / Math.abs(sine)
        const arc = Math.abs(sine) < 1e-6 ? gap : 2 * rho * Math.asin(gap / (2 * rho))
        expect(pathLength(edge) + arc).toBeCloseTo(girth, 6)
      }
    }),
    { numRuns: 60 },
  )
})
