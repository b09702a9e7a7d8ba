import { expect, test } from 'vitest'
import { circle } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { partsSetByHand } from '../../src/stroke/set-by-hand.ts'
import type { Operation, Stroke } from '../../src/stroke/stroke.ts'

const strokes = (['through', 'pen', 'kiss', 'pen'] as const).map(
  (operation, i): Stroke => ({ operation, name: `lid ${i}: ${operation}`, path: circle(point(50, 50), 10 + i) }),
)
const parted = (tools: Parameters<typeof partsSetByHand>[1], own: readonly Stroke[] = strokes) =>
  partsSetByHand(own, tools).map(({ set, strokes: part }) => `${set}: ${part.map(({ operation }) => operation).join()}`)

test('one part is enough where the file tells every tool: by number, by force or by the number of passes', () => {
  const whole = ['undefined: through,pen,kiss,pen']
  expect(parted({ pen: { number: 2 }, kiss: { number: 1 }, through: { number: 3 } })).toEqual(whole)
  expect(parted({ pen: { number: 2 }, kiss: { number: 1, force: 80 }, through: { number: 1, force: 140 } })).toEqual(
    whole,
  )
  expect(parted({ pen: { number: 2 }, kiss: { number: 1 }, through: { number: 1, passes: 2 } })).toEqual(whole)
})

test('kiss and through by one tool at one force are two parts, the second with the blade set deeper', () => {
  expect(parted({ pen: { number: 2 }, kiss: { number: 1 }, through: { number: 1 } })).toEqual([
    'kiss: pen,kiss,pen',
    'through: through',
  ])
  const force = 80
  expect(parted({ pen: { number: 2 }, kiss: { number: 1, force }, through: { number: 1, force } })).toHaveLength(2)
})

test('a pen in the holder of a blade is a part of its own, whatever its force', () => {
  const pen = { number: 1, force: 20 }
  expect(parted({ pen, kiss: { number: 1, force: 80 }, through: { number: 3, force: 140 } })).toEqual([
    'pen: pen,pen',
    'kiss: through,kiss',
  ])
  expect(parted({ pen: { number: 1 }, kiss: { number: 1 }, through: { number: 1 } })).toEqual([
    'pen: pen,pen',
    'kiss: kiss',
    'through: through',
  ])
})

test('what is not there parts nothing, and no stroke is lost or done twice', () => {
  const tools = { pen: { number: 1 }, kiss: { number: 1 }, through: { number: 1 }, slit: { number: 1 } }
  const only = (...operations: Operation[]) => strokes.filter(({ operation }) => operations.includes(operation))
  expect(parted(tools, only('through'))).toEqual(['undefined: through'])
  expect(parted(tools, only('pen', 'through'))).toEqual(['pen: pen,pen', 'through: through'])
  expect(partsSetByHand([], tools)).toEqual([])
  const all = partsSetByHand(strokes, tools).flatMap(({ strokes: part }) => part)
  expect(all).toHaveLength(strokes.length)
  expect(new Set(all)).toEqual(new Set(strokes))
})
