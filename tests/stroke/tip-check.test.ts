import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { flatten } from '../../src/geometry/flatten.ts'
import {
  arcTo,
  circle,
  closedPath,
  cubicTo,
  lineTo,
  openPath,
  type Path,
  polyline,
  rectangle,
} from '../../src/geometry/path.ts'
import { add, between, direction, distance, type Point, point, scaled } from '../../src/geometry/point.ts'
import { transform, translation } from '../../src/geometry/transform.ts'
import { type Blade, drivenPath, movingParts, startWay } from '../../src/stroke/blade.ts'
import { facing, leadIn, leadInForms } from '../../src/stroke/lead-in.ts'
import type { Stroke } from '../../src/stroke/stroke.ts'
import { checkTip, type Drive } from '../../src/stroke/tip-check.ts'
import { lettering } from '../../templates/lettering/template.ts'
import { sampleFont, sampleFonts } from '../templates/any/lettering.ts'
import { say } from '../templates/measures.ts'

const asStroke = (path: Path, name = 'paint tin: outline'): Stroke => ({ operation: 'kiss', path, name })
/** As a plain file has it: chords within 0.02 mm, whole fortieths of a mm. */
const filed = (path: Path): Path =>
  polyline(flatten(path, 0.02).map((p) => point(Math.round(p.x * 40) / 40, Math.round(p.y * 40) / 40)))
const exactly = (path: Path): Drive => ({ path: { ...path, closed: false } })

/** How a blade stands that sets out as the path does, rad. */
function settingOut(path: Path): number {
  const [part] = movingParts(path)
  const way = part ? startWay(part) : direction(0)
  return Math.atan2(way.y, way.x)
}

/** A lead-in to a direction, rad, somewhere on scrap. */
const led = (wanted: number, at: Point, blade: Blade): Path =>
  transform(facing(leadIn(blade, leadInForms[0]?.[0] ?? expect.fail('no form')), wanted).path, translation(at.x, at.y))

function checked(asked: Path, drive: Path, blade: Blade) {
  const { strokes } = checkTip([asStroke(asked)], [{ path: drive }], blade, { heading: settingOut(asked) })
  return strokes[0] ?? expect.fail('no stroke was checked')
}
/** The worst of both sides for a blade that is allowed for, through the file. */
function missed(asked: Path, blade: Blade): number {
  const { cut, uncut } = checked(asked, filed(drivenPath(asked, blade, undefined).path), blade)
  return Math.max(cut.distance, uncut.distance)
}

const radians = (angle: number) => (angle * Math.PI) / 180
/** A number of `low` to `high` spread evenly. */
const even = (low: number, high: number) => fc.integer({ min: 0, max: 1e6 }).map((i) => low + ((high - low) * i) / 1e6)
const offsets = [0.25, 0.5, 0.75, 1, 1.25, 1.5]
const allowed = 0.05

describe.each(offsets)('a blade of %d mm that is allowed for cuts within 0.05 mm of', (offset) => {
  const blade = { offset, leastTurn: radians(8) }
  const leg = fc.record({ turn: even(5, 175), left: fc.boolean(), length: even(0, 1) })

  test('polygons with corners from 5 to 175 degrees, on any scale down to sides of 0.2 mm', () => {
    const legs = fc.array(leg, { minLength: 1, maxLength: 10 })
    const sizes = fc.constantFrom([0.2, 2], [2, 20], [20, 200])
    fc.assert(
      fc.property(legs, sizes, even(0, 7), fc.boolean(), (own, [least = 0, most = 0], first, isClosed) => {
        const points = [point(70.013, 40.007)]
        let way = first
        for (const { turn, left, length } of own) {
          points.push(add(points.at(-1) as Point, scaled(direction(way), least + (most - least) * length)))
          way += (left ? 1 : -1) * radians(turn)
        }
        expect(missed(polyline(points, isClosed), blade)).toBeLessThan(allowed)
      }),
      { numRuns: 120 },
    )
  })

  test('circles and rounded rectangles', () => {
    const corner = fc.record({ x: even(0, 1), y: even(0, 1) })
    fc.assert(
      fc.property(corner, fc.constantFrom(0.1, 0.3, 0.8, 2, 7, 40, 300), even(1, 2), (at, size, share) => {
        expect(missed(circle(at, size * share), blade)).toBeLessThan(allowed)
        const high = point(at.x + 3.1 * size * share, at.y + 2.2 * size * share)
        expect(missed(rectangle(at, high, [0, size / 2, size, size / 9]), blade)).toBeLessThan(allowed)
      }),
      { numRuns: 30 },
    )
  })

  test('loops of any cubics', () => {
    const place = fc.record({ x: even(0, 1), y: even(0, 1) })
    const three = fc.tuple(place, place, place)
    fc.assert(
      fc.property(
        place,
        fc.array(three, { minLength: 1, maxLength: 4 }),
        fc.constantFrom(3, 15, 90),
        (from, own, size) => {
          const big = (p: Point) => scaled(p, size)
          const curves = own.map(([a, b, to]) => cubicTo(big(a), big(b), big(to)))
          expect(missed(closedPath(big(from), curves), blade)).toBeLessThan(allowed)
        },
      ),
      { numRuns: 30 },
    )
  })

  test('the letters of a font', () => {
    const paths = letters('S&Qg8 wk3R', 25)
    expect(paths.length).toBeGreaterThan(10)
    for (const path of paths) expect(missed(path, blade)).toBeLessThan(allowed)
  })

  test('a lead-in first, then stroke after stroke as the blade comes from the last', () => {
    const asked = [
      asStroke(rectangle(point(20, 20), point(60, 50), [0, 3, 0, 8])),
      asStroke(openPath(point(5, 5), lineTo(point(5, 15)))),
      asStroke(circle(point(90, 30), 12)),
    ]
    const drives: Drive[] = [{ path: filed(led(0, point(100, 80), blade)), leadIn: true }]
    let heading = 0
    for (const { path } of asked) {
      const own = drivenPath(path, blade, heading)
      drives.push({ path: filed(own.path) })
      heading = own.heading
    }
    for (const before of [undefined, 0.5, 3, 5]) {
      const options = before === undefined ? {} : { heading: before }
      const { worstCut, worstUncut } = checkTip(asked, drives, blade, options)
      expect(worstCut?.distance).toBeLessThan(allowed)
      expect(worstUncut?.distance).toBeLessThan(allowed)
    }
  })
})

type Values = Parameters<typeof lettering.develop>[0]

function letters(text: string, capHeight: number): readonly Path[] {
  const values = {
    ...{ text, font: sampleFont, capHeight, spacing: 0, on: 'line', radius: undefined, side: 'outside' },
    ...{ border: 12, borderRadius: 3, backing: 'none', backingMargin: 20, backingShape: 'rectangle' },
    ...{ backingRadius: 8, archRise: undefined },
  } as Values
  const facts = { filmThickness: 0.08, tapeThickness: 0, files: sampleFonts }
  return lettering.develop(values, facts, say).flatMap((panel) => panel.inner ?? [])
}

describe.each(offsets)('a blade of %d mm that is not allowed for', (offset) => {
  const blade = { offset, leastTurn: 0.1 }

  test('cuts a circle small by R - sqrt(R^2 - L^2)', () => {
    const asked = circle(point(0, 0), 5)
    // Twice round, and of that the second: once round from anywhere the blade still settles.
    const round = exactly(openPath(asked.start, ...asked.segments, ...asked.segments))
    const settled = { ...exactly(asked), path: openPath(asked.start, ...asked.segments) }
    const options = { heading: settingOut(asked) }
    const { strokes } = checkTip([asStroke(asked), asStroke(asked)], [round, settled], blade, options)
    const short = 5 - Math.sqrt(25 - offset ** 2)
    expect(Math.abs((strokes[1]?.cut.distance ?? 0) - short)).toBeLessThan(0.002)
    expect(Math.abs((strokes[1]?.uncut.distance ?? 0) - short)).toBeLessThan(0.002)
  })

  test('stays 0.662743 of its offset from a right corner, and says that it is that corner', () => {
    const asked = openPath(point(-30, 0), lineTo(point(0, 0)), lineTo(point(0, 30)))
    // Begun and ended farther out, so that the ends of the cut are not what is missed.
    const longer = openPath(point(-30, 0), lineTo(point(0, 0)), lineTo(point(0, 30 + 2 * offset)))
    const { uncut } = checked(asked, longer, blade)
    expect(Math.abs(uncut.distance - 0.662743 * offset)).toBeLessThan(0.003)
    expect(distance(uncut.at, point(0, 0))).toBeLessThan(0.01)
  })
})

test('a line of 100,000 corners is driven and checked whole', () => {
  const points = Array.from({ length: 100_000 }, (_, i) => {
    const turn = (i / 50_000) * Math.PI
    return scaled(direction(turn), 400 + 20 * Math.sin(30 * turn))
  })
  expect(missed(polyline(points, true), { offset: 0.5, leastTurn: 0.1 })).toBeLessThan(allowed)
}, 60_000)

const none: Blade = { offset: 0, leastTurn: 0 }

test('a closed line that is left open shows as uncut in the middle of its gap, and not as a wrong cut', () => {
  const asked = rectangle(point(0, 0), point(40, 30))
  const open = openPath(point(0, 0), ...[point(40, 0), point(40, 30), point(0, 30), point(0, 3)].map(lineTo))
  const { cut, uncut } = checked(asked, open, none)
  expect(cut.distance).toBeLessThan(1e-9)
  expect(Math.abs(uncut.distance - 1.5)).toBeLessThan(0.001)
  expect(distance(uncut.at, point(0, 1.5))).toBeLessThan(0.002)
})

test('a cut that runs on past the end shows as a wrong cut, and not as uncut', () => {
  const { cut, uncut } = checked(polyline([point(0, 0), point(10, 0)]), polyline([point(0, 0), point(12, 0)]), none)
  expect(uncut.distance).toBeLessThan(1e-9)
  expect(cut).toEqual({ distance: 2, at: point(12, 0) })
})

test('what lies between the points of long chords is found', () => {
  const level = polyline([point(0, 0), point(100, 0)])
  const spike = polyline([point(0, 0), point(37.3, 0), point(37.3, 0.2), point(37.4, 0), point(100, 0)])
  expect(checked(spike, level, none).uncut).toEqual({ distance: 0.2, at: point(37.3, 0.2) })
  expect(checked(level, spike, none).cut).toEqual({ distance: 0.2, at: point(37.3, 0.2) })
  // An arc over a chord of 100 with a rise of 0.3: the turn is 4 atan(0.3 / 50).
  const arched = openPath(point(0, 0), arcTo(point(100, 0), -4 * Math.atan(0.3 / 50)))
  const { cut, uncut } = checked(arched, level, none)
  expect(Math.abs(cut.distance - 0.3)).toBeLessThan(0.002)
  expect(Math.abs(uncut.distance - 0.3)).toBeLessThan(0.002)
  expect(Math.abs(cut.at.x - 50)).toBeLessThan(5)
})

test('on any two lines the distances are those of 3000 places looked at one by one', () => {
  const place = fc.record({ x: even(0, 30), y: even(0, 30) })
  const line = fc.array(place, { minLength: 2, maxLength: 40 })
  const toChord = (p: Point, a: Point, b: Point) => {
    const [dx, dy] = [b.x - a.x, b.y - a.y]
    const t = Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy || 1)))
    return Math.hypot(a.x + t * dx - p.x, a.y + t * dy - p.y)
  }
  const farthest = (from: readonly Point[], to: readonly Point[]) => {
    const count = Math.ceil(3000 / from.length)
    const to1 = (p: Point) => Math.min(...to.slice(1).map((b, i) => toChord(p, to[i] as Point, b)))
    return Math.max(
      ...from
        .slice(1)
        .flatMap((b, i) => Array.from({ length: count + 1 }, (_, k) => to1(between(from[i] as Point, b, k / count)))),
    )
  }
  fc.assert(
    fc.property(line, line, (a, b) => {
      const { cut, uncut } = checked(polyline(a), polyline(b), none)
      // The places are up to 30 mm * sqrt(2) * 40 / 3000 apart, and between them it can only be more.
      for (const [found, seen] of [
        [cut.distance, farthest(b, a)],
        [uncut.distance, farthest(a, b)],
      ] as const) {
        expect(found).toBeGreaterThan(seen - 6e-4)
        expect(found).toBeLessThan(seen + 0.3)
      }
    }),
    { numRuns: 25 },
  )
})

test('the worst is told with its stroke, its name and its place', () => {
  const lines = [0, 10, 20].map((y) => polyline([point(0, y), point(30, y)]))
  const drives = [lines[0], polyline([point(0, 10), point(30, 10.3)]), lines[2]]
  const report = checkTip(
    lines.map((path, i) => asStroke(path, `lid: slit ${i + 1}`)),
    drives.map((path) => ({ path: path as Path })),
    none,
  )
  expect(report.strokes.map((s) => s.cut.distance > 0.01)).toEqual([false, true, false])
  expect(report.worstCut).toEqual({
    distance: expect.closeTo(0.3, 9),
    at: point(30, 10.3),
    stroke: 1,
    name: 'lid: slit 2',
  })
  expect(report.worstUncut?.stroke).toBe(1)
  const nothing = checkTip([], [], none)
  expect(nothing).toEqual({ strokes: [], worstCut: undefined, worstUncut: undefined })
})

test('each cut is held against its own stroke, so that neighbours do not stand in for one another', () => {
  const [a, b] = [0, 10].map((y) => polyline([point(0, y), point(30, y)])) as [Path, Path]
  const { worstCut } = checkTip([asStroke(a), asStroke(b)], [{ path: b }, { path: a }], none)
  expect(worstCut?.distance).toBeCloseTo(10, 6)
})

test('a blade that comes down across its line shows, unless it was turned before', () => {
  const blade = { offset: 1, leastTurn: 0.1 }
  const asked = polyline([point(0, 0), point(30, 0)])
  const trusting = { path: drivenPath(asked, blade, undefined).path }
  const ofBlade = (drives: readonly Drive[], heading?: number) =>
    checkTip([asStroke(asked)], drives, blade, heading === undefined ? {} : { heading }).worstCut?.distance ?? 0
  expect(ofBlade([trusting], 0)).toBeLessThan(0.001)
  expect(ofBlade([trusting])).toBeGreaterThan(0.9)
  // Standing across it comes down at (1, -1), 1 mm off the line.
  expect(ofBlade([trusting], Math.PI / 2)).toBeCloseTo(1, 6)
  const turned = { path: led(0, point(0, 20), blade), leadIn: true }
  expect(ofBlade([turned, trusting], Math.PI / 2)).toBeLessThan(0.02)
  expect(ofBlade([turned, trusting])).toBeLessThan(0.02)
  // One short leg is not enough from every heading.
  expect(ofBlade([{ path: polyline([point(0, 20), point(2, 20)]), leadIn: true }, trusting])).toBeGreaterThan(0.5)
  // Turned on the spot, from the heading it has.
  expect(ofBlade([{ path: drivenPath(asked, blade, 2).path }], 2)).toBeLessThan(0.003)
})

test('a stroke driven too few or too many is refused', () => {
  const path = polyline([point(0, 0), point(30, 0)])
  expect(() => checkTip([asStroke(path)], [], none)).toThrow(/0 strokes driven for 1 asked for/)
  expect(() => checkTip([], [{ path }], none)).toThrow(/1 strokes driven for 0 asked for/)
})

describe('what is smaller than the blade is told from the asked path alone:', () => {
  const blade = { offset: 0.5, leastTurn: 0.1 }
  const forbidden = (path: Path, own: Blade = blade) =>
    checked(path, drivenPath(path, own, undefined).path, own).forbidden

  test('a hole of a radius under the offset, and no larger one', () => {
    expect(forbidden(circle(point(9, 9), 0.4))).toEqual([
      { kind: 'tight curve', at: expect.anything(), size: expect.closeTo(0.4, 9) },
    ])
    expect(forbidden(circle(point(9, 9), 0.6))).toEqual([])
    expect(forbidden(circle(point(9, 9), 0.4), { offset: 0, leastTurn: 0.1 })).toEqual([])
    expect(forbidden(circle(point(9, 9), 0.4), { offset: 0.25, leastTurn: 0.1 })).toEqual([])
  })

  test('the round end of a slot, once, wherever its line starts, but not a rounded corner', () => {
    const ends = [point(0, 0.3), point(0, -0.3), point(9, -0.3), point(9, 0.3)] as const
    const slot = closedPath(ends[0], [
      arcTo(ends[1], Math.PI),
      lineTo(ends[2]),
      arcTo(ends[3], Math.PI),
      lineTo(ends[0]),
    ])
    const slotEnds = [...forbidden(slot)].sort((one, other) => one.at.x - other.at.x)
    expect(slotEnds.map(({ at, size }) => [at.x, size])).toEqual([
      [expect.closeTo(-0.3, 9), expect.closeTo(0.3, 9)],
      [expect.closeTo(9.3, 9), expect.closeTo(0.3, 9)],
    ])
    const top = point(-0.3, 0)
    const within = closedPath(top, [arcTo(ends[1], Math.PI / 2), ...slot.segments.slice(1), arcTo(top, Math.PI / 2)])
    const found = forbidden(within)
    expect(found.map((f) => f.size)).toEqual([expect.closeTo(0.3, 9), expect.closeTo(0.3, 9)])
    expect(forbidden(rectangle(point(0, 0), point(9, 9), [0.3, 0.3, 0.3, 0.3]))).toEqual([])
  })

  test('a tight bend of cubics', () => {
    // A half circle of radius 0.4 by two cubics with handles of 0.5523 of it
    const k = 0.5523 * 0.4
    const bend = openPath(
      point(0, 0),
      lineTo(point(5, 0)),
      cubicTo(point(5 + k, 0), point(5.4, 0.4 - k), point(5.4, 0.4)),
      cubicTo(point(5.4, 0.4 + k), point(5 + k, 0.8), point(5, 0.8)),
      lineTo(point(0, 0.8)),
    )
    const [one, ...others] = forbidden(bend)
    expect(others).toEqual([])
    expect(one?.kind).toBe('tight curve')
    expect(Math.abs((one?.size ?? 0) - 0.4)).toBeLessThan(0.01)
    const wide = openPath(point(0, 0), cubicTo(point(4, 0), point(4, 4), point(0, 4)))
    expect(forbidden(wide)).toEqual([])
  })

  test('a step between opposite corners that is shorter than the offset, but not one between corners alike', () => {
    const step = (jog: number) => polyline([point(0, 0), point(5, 0), point(5, jog), point(10, jog)])
    expect(forbidden(step(0.3))).toEqual([{ kind: 'short step', at: point(5, 0.15), size: expect.closeTo(0.3, 9) }])
    expect(forbidden(step(0.6))).toEqual([])
    expect(forbidden(step(0.3), { offset: 0.25, leastTurn: 0.1 })).toEqual([])
    expect(forbidden(polyline([point(0, 0), point(5, 0), point(5, 0.3), point(0, 0.3)]))).toEqual([])
    // corners under the least turn are none
    expect(forbidden(polyline([point(0, 0), point(5, 0), point(5.4, 0.02), point(9, 0.02)]))).toEqual([])
  })

  test('a step over the start of a closed line', () => {
    const corners = [point(5, 0.3), point(10, 0.3), point(10, 5), point(0, 5), point(0, 0), point(5, 0)]
    for (const [i] of corners.entries()) {
      const path = polyline([...corners.slice(i), ...corners.slice(0, i)], true)
      expect(forbidden(path)).toEqual([{ kind: 'short step', at: point(5, 0.15), size: expect.closeTo(0.3, 9) }])
    }
  })
})
