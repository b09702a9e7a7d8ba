import { expect, test } from 'vitest'
import { put } from '../../../src/sheet/nest/field.ts'
import type { NestPiece, NestProblem, Ring } from '../../../src/sheet/nest/problem.ts'
import { type Search, searchOf } from '../../../src/sheet/nest/search.ts'
import { settle } from '../../../src/sheet/nest/settle.ts'
import type { Laid } from '../../../src/sheet/nest/shape.ts'
import { bed, box } from './problems.ts'

function ready(problem: NestProblem): Search {
  const preparing = searchOf(problem, 1)
  for (;;) {
    const step = preparing.next()
    if (step.done) return step.value
  }
}

/** Where pieces on a bed of 100 by 50 come to lie that were put down at the places given. */
function settledFrom(pieces: readonly (readonly [NestPiece, number, number])[]): (readonly [number, number])[] {
  const { field, pieceAt } = ready({ pieces: pieces.map(([piece]) => piece), beds: [bed(100, 50, 'whole')] })
  for (const [k, i] of pieceAt.entries()) {
    const [piece, x, y] = pieces[i] ?? [undefined, 0, 0]
    if (!piece?.pinned) put(field, k, field.at[k] as Laid, x, y, 0)
  }
  for (const _ of settle(field));
  // to a hundredth of a mm: outlines are drawn in by 0.0004 mm
  const at = (k: number) => [field.x[k] ?? 0, field.y[k] ?? 0].map((v) => Math.round(v * 100) / 100 + 0)
  return pieces.map((_, i) => at(pieceAt.indexOf(i)) as [number, number])
}

const piece = (outer: Ring): NestPiece => ({ region: { outer, holes: [] }, turns: [0] })
const square = piece(box(10, 10))

test('a piece alone slides into the low left corner', () => {
  expect(settledFrom([[square, 55, 33]])).toEqual([[0, 0]])
})

test('one slides over the other on the way left and comes to lie on it', () => {
  const places = settledFrom([
    [square, 30, 20],
    [square, 60, 5],
  ])
  expect(places).toEqual([
    [0, 10],
    [0, 0],
  ])
})

test('a slope stops a corner, by its corners and by its edges', () => {
  const slope = piece([
    { x: 0, y: 0 },
    { x: 20, y: 0 },
    { x: 0, y: 20 },
  ])
  const pinned = { ...slope, pinned: { bed: 0, x: 0, y: 0, angle: 0 } }
  // at height 5 the slope reaches to 15, and there the square's low left corner rests on it
  expect(
    settledFrom([
      [pinned, 0, 0],
      [square, 70, 5],
    ])[1],
  ).toEqual([15, 5])
  // the slope's upright side meets the post's, from 20 to 30, before it slides down
  const post = { ...square, pinned: { bed: 0, x: 20, y: 0, angle: 0 } }
  expect(
    settledFrom([
      [post, 0, 0],
      [slope, 60, 5],
    ])[1],
  ).toEqual([30, 0])
})

test('one in the hole of another stays in it', () => {
  const frame: NestPiece = {
    region: { outer: box(40, 40), holes: [box(20, 20, 10, 10)] },
    turns: [0],
    pinned: { bed: 0, x: 30, y: 5, angle: 0 },
  }
  expect(
    settledFrom([
      [frame, 0, 0],
      [square, 48, 22],
    ])[1],
  ).toEqual([40, 15])
})
