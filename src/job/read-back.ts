import { type Plot, readPlot } from '../file/hpgl/read.ts'
import { type Point, point } from '../geometry/point.ts'
import { pathFromMachine } from '../machine/axes.ts'
import type { Machine } from '../machine/profile.ts'
import type { LineNames } from '../machine/send/plan.ts'
import { type Travel, travelOf } from '../stroke/pace.ts'
import type { Side } from '../stroke/side.ts'
import type { Operation } from '../stroke/stroke.ts'
import type { Forbidden } from '../stroke/tip-check.ts'
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
  /**
   * strokes for which a blade comes down that nothing has brought round, for want of room for it: how far such a cut
   * strays at the worst heading, mm, and how much of its line stays uncut
   */
  readonly unturned?: readonly { readonly stroke: string; readonly astray: number; readonly uncut: number }[]
  /** HP-GL alone: a cut SVG leaves order and pace to other software */
  readonly travel?: Travel
  /** HP-GL alone, for sending it: which side of the film faces the tool, its bytes, and what its lines belong to in order */
  readonly sent?: {
    readonly side: 'film' | 'liner'
    readonly bytes: number
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

/** An HP-GL file read back: its own strokes on the sheet again, with what the tool's tip does on them, in order. */
export function readBack(
  file: string,
  side: Side,
  bytes: Uint8Array,
  machine: Machine,
): { readonly check: FileCheck; readonly tips: readonly TipStroke[] } {
  const plot = readPlot(bytes, { unitsPerMm: 1 })
  const trouble = troubleOf(plot)
  if (trouble !== undefined) throw new Error(`${file} cannot be read back: ${trouble}`)
  const { driven, tip } = side
  if (plot.strokes.length !== driven.length) {
    throw new Error(`${file}: ${driven.length} strokes were written and ${plot.strokes.length} came back`)
  }
  const drives = plot.strokes.map(({ path }) => ({
    // a drive ends where its last segment does
    path: { ...pathFromMachine(machine, path), closed: false },
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
    ...(unturned.length > 0 ? { unturned } : {}),
    travel: travelOf(
      drives.map((drive) => drive.path),
      machine.pace,
    ),
  }
  return { check, tips }
}

function troubleOf({ stopped, faults, penDownAtEnd }: Plot): string | undefined {
  if (stopped) return `${stopped.why} (byte ${stopped.offset})`
  const [fault] = faults
  if (fault) return `error ${fault.error} at byte ${fault.offset}: ${fault.what}`
  return penDownAtEnd ? 'it ends with the tool down' : undefined
}
