import type { PlotFault } from '../file/hpgl/faults.ts'
import { readPlot } from '../file/hpgl/read.ts'
import { readCutSvg } from '../file/svg/read.ts'
import { type Box, boundsOf } from '../geometry/bounds.ts'
import { deviation } from '../geometry/deviation.ts'
import { pathLength } from '../geometry/length.ts'
import { loopOf } from '../geometry/loop.ts'
import { endOf, lineTo, type Path, pieces } from '../geometry/path.ts'
import { distance, subtract, turnBetween } from '../geometry/point.ts'
import { scaling, transform } from '../geometry/transform.ts'
import { pathFromMachine } from '../machine/axes.ts'
import type { Machine } from '../machine/profile.ts'
import type { LineNames } from '../machine/send/parts.ts'
import { tipsOf } from '../machine/tip-ways.ts'
import { type Travel, travelOf } from '../stroke/pace.ts'
import type { Operation } from '../stroke/stroke.ts'
import { type Boxed, boxed, boxGap } from './nearest-line.ts'

/** A line that was meant: a closed cut without what is cut past its start, whole over its bridges, once for all passes. */
export interface CutLine extends Boxed {
  /** what does it, in words: a pen of HP-GL, an operation of an SVG */
  readonly tool: string
  /** where the file or the report beside it tells */
  readonly operation?: Operation
  readonly name?: string
  /** HP-GL alone, as they are set in the file; speed in cm/s */
  readonly pen?: number
  readonly force?: number
  readonly speed?: number
  /** how often it is gone over without another line between */
  readonly times: number
  /** does it only bring the blade round? `perhaps`: as far as its place in the file tells */
  readonly leadIn?: 'told' | 'perhaps'
}

/** What a cut file says of itself and of its reading. */
export interface CutFile {
  readonly kind: 'SVG' | 'HP-GL'
  /** tool-down strokes as they stand in the file, and whether each closes */
  readonly strokes: readonly { readonly tool: string; readonly closed: boolean; readonly pen?: number }[]
  /** round the ways of the tool's tip and round those of its axis, mm; undefined where there is no stroke */
  readonly tips: Box | undefined
  readonly ways: Box | undefined
  readonly lines: readonly CutLine[]
  /** HP-GL alone: what the reader could not make out, and where it stopped if it did */
  readonly faults?: readonly PlotFault[]
  readonly stopped?: { readonly offset: number; readonly why: string }
  readonly penDownAtEnd?: boolean
  /** HP-GL for a known machine */
  readonly travel?: Travel
}

export interface ReadOptions {
  /** where no machine is known */
  readonly unitsPerMm: number
  /** whose axes and blade the file was written for; the lines are then those of the blade's tip */
  readonly machine?: Machine | undefined
  /** what the strokes are called in order, by a report; not heeded where the file has more or fewer */
  readonly names?: LineNames | undefined
}

/** Two strokes nearer than this all along, mm, are one line gone over again. */
const sameLine = 0.1
/** A bridge is left standing to within this, mm. */
const bridgeSlack = 0.3
/** A stroke that brings a blade round has two straight legs, square to each other within 45 degrees, and is no longer than so many offsets. */
const leadInOffsets = 30

/** Reads a cut file, HP-GL or SVG. Throws a `Refusal` where an SVG is not of the kind that is written here. */
export function readCutFile(bytes: Uint8Array, options: ReadOptions): CutFile {
  const text = new TextDecoder().decode(bytes)
  return /^\s*</.test(text) ? fromSvg(text) : fromHpgl(bytes, options)
}

function fromSvg(text: string): CutFile {
  const { strokes } = readCutSvg(text)
  const box = boundsOrNone(strokes.map(({ path }) => path))
  return {
    kind: 'SVG',
    strokes: strokes.map(({ operation, path }) => ({ tool: operation, closed: path.closed })),
    tips: box,
    ways: box,
    lines: strokes.map(({ operation, name, path }) => ({ tool: operation, operation, name, times: 1, ...boxed(path) })),
  }
}

const boundsOrNone = (paths: readonly Path[]) => (paths.length > 0 ? boundsOf(paths) : undefined)

function fromHpgl(bytes: Uint8Array, { unitsPerMm, machine, names }: ReadOptions): CutFile {
  const plot = readPlot(bytes, { unitsPerMm: 1 })
  const toSheet = (path: Path) =>
    machine ? pathFromMachine(machine, path) : transform(path, scaling(1 / unitsPerMm, 1 / unitsPerMm))
  const ways = plot.strokes.map((stroke) => ({ ...stroke, path: toSheet(stroke.path) }))
  const tips = tipsOf(ways, machine).map(({ path }) => path)
  const told = names?.flatMap(({ name, operation, lines }) =>
    Array.from({ length: lines }, () => ({ name, operation })),
  )
  const isTold = told?.length === ways.length
  const raw = ways.map(({ pen, force, speed, path: way }, i): CutLine => {
    const own = isTold ? told[i] : undefined
    const leadIn = own
      ? own.name.startsWith('lead-in') && ('told' as const)
      : isPerhapsLeadIn(way, pen, ways[i - 1]?.pen, machine) && ('perhaps' as const)
    return {
      tool: `pen ${pen}`,
      pen,
      ...(force === undefined ? {} : { force }),
      ...(speed === undefined ? {} : { speed }),
      ...(own ?? {}),
      ...(leadIn ? { leadIn } : {}),
      times: 1,
      ...boxed(tips[i] ?? way),
    }
  })
  const lines = overBridges(onceOver(raw), machine).map(
    (line): CutLine => ({ ...line, ...boxed(loopOf(line.path) ?? line.path) }),
  )
  return {
    kind: 'HP-GL',
    strokes: raw.map(({ tool, path }, i) => ({ tool, closed: loopOf(path) !== undefined, pen: ways[i]?.pen ?? 0 })),
    tips: boundsOrNone(tips),
    ways: boundsOrNone(ways.map(({ path }) => path)),
    lines,
    ...(plot.faults.length > 0 ? { faults: plot.faults } : {}),
    ...(plot.stopped ? { stopped: plot.stopped } : {}),
    ...(plot.penDownAtEnd ? { penDownAtEnd: true } : {}),
    ...(machine
      ? {
          travel: travelOf(
            ways.map(({ path }) => path),
            machine.pace,
          ),
        }
      : {}),
  }
}

/** May a stroke be one that brings the blade round: the first by its tool, short and of that form, where a file has such? */
function isPerhapsLeadIn(way: Path, pen: number, before: number | undefined, machine: Machine | undefined): boolean {
  if (machine?.blade.compensate !== 'file' || machine.blade.offset === 0) return false
  if (pen === before || pen === machine.tools.pen?.number) return false
  const [first, second, ...more] = [...pieces(way)]
  if (!first || !second || more.length > 0 || pathLength(way) > leadInOffsets * machine.blade.offset) return false
  const turn = turnBetween(subtract(first.segment.to, first.from), subtract(second.segment.to, second.from))
  return !way.closed && Math.abs(Math.abs(turn) - Math.PI / 2) <= Math.PI / 4
}

const isSame = (a: CutLine, b: CutLine): boolean =>
  a.pen === b.pen && boxGap(a.box, b.box) <= sameLine && deviation(a.path, b.path).distance <= sameLine

/** Strokes that go over one line, one after the other, as that line. */
function onceOver(raw: readonly CutLine[]): CutLine[] {
  const lines: CutLine[] = []
  for (const line of raw) {
    const last = lines.at(-1)
    if (last && isSame(last, line)) lines[lines.length - 1] = { ...last, times: last.times + 1 }
    else lines.push(line)
  }
  return lines
}

/** Stretches of a through cut that together lead round to where they began, but for bridges, as the closed line. */
function overBridges(lines: readonly CutLine[], machine: Machine | undefined): CutLine[] {
  const { bridges, tools } = machine ?? {}
  if (!bridges) return [...lines]
  const near = bridges.width + bridgeSlack
  const made: CutLine[] = []
  let i = 0
  while (i < lines.length) {
    const first = lines[i] as CutLine
    const stretches = first.pen === tools?.through?.number ? roundFrom(lines, i, near) : undefined
    made.push(stretches ? joined(stretches) : first)
    i += stretches?.length ?? 1
  }
  return made
}

/** The stretches from the i-th on that lead round, or nothing. */
function roundFrom(lines: readonly CutLine[], i: number, near: number): readonly CutLine[] | undefined {
  const first = lines[i] as CutLine
  const { start } = first.path
  for (let k = i; k < lines.length; k++) {
    const { path, pen, times } = lines[k] as CutLine
    if (path.closed || pen !== first.pen || times !== first.times) return undefined
    const end = endOf(path)
    if (distance(end, start) <= near && (k > i || pathLength(path) > 4 * near)) return lines.slice(i, k + 1)
    const next = lines[k + 1]
    if (!next || distance(end, next.path.start) > near) return undefined
  }
  return undefined
}

function joined(stretches: readonly CutLine[]): CutLine {
  const first = stretches[0] as CutLine
  const { start } = first.path
  const segments = stretches.flatMap(({ path }, k) => [...(k > 0 ? [lineTo(path.start)] : []), ...path.segments])
  return { ...first, ...boxed({ start, segments: [...segments, lineTo(start)], closed: true }) }
}
