import { type Plot, readPlot } from '../../file/hpgl/read.ts'
import type { PlotStroke } from '../../file/hpgl/trace.ts'
import { type Beyond, Walk } from '../../file/hpgl/walk.ts'
import { type Box, boundsOf } from '../../geometry/bounds.ts'
import { loopOf } from '../../geometry/loop.ts'
import type { Path } from '../../geometry/path.ts'
import { scaling, transform } from '../../geometry/transform.ts'
import { type Problem, Refusal } from '../../measure/problem.ts'
import { type Travel, travelAlong, travelSum } from '../../stroke/pace.ts'
import { pathFromMachine } from '../axes.ts'
import type { Machine } from '../profile.ts'
import { tipsOf } from '../tip-ways.ts'
import { type LineNames, ownersOf, type Part, partNumbers, partsOf } from './parts.ts'

/** One line that the tool draws or cuts without being lifted. */
export interface Line extends Travel {
  readonly pen: number
  /** where its first point is reached and its last, bytes from the file's start */
  readonly from: number
  readonly to: number
  /** can a new run begin with it? Not where only the plotter knows where it begins. */
  readonly begins: boolean
  readonly closed: boolean
  /** which of the plan's parts it belongs to, from 0 */
  readonly part: number
  /** mm cut or drawn and s taken by all lines before it */
  readonly downBefore: number
  readonly secondsBefore: number
}

/** A cut file as it is sent: where it may be parted, what its bytes cut, and how long that takes. */
export interface SendPlan {
  readonly bytes: Uint8Array
  /** behind each whole command, bytes from the start */
  readonly ends: Uint32Array
  /** is the tool down behind each whole command? */
  readonly downAt: Uint8Array
  readonly lines: readonly Line[]
  /** in the order in which they are begun */
  readonly parts: readonly Part[]
  /** what the lines take up, mm on the sheet */
  readonly box: Box
  /** all of it, and before the first line and at the end */
  readonly travel: Travel
  readonly machine: Machine | undefined
}

export interface PlanOptions {
  /** for places on the sheet, pace and operations; without one 40 units a mm and a pace of 200 mm/s */
  readonly machine?: Machine | undefined
  readonly names?: LineNames | undefined
}

const usualPace = { down: 200, up: 400, acceleration: 5000, lift: 0.05 }
/** A line with more chords is not looked at for where it closes. */
const mostForLoop = 20_000

/** Reads a cut file for sending. Refuses, with every reason, what is not understood whole or cannot be followed. */
export const planSend = (file: string, bytes: Uint8Array, options: PlanOptions = {}): SendPlan =>
  planAndTips(file, bytes, options).plan

/** The same, with the way of the tool's tip in each line, mm on the sheet. */
export function planAndTips(
  file: string,
  bytes: Uint8Array,
  { machine, names }: PlanOptions = {},
): { readonly plan: SendPlan; readonly tips: readonly Path[] } {
  const plot = readPlot(bytes, { unitsPerMm: 1 })
  const { ends, downAt, spans, beyond } = partedAt(bytes, plot.strokes)
  refuseUnread(file, bytes, plot, beyond)
  const toSheet = (path: Path) => (machine ? pathFromMachine(machine, path) : transform(path, scaling(1 / 40, 1 / 40)))
  const ways = plot.strokes.map(({ pen, path }) => ({ pen, path: toSheet(path) }))
  const travels = travelAlong(
    ways.map(({ path }) => path),
    machine?.pace ?? usualPace,
  )
  const tips = tipsOf(ways, machine).map(({ path }) => path)
  const shapes = tips.map((path) => (path.segments.length > mostForLoop ? path : (loopOf(path) ?? path)))
  const owners = ownersOf(shapes, names)
  const partAt = partNumbers(
    owners,
    ways.map(({ pen }) => pen),
  )
  let [downBefore, secondsBefore] = [0, 0]
  const lines = ways.map(({ pen }, i): Line => {
    const span = spans[i]
    const travel = travels[i]
    if (!span || !travel) throw new Error(`line ${i} of ${file} is not found again in its bytes`)
    const closed = shapes[i]?.closed === true
    const part = partAt[i] ?? 0
    const line = { pen, ...span, ...travel, closed, part, downBefore, secondsBefore }
    downBefore += travel.down
    secondsBefore += travel.seconds
    return line
  })
  const plan = {
    bytes,
    ends,
    downAt,
    lines,
    parts: partsOf(lines, owners, machine),
    box: boundsOf(ways.map(({ path }) => path)),
    travel: travelSum(lines),
    machine,
  }
  return { plan, tips }
}

function refuseUnread(file: string, bytes: Uint8Array, plot: Plot, beyond: Beyond | undefined): void {
  const problems: Problem[] = []
  const add = (code: string, value: string, limit: string, cure: string) =>
    problems.push({ code, field: file, value, limit, cure })
  const again = 'Write the file again.'
  const escapeAt = bytes.indexOf(0x1b)
  if (escapeAt >= 0) {
    const limit = 'it acts on the line itself, whose settings belong to the link and not into a file'
    add('escape_byte', `a file with an escape byte at ${escapeAt}`, limit, 'Take the sequence out of the file.')
  }
  for (const { offset, what } of plot.faults.slice(0, 10)) {
    add('not_understood', `a file with a fault at byte ${offset}`, what, again)
  }
  if (beyond) {
    const limit = 'what it does cannot be followed while the file is sent'
    add(
      'not_followed',
      `a file with ${beyond.name} at byte ${beyond.offset}`,
      limit,
      'Write the file again without it.',
    )
  }
  if (plot.stopped) add('cut_off', `a file that ends at byte ${plot.stopped.offset}`, plot.stopped.why, again)
  else if (plot.penDownAtEnd) add('tool_down', 'a file that ends with the tool down', 'it must be up at the end', again)
  if (plot.strokes.length === 0 && problems.length === 0) {
    add('no_lines', 'a file without a line', 'a file that is sent cuts or draws something', again)
  }
  if (problems.length > 0) throw new Refusal(problems)
}

/** How far a job is when the file is carried out up to a byte: mm cut or drawn, and s by the estimate. */
export function amountAt(plan: SendPlan, offset: number): { readonly down: number; readonly seconds: number } {
  const line = plan.lines[lastIndex(plan.lines, ({ from }) => from <= offset)]
  if (!line) return { down: 0, seconds: 0 }
  const part = line.to === line.from ? 1 : Math.min(1, (offset - line.from) / (line.to - line.from))
  return { down: line.downBefore + part * line.down, seconds: line.secondsBefore + part * line.seconds }
}

/** The last of a list of which the first few are as asked; -1 where none is. */
export function lastIndex<T>(
  all: { readonly length: number; readonly [i: number]: T },
  is: (each: T) => boolean,
): number {
  let [low, high] = [0, all.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if (is(all[middle] as T)) low = middle + 1
    else high = middle
  }
  return low - 1
}

type Span = Pick<Line, 'from' | 'to' | 'begins'>

/** Whole commands, and for each line the places behind its first point and behind its last. */
function partedAt(bytes: Uint8Array, strokes: readonly PlotStroke[]) {
  const ends: number[] = []
  const downAt: number[] = []
  const spans: Span[] = []
  const walk = new Walk(bytes)
  let before = { offset: 0, begins: false }
  let open: { from: number; to: number; begins: boolean } | undefined
  const close = () => {
    if (open) spans.push(open)
    open = undefined
  }
  for (const place of walk.places()) {
    // A line begins behind the last place before its own first byte.
    for (let next = strokes[spans.length + (open ? 1 : 0)]; next && next.offset < place.offset; ) {
      close()
      open = { from: before.offset, to: place.offset, begins: before.begins }
      next = strokes[spans.length + 1]
    }
    if (open && place.down) open.to = place.offset
    if (place.whole) {
      ends.push(place.offset)
      downAt.push(place.down ? 1 : 0)
    }
    const isKnown = place.at !== undefined && !place.down
    before = { offset: place.offset, begins: isKnown && (place.whole || place.inside !== undefined) }
  }
  close()
  return { ends: Uint32Array.from(ends), downAt: Uint8Array.from(downAt), spans, beyond: walk.beyond }
}
