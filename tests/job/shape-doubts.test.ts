import { expect, test } from 'vitest'
import { jobOf, madeOf } from './jobs.ts'

/** What is told of a job with one such object. */
async function doubtsOf(object: string, head = ''): Promise<{ field: string | undefined; text: string }[]> {
  const { warnings } = await madeOf(jobOf([object], head))
  return warnings.map(({ field, text }) => ({ field, text }))
}

/**
 * Measures that check each other, a little farther apart than their tapes explain and much less than is refused, and
 * the same with the reading that agrees.
 */
const families = [
  {
    // The hood of 200, 120 and 100 is 107.70 mm up the middle of a face.
    shape: 'square-to-round',
    of: (slant: number) => `length: 200, width: 200, diameter: 120, height: 100, slant: ${slant}`,
    field: 'slant',
    off: 110,
    words: /^thing: slant is 2\.3 mm more than the other measures give, .* explain 1\.5 mm\. /,
    right: 107.7,
  },
  {
    // 2 x (200 + 140) less 8 x 10 and more a circle of 10 is 662.8 mm round, and a tape of 0.2 mm reads 0.6 mm more.
    shape: 'box-sleeve',
    of: (girth: number) => `length: 200, width: 140, radius: 10, height: 90, girth: ${girth}`,
    field: 'girth',
    off: 660.3,
    words: /^thing: girth is 2\.5 mm less than the other measures give, .* explain 2 mm\. /,
    right: 663,
  },
  {
    shape: 'prism-sleeve',
    of: (girth: number) => `sides: 6, side: 40, height: 90, girth: ${girth}`,
    field: 'girth',
    off: 243.5,
    words: /^thing: girth is 3\.5 mm more than the other measures give, /,
    right: 240,
  },
  {
    shape: 'straight-band',
    of: (span: number) => `girth: 534, height: 90, gap: 40, span: ${span}`,
    field: 'span',
    off: 497,
    words: /^thing: span is 3 mm more than the other measures give, .*The film is made to the span\./,
    right: 494.5,
  },
  {
    shape: 'four-sided-panel',
    of: (falling: number) =>
      `bottom: 89.9, right: 120.2, top: 139.8, left: 130.3, bottomLeftToTopRight: 150.1, bottomRightToTopLeft: ${falling}`,
    field: 'bottomRightToTopLeft',
    off: 186.5,
    words: /^thing: the second diagonal closes within .* tape explains .*Measure bottomRightToTopLeft again first/,
    right: 184.6,
  },
]

for (const { shape, of, field, off, words, right } of families) {
  test(`measures of a ${shape} that check each other and differ are told at their field, and others are not`, async () => {
    const told = await doubtsOf(`name: thing, shape: ${shape}, ${of(off)}`)
    expect(told).toEqual([{ field: `objects[0].${field}`, text: expect.stringMatching(words) }])
    expect(await doubtsOf(`name: thing, shape: ${shape}, ${of(right)}`)).toEqual([])
  })
}

test('a side that may bulge where no girth was taken is told on top, with the field', async () => {
  const stations = '[{ girth: 300, height: 0 }, { girth: 300, height: 200 }, { girth: 150, height: 230 }]'
  const told = await doubtsOf(`name: flask, shape: turned-body, cover: gores, stations: ${stations}`)
  expect(told).toEqual([
    {
      field: 'objects[0].stations',
      text: expect.stringMatching(/^flask: between its girths the side is a guess, most of all 109\.\d mm up/),
    },
  ])
})

test('film that must give more than it takes is told on top; where nobody knows what it takes, nothing is', async () => {
  const ball = 'name: float, shape: dome, radius: 60 mm, gores: 8'
  expect(await doubtsOf(ball, 'film: { stretch: 2 }\n')).toEqual([
    { field: 'film.stretch', text: expect.stringMatching(/^float gore: .* give 7\.71 %, and it takes only 2 %/) },
  ])
  expect(await doubtsOf(ball, 'film: { stretch: 8 }\n')).toEqual([])
  expect(await doubtsOf(ball)).toEqual([])
})
