import { type Plot, readPlot } from '../file/hpgl/read.ts'
import { hpglBytes } from '../file/hpgl/write.ts'
import { writeCutSvg } from '../file/svg/cut.ts'
import { readCutSvg } from '../file/svg/read.ts'
import { deviation } from '../geometry/deviation.ts'
import type { Path } from '../geometry/path.ts'
import { type Point, point } from '../geometry/point.ts'
import { pathFromMachine } from '../machine/axes.ts'
import type { Machine } from '../machine/profile.ts'
import type { LineNames } from '../machine/send/plan.ts'
import { type Problem, Refusal } from '../measure/problem.ts'
import { type Travel, travelOf } from '../stroke/pace.ts'
import type { Side } from '../stroke/side.ts'
import type { Operation, Stroke } from '../stroke/stroke.ts'
import { checkTip, type Forbidden, type TipReport } from '../stroke/tip-check.ts'
import { hpglOf } from './hpgl-of.ts'
import type { OutFile } from './out-file.ts'
import type { Cut } from './plan-job.ts'

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
  /** HP-GL alone: a cut SVG leaves order and pace to other software */
  readonly travel?: Travel
  /** HP-GL alone, for sending it: which side of the film faces the tool, its bytes, and what its lines belong to in order */
  readonly sent?: { readonly side: 'film' | 'liner'; readonly bytes: number; readonly lines: LineNames }
}

/** Writes and reads back every cut file, or says what of it the machine cannot do. */
export function cutFiles(
  cuts: readonly Cut[],
  machine: Machine,
): { readonly files: OutFile[]; readonly checks: FileCheck[] } | { readonly problems: readonly Problem[] } {
  const files: OutFile[] = []
  const checks: FileCheck[] = []
  const both = (name: string, side: Side, faces: 'film' | 'liner', { sheet }: Cut) => {
    const bytes = hpglBytes(hpglOf(side.driven, machine))
    files.push({ name: `${name}.hpgl`, bytes })
    const sent = { side: faces, bytes: bytes.length, lines: lineNames(side.driven) }
    checks.push({ ...checkHpgl(`${name}.hpgl`, side, bytes, machine), sent })
    const svg = writeCutSvg(side.strokes, { width: sheet.length, height: sheet.width })
    files.push({ name: `${name}.cut.svg`, bytes: new TextEncoder().encode(svg) })
    const back = readCutSvg(svg).strokes.map((stroke) => stroke.path)
    checks.push(checkSvg(`${name}.cut.svg`, side.strokes, back))
  }
  try {
    for (const cut of cuts) {
      both(`sheet-${cut.sheet.number}`, cut.film, 'film', cut)
      if (cut.liner.strokes.length > 0) both(`sheet-${cut.sheet.number}.liner-up`, cut.liner, 'liner', cut)
    }
  } catch (error) {
    if (error instanceof Refusal) return { problems: error.problems }
    throw error
  }
  return { files, checks }
}

/** Names and operations one after the other, each for as many strokes as have it in a row. */
function lineNames(driven: readonly Stroke[]): LineNames {
  const runs: { name: string; operation: Operation; lines: number }[] = []
  for (const { name, operation } of driven) {
    const last = runs.at(-1)
    if (last?.name === name && last.operation === operation) last.lines++
    else runs.push({ name, operation, lines: 1 })
  }
  return runs
}

/** The file's own strokes on the sheet again, with what the blade's tip does on them. */
function checkHpgl(file: string, side: Side, bytes: Uint8Array, machine: Machine): FileCheck {
  const plot = readPlot(bytes, { unitsPerMm: 1 })
  const trouble = troubleOf(plot)
  if (trouble !== undefined) throw new Error(`${file} cannot be read back: ${trouble}`)
  const { driven, tip } = side
  if (plot.strokes.length !== driven.length) {
    throw new Error(`${file}: ${driven.length} strokes were written and ${plot.strokes.length} came back`)
  }
  const drives = plot.strokes.map((stroke, i) => ({
    // a drive ends where its last segment does
    path: { ...pathFromMachine(machine, stroke.path), closed: false },
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
  const reports = [tipOf(true, 0), tipOf(false, offset)]
  const misses = reports.flatMap(({ worstCut, worstUncut }) => [worstCut, worstUncut]).filter((m) => m !== undefined)
  const worst = misses.reduce<(typeof misses)[number] | undefined>(
    (a, b) => (a && a.distance >= b.distance ? a : b),
    undefined,
  )
  return {
    file,
    strokes: tip.length,
    worst: worst?.distance ?? 0,
    at: worst?.at ?? point(0, 0),
    stroke: worst?.name ?? '',
    forbidden: reports.flatMap(({ strokes }) =>
      strokes.flatMap((stroke) => stroke.forbidden.map((each) => ({ ...each, stroke: stroke.name }))),
    ),
    travel: travelOf(
      drives.map((drive) => drive.path),
      machine.pace,
    ),
  }
}

function troubleOf({ stopped, faults, penDownAtEnd }: Plot): string | undefined {
  if (stopped) return `${stopped.why} (byte ${stopped.offset})`
  const [fault] = faults
  if (fault) return `error ${fault.error} at byte ${fault.offset}: ${fault.what}`
  return penDownAtEnd ? 'it ends with the tool down' : undefined
}

function checkSvg(file: string, asked: readonly Stroke[], back: readonly Path[]): FileCheck {
  if (asked.length !== back.length) {
    throw new Error(`${file}: ${asked.length} strokes were asked for and ${back.length} came back`)
  }
  let check: FileCheck = { file, strokes: asked.length, worst: 0, at: point(0, 0), stroke: '', forbidden: [] }
  asked.forEach((stroke, i) => {
    const found = deviation(back[i] as Path, stroke.path)
    if (found.distance > check.worst) check = { ...check, worst: found.distance, at: found.at, stroke: stroke.name }
  })
  return check
}
