import { expect, test } from 'vitest'
import { flatten } from '../../src/geometry/flatten.ts'
import type { Path } from '../../src/geometry/path.ts'
import { cross, distance, type Point, subtract } from '../../src/geometry/point.ts'
import { facing, type LeadInForm, leadIn, leadInForms } from '../../src/stroke/lead-in.ts'
import { tipWay } from '../../src/stroke/tip.ts'

const radians = (angle: number) => (angle * Math.PI) / 180
const within = (angle: number) => Math.abs(Math.atan2(Math.sin(angle), Math.cos(angle)))
const [long, short] = leadInForms as readonly (readonly LeadInForm[])[]

/** How a blade stands, rad, after the legs of a lead-in: tan(a / 2) falls as exp(-s / L). */
function leftOver(heading: number, path: Path, offset: number): number {
  let q = heading
  let from = path.start
  for (const { to } of path.segments) {
    const way = Math.atan2(to.y - from.y, to.x - from.x)
    q = way - 2 * Math.atan(Math.tan((way - q) / 2) * Math.exp(-distance(from, to) / offset))
    from = to
  }
  return q
}

/** How many of 72,000 headings a lead-in does not bring round as near as it should. */
const missed = (wanted: number, offset: number, form: LeadInForm) => {
  const { path } = facing(leadIn({ offset }, form), wanted)
  const off = (i: number) => within(leftOver(radians(i / 200), path, offset) - wanted)
  return Array.from({ length: 72000 }, (_, i) => off(i)).filter((own) => own > form.within).length / 200
}

test('a lead-in brings a blade round from every heading but a range of 0.1 degrees, a short one of 0.7', () => {
  for (const [forms = [], angle, degrees] of [
    [long, 1, 0.1],
    [short, 3, 0.7],
  ] as const) {
    expect(forms).toHaveLength(2)
    for (const form of forms) {
      expect(form.within).toBeCloseTo(radians(angle), 12)
      for (const [offset, wanted] of [
        [0.25, 0],
        [1.5, 2.2],
      ] as const) {
        // Somewhere there must be such a range: the blade's turning is one-to-one.
        const range = missed(wanted, offset, form)
        expect(range).toBeLessThanOrEqual(degrees)
        expect(range).toBeGreaterThan(0)
        // Headings straight against either leg are brought round.
        const { path } = facing(leadIn({ offset }, form), wanted)
        for (const turn of [0, 82.5, -82.5]) {
          expect(within(leftOver(wanted + radians(turn + 180), path, offset) - wanted)).toBeLessThan(
            form.within * 1.001,
          )
        }
      }
    }
  }
})

test('one straight leg as long as both does not turn a blade that stands against it', () => {
  const { points, heading } = tipWay(
    [
      { x: 0, y: 0 },
      { x: 14, y: 0 },
    ],
    Math.PI,
    1,
    0.01,
  )
  expect(points.length).toBeGreaterThan(1)
  expect(Math.cos(heading)).toBeLessThan(-0.9)
})

test('axis and tip of a lead-in stay in its room, wherever the blade comes down', () => {
  const outside = (room: readonly Point[], p: Point) =>
    Math.max(
      ...room.map(
        (b, i) => -cross(subtract(b, room.at(i - 1) as Point), subtract(p, b)) / distance(b, room.at(i - 1) as Point),
      ),
    )
  let seen = 0
  for (const offset of [0.25, 1.5]) {
    for (const form of leadInForms.flat()) {
      for (let i = 0; i < 6; i++) {
        const { path, room } = facing(leadIn({ offset }, form), radians(65 * i))
        for (const heading of [0, 1, 2, 3, 4, 5, 6]) {
          for (const p of [...tipWay(flatten(path), heading, offset, 0.01).points, ...flatten(path)]) {
            expect(outside(room, p)).toBeLessThan(0.04 * offset)
            seen++
          }
        }
      }
    }
  }
  expect(seen).toBeGreaterThan(1000)
})

test('the long form takes 10 offsets by 8, the short one less', () => {
  const size = (form: LeadInForm | undefined) => {
    const { room } = leadIn({ offset: 1 }, form ?? expect.fail('no form'))
    const [xs, ys] = [room.map(({ x }) => x), room.map(({ y }) => y)]
    return [Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)] as const
  }
  const [along, across] = size(long?.[0])
  expect(along).toBeLessThan(10)
  expect(across).toBeLessThan(8)
  expect(size(short?.[0])[0]).toBeLessThan(along)
  expect(size(short?.[0])[1]).toBeLessThan(across)
})
