import { readPlot } from '../file/hpgl/read.ts'
import { type Point, point } from '../geometry/point.ts'
import { pathFromMachine } from '../machine/axes.ts'
import type { Machine } from '../machine/profile.ts'
import type { LineNames } from '../machine/send/parts.ts'
import { Refusal } from '../measure/problem.ts'
import { type Travel, travelOf } from '../stroke/pace.ts'
import type { Side } from '../stroke/side.ts'
import type { Operation } from '../stroke/stroke.ts'
import type { Forbidden } from '../stroke/tip-check.ts'
import { type FilmSide, planProblems } from './as-planned.ts'
import { type ToolUse, toolsUsed, writtenProblems } from './as-written.ts'
import type { Setting } from './setting.ts'
import { tipRuns } from './tip-runs.ts'

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
  /**
   * strokes for which a blade comes down that nothing has brought round, for want of room for it: how far such a cut
   * strays at the worst heading, mm, and how much of its line stays uncut
   */
  readonly unturned?: readonly { readonly stroke: string; readonly astray: number; readonly uncut: number }[]
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
    /** what a person must set first */
    readonly set?: Setting
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
  const drives = ways.map((path) => ({
    // a drive ends where its last segment does
    path: { ...path, closed: false },
  }))
  const runs = tipRuns(side, drives, machine)
  const reports = runs.map(({ report }) => report)
  const misses = reports.flatMap(({ worstCut, worstUncut }) => [worstCut, worstUncut]).filter((m) => m !== undefined)
  const worst = misses.reduce<(typeof misses)[number] | undefined>(
    (a, b) => (a && a.distance >= b.distance ? a : b),
    undefined,
  )
  const tipsOf = reports.flatMap(({ strokes }) => strokes)
  const tips = tip.map(({ operation, name }, i): TipStroke => ({ operation, name, way: tipsOf[i]?.way ?? [] }))
  const unturned = runs.flatMap(
    ({
      unturned,
      report: {
        strokes: [first],
      },
    }) => (unturned && first ? [{ stroke: first.name, astray: first.cut.distance, uncut: first.uncut.distance }] : []),
  )
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
    ...(unturned.length > 0 ? { unturned } : {}),
    travel: travelOf(
      drives.map((drive) => drive.path),
      machine.pace,
    ),
  }
  return { check, tips }
}
