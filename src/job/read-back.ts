import { readPlot } from '../file/hpgl/read.ts'
import { type Point, point } from '../geometry/point.ts'
import { pathFromMachine } from '../machine/axes.ts'
import type { Machine } from '../machine/profile.ts'
import type { LineNames } from '../machine/send/parts.ts'
import { Refusal } from '../measure/problem.ts'
import { type Travel, travelOf } from '../stroke/pace.ts'
import type { Side } from '../stroke/side.ts'
import type { Operation } from '../stroke/stroke.ts'
import { checkTip, type Forbidden, type TipReport } from '../stroke/tip-check.ts'
import { type FilmSide, planProblems } from './as-planned.ts'
import { type ToolUse, toolsUsed, writtenProblems } from './as-written.ts'

/** What a cut file, read back, does: where its tool goes astray the most, and how far and how long it travels. */
export interface FileCheck {
  readonly file: string
  readonly strokes: number
  /** mm between the line asked for and the way of the tool's tip, looked along both; and where */
  readonly worst: number
  readonly at: Point
  readonly stroke: string
  /** features smaller than the blade, which come out as it can */
  readonly forbidden: readonly (Forbidden & { readonly stroke: string })[]
  /** what the file has done by which tool, all of it as it was asked for */
  readonly tools: readonly ToolUse[]
  /** what of every stroke was held against what was asked for; a file in which anything differs is refused */
  readonly compared: readonly string[]
  /** HP-GL alone: a cut SVG leaves order and pace to other software */
  readonly travel?: Travel
  /** HP-GL alone, for sending it */
  readonly sent?: {
    /** which side of the sheet faces the tool */
    readonly side: FilmSide
    /** the name of the film, and of the roll, sheet or offcut of it */
    readonly film: string
    readonly stock: string
    readonly bytes: number
    /** what its lines belong to, in order */
    readonly lines: LineNames
  }
}

/** The tool's tip at one stroke, mm on the sheet as it lies. */
export interface TipStroke {
  readonly operation: Operation
  readonly name: string
  readonly way: readonly Point[]
}

const compared = ['place', 'number', 'order', 'operation', 'pen', 'force', 'speed', 'passes', 'side', 'double cuts']

/**
 * An HP-GL file read back: its own strokes on the sheet again, with what the tool's tip does on them, in order. Refuses a
 * file that does anything else than what was asked for.
 */
export function readBack(
  file: string,
  side: Side,
  faces: FilmSide,
  bytes: Uint8Array,
  machine: Machine,
): { readonly check: FileCheck; readonly tips: readonly TipStroke[] } {
  const plot = readPlot(bytes, { unitsPerMm: 1 })
  const { driven, tip } = side
  const ways = plot.strokes.map(({ path }) => pathFromMachine(machine, path))
  const problems = [...planProblems(file, faces, side, machine), ...writtenProblems(file, plot, ways, driven, machine)]
  if (problems.length > 0) throw new Refusal(problems)
  const drives = ways.map((path, i) => ({
    // a drive ends where its last segment does
    path: { ...path, closed: false },
    leadIn: driven[i]?.leadIn === true,
    isPen: driven[i]?.operation === 'pen',
  }))
  const offset = machine.blade.compensate === 'file' ? machine.blade.offset : 0
  const tipOf = (isPen: boolean, trailing: number): TipReport =>
    checkTip(
      tip.filter((stroke) => (stroke.operation === 'pen') === isPen),
      drives.filter((drive) => drive.isPen === isPen),
      { offset: trailing, leastTurn: machine.blade.leastTurn },
    )
  const [drawn, cut] = [tipOf(true, 0), tipOf(false, offset)]
  const reports = [drawn, cut]
  const misses = reports.flatMap(({ worstCut, worstUncut }) => [worstCut, worstUncut]).filter((m) => m !== undefined)
  const worst = misses.reduce<(typeof misses)[number] | undefined>(
    (a, b) => (a && a.distance >= b.distance ? a : b),
    undefined,
  )
  const strokesOf = { drawn: drawn.strokes.values(), cut: cut.strokes.values() }
  const tips = tip.map(({ operation, name }): TipStroke => {
    const own = operation === 'pen' ? strokesOf.drawn : strokesOf.cut
    return { operation, name, way: own.next().value?.way ?? [] }
  })
  const check: FileCheck = {
    file,
    strokes: tip.length,
    worst: worst?.distance ?? 0,
    at: worst?.at ?? point(0, 0),
    stroke: worst?.name ?? '',
    forbidden: reports.flatMap(({ strokes }) =>
      strokes.flatMap((stroke) => stroke.forbidden.map((each) => ({ ...each, stroke: stroke.name }))),
    ),
    tools: toolsUsed(plot, driven),
    compared,
    travel: travelOf(
      drives.map((drive) => drive.path),
      machine.pace,
    ),
  }
  return { check, tips }
}
