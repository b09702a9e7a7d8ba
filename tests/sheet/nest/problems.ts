import fc from 'fast-check'
import type { Bed, NestPiece, NestProblem, Region, Ring } from '../../../src/sheet/nest/problem.ts'

export const box = (width: number, height: number, x = 0, y = 0): Ring => [
  { x, y },
  { x: x + width, y },
  { x: x + width, y: y + height },
  { x, y: y + height },
]

export const bed = (width: number, height: number, paid: Bed['paid']): Bed => ({
  region: { outer: box(width, height), holes: [] },
  paid,
})

/** A ring of `corners` points about the origin at the radii given. */
const star = (radii: readonly number[], start: number): Ring =>
  radii.map((r, i) => {
    const angle = start + (2 * Math.PI * i) / radii.length
    return { x: r * Math.cos(angle), y: r * Math.sin(angle) }
  })

const size = fc.integer({ min: 20, max: 400 }).map((n) => n / 10)
const whole = fc.integer({ min: 2, max: 30 })

const anyRegion: fc.Arbitrary<Region> = fc.oneof(
  fc.tuple(whole, whole).map(([w, h]) => ({ outer: box(w, h), holes: [] })),
  fc.tuple(size, size, size).map(([w, h, x]) => ({
    outer: [
      { x: 0, y: 0 },
      { x: w, y: 0 },
      { x: x - w, y: h },
    ],
    holes: [],
  })),
  fc
    .tuple(fc.array(size, { minLength: 3, maxLength: 14 }), fc.double({ min: 0, max: 6, noNaN: true }))
    .map(([radii, start]) => ({ outer: star(radii, start), holes: [] })),
  // an angle of two legs
  fc.tuple(whole, whole, fc.integer({ min: 1, max: 9 })).map(([w, h, tenths]) => ({
    outer: [
      { x: 0, y: 0 },
      { x: w, y: 0 },
      { x: w, y: (h * tenths) / 10 },
      { x: (w * tenths) / 10, y: (h * tenths) / 10 },
      { x: (w * tenths) / 10, y: h },
      { x: 0, y: h },
    ],
    holes: [],
  })),
  // a frame
  fc.tuple(size, size, fc.integer({ min: 1, max: 4 })).map(([w, h, tenths]) => ({
    outer: box(w, h),
    holes: [box(w * (1 - tenths / 5), h * (1 - tenths / 5), (w * tenths) / 10, (h * tenths) / 10)],
  })),
)

const quarters = [0, 1, 2, 3].map((k) => (k * Math.PI) / 2)
const anyTurns = fc.constantFrom<NestPiece['turns']>('any', [0], [0, Math.PI], quarters, [0.3, 2.1])

const anyBed: fc.Arbitrary<Bed> = fc
  .tuple(
    fc.constantFrom<Bed['paid']>('length', 'whole', 'free'),
    fc.integer({ min: 30, max: 120 }),
    fc.integer({ min: 30, max: 120 }),
    fc.constantFrom('plain', 'plain', 'angle', 'spot', 'askew'),
  )
  .map(([paid, w, h, kind]) => {
    if (kind === 'askew')
      return {
        region: {
          outer: [
            { x: 0, y: 0 },
            { x: w, y: h / 10 },
            { x: w * 0.9, y: h },
            { x: w / 8, y: h * 0.8 },
          ],
          holes: [],
        },
        paid,
      }
    if (kind === 'angle')
      return {
        region: {
          outer: [
            { x: 0, y: 0 },
            { x: w, y: 0 },
            { x: w, y: h / 2 },
            { x: w / 3, y: h / 2 },
            { x: w / 3, y: h },
            { x: 0, y: h },
          ],
          holes: [],
        },
        paid,
      }
    const holes = kind === 'spot' ? [box(w / 6, h / 5, w / 4, h / 3)] : []
    return { region: { outer: box(w, h), holes }, paid }
  })

/** Pieces of a few kinds, some alike, some in groups, maybe one of them pinned, on some beds. */
const problemOf = (mostKinds: number, mostBeds: number): fc.Arbitrary<NestProblem> =>
  fc
    .record({
      kinds: fc.array(
        fc.record({
          region: anyRegion,
          turns: anyTurns,
          copies: fc.constantFrom(1, 1, 1, 2, 3),
          group: fc.constantFrom(undefined, undefined, undefined, 'lids', 'tins'),
        }),
        { minLength: 1, maxLength: mostKinds },
      ),
      beds: fc.array(anyBed, { minLength: 1, maxLength: mostBeds }),
      pin: fc.option(fc.record({ x: whole, y: whole, angle: fc.constantFrom(0, 0.5, Math.PI) }), { freq: 6 }),
    })
    .map(({ kinds, beds, pin }) => ({
      pieces: kinds.flatMap(({ region, turns, copies, group }, k) =>
        Array.from({ length: copies }, (_, copy) => ({
          region,
          turns,
          ...(group === undefined ? {} : { group }),
          ...(pin && k === 0 && copy === 0 ? { pinned: { bed: 0, ...pin } } : {}),
        })),
      ),
      beds,
    }))

/** Of four kinds at the most, on one to three beds. */
export const anyProblem = problemOf(4, 3)

/** Most of them of one or two kinds on one bed, for great numbers. */
export const smallProblem = fc.oneof(
  { arbitrary: problemOf(1, 1), weight: 7 },
  { arbitrary: problemOf(2, 1), weight: 7 },
  { arbitrary: problemOf(2, 2), weight: 4 },
  { arbitrary: anyProblem, weight: 2 },
)
