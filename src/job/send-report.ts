import * as z from 'zod'
import { type Machine, origins } from '../machine/profile.ts'
import { operations } from '../stroke/stroke.ts'

const number = z.number()
const extent = z.object({ x: number, y: number })
const tool = z.object({ number }).optional()
/** What sending looks at; the rest of a machine is taken as it is written. */
const machineCore = z.object({
  name: z.string(),
  film: z.enum(['roll', 'sheet']),
  area: extent,
  margins: z.object({ low: extent, high: extent }),
  axes: z.object({ origin: z.enum(origins), swap: z.boolean() }),
  unitsPerMm: extent,
  skew: number,
  range: number,
  tools: z.object({ pen: tool, kiss: tool, through: tool, slit: tool }),
  blade: z.object({ offset: number, compensate: z.enum(['file', 'machine']), overcut: number, leastTurn: number }),
  start: z.string(),
  end: z.string(),
  link: z.string().optional(),
  pace: z.object({ down: number, up: number, acceleration: number, lift: number }),
})
const sent = z.object({
  side: z.enum(['film', 'liner']),
  film: z.string().optional(),
  stock: z.string().optional(),
  bytes: number,
  set: z.object({ to: z.enum(operations), tool: number, after: z.string().optional() }).optional(),
  lines: z.array(
    z.object({
      name: z.string(),
      piece: z.string().optional(),
      operation: z.enum(operations),
      lines: number.int().positive().max(1e7),
    }),
  ),
})

/** Which panels the pieces on each sheet are. */
const material = z.object({
  sheets: z.array(z.object({ sheet: number, pieces: z.array(z.object({ panel: z.string() })) })),
})

/** What of `report.json` bears on checking and sending the cut files beside it. */
const report = z.object({
  midtick: z.literal(1),
  machine: z.custom<Machine>((found) => machineCore.safeParse(found).success),
  checks: z.array(z.object({ file: z.string(), worst: number, crc32: z.string().optional(), sent: sent.optional() })),
  material: material.optional(),
})

export type SendReport = z.output<typeof report>

/** The report in a text, or undefined where it is none, or one of before files could be sent. */
export function readSendReport(text: string): SendReport | undefined {
  try {
    return report.safeParse(JSON.parse(text)).data
  } catch {
    return undefined
  }
}
