import { hpglBytes, writeHpgl } from '../../../src/file/hpgl/write.ts'
import { lineTo, openPath, polyline } from '../../../src/geometry/path.ts'
import { point } from '../../../src/geometry/point.ts'
import type { SendPlan } from '../../../src/machine/send/plan.ts'
import { planSend } from '../../../src/machine/send/plan.ts'
import { wholeFile } from '../../../src/machine/send/resume.ts'
import type { SendOptions } from '../../../src/machine/send/sender.ts'
import type { Stroke } from '../../../src/stroke/stroke.ts'

const square = (x: number, y: number, size: number) =>
  polyline([point(x, y), point(x + size, y), point(x + size, y + size), point(x, y + size)], true)
const line = (...at: readonly (readonly [number, number])[]) => {
  const [first, ...rest] = at.map(([x, y]) => point(x, y))
  if (!first) throw new Error('a line begins somewhere')
  return openPath(first, ...rest.map((p) => lineTo(p)))
}

/** Two lids with a tick each by pen; then each with a hole, cut; and a name across the second. */
export const lids: readonly Stroke[] = [
  { operation: 'pen', name: 'lid 1: tick', piece: 'lid, copy 1 of 2', path: line([30, 10], [30, 13]) },
  { operation: 'pen', name: 'lid 2: tick', piece: 'lid, copy 2 of 2', path: line([100, 10], [100, 13]) },
  {
    operation: 'pen',
    name: 'lid 2: label',
    piece: 'lid, copy 2 of 2',
    path: line([90, 30], [95, 40], [100, 30], [105, 40], [110, 30]),
  },
  { operation: 'kiss', name: 'lid 1: opening', piece: 'lid, copy 1 of 2', path: square(25, 25, 10) },
  { operation: 'kiss', name: 'lid 1: outline', piece: 'lid, copy 1 of 2', path: square(10, 10, 40) },
  { operation: 'kiss', name: 'lid 2: opening', piece: 'lid, copy 2 of 2', path: square(110, 40, 8) },
  { operation: 'kiss', name: 'lid 2: outline', piece: 'lid, copy 2 of 2', path: square(80, 10, 40) },
]

export const dialects = ['strict', 'compact', 'relative', 'encoded'] as const

export function lidBytes(dialect: (typeof dialects)[number], strokes: readonly Stroke[] = lids): Uint8Array {
  const text = writeHpgl(strokes, {
    unitsPerMm: 40,
    pens: {},
    tools: { pen: { number: 2, speed: 20, force: 2 }, kiss: { number: 1, speed: 10, force: 3 } },
    area: { x: 800, y: 600 },
    tolerance: 0.02,
    dialect,
  })
  return hpglBytes(text)
}

/** The lids' file as it is read for sending, with what its report knows. */
export const lidPlan = (dialect: (typeof dialects)[number] = 'strict'): SendPlan =>
  planSend('lids.hpgl', lidBytes(dialect), {
    names: lids.map(({ name, piece, operation }) => ({ name, piece, operation, lines: 1 })),
  })

/** The plainest way to send a plan; a test says what is different. */
export const plainly = (plan: SendPlan): SendOptions => ({
  plan,
  course: wholeFile,
  handshake: { kind: 'none', block: 80 },
  setUp: true,
  buffer: 255,
  answers: [],
  asksLine: true,
  drains: true,
  patience: 30,
  ahead: Number.POSITIVE_INFINITY,
})

/** A block for a handshake: what is free where it is asked for. */
export const blockFor = (kind: string): number => (kind === 'software' ? 100_000 : 80)

/** One long line: a star of 300 points, over many lines of the file with the tool down. */
export const star: readonly Stroke[] = [
  {
    operation: 'kiss',
    name: 'star',
    path: polyline(
      Array.from({ length: 300 }, (_, i) => {
        const r = i % 2 === 0 ? 60 : 40
        return point(80 + r * Math.cos((i * Math.PI) / 150), 80 + r * Math.sin((i * Math.PI) / 150))
      }),
      true,
    ),
  },
]
