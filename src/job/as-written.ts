import { type Plot, readPlot } from '../file/hpgl/read.ts'
import type { PlotStroke } from '../file/hpgl/trace.ts'
import { deviation } from '../geometry/deviation.ts'
import { defaultTolerance } from '../geometry/flatten.ts'
import type { Path } from '../geometry/path.ts'
import { distance, type Point } from '../geometry/point.ts'
import type { Machine } from '../machine/profile.ts'
import type { Problem } from '../measure/problem.ts'
import type { DrivenStroke } from '../stroke/side.ts'
import { type Operation, operations } from '../stroke/stroke.ts'
import { asked } from './as-planned.ts'

/** What a file has a tool do. */
export interface ToolUse {
  readonly operation: Operation
  /** HP-GL alone: as the file selects and sets it */
  readonly pen?: number
  readonly force?: number
  /** cm/s */
  readonly speed?: number
  readonly strokes: number
}

/** Settings of a pen in a file, and in a profile, are written to so many units: 4 decimals. */
const sameSetting = 1e-4
/** mm that chords for measuring are off, on both lines together. */
const fine = 0.002

/**
 * What of an HP-GL file is not what the machine was to be sent: strokes left out, added, in another order, elsewhere, by
 * another pen, force or speed, or broken. `ways` are the file's own strokes on the sheet, mm.
 */
export function writtenProblems(
  file: string,
  plot: Plot,
  ways: readonly Path[],
  driven: readonly DrivenStroke[],
  machine: Machine,
): Problem[] {
  const unread = unreadProblems(file, plot)
  if (unread.length > 0) return unread
  const near = nearEnough(machine)
  const places = driven.flatMap((stroke, i) => placeProblem(file, ways[i], stroke, i, near) ?? [])
  const counts =
    plot.strokes.length === driven.length
      ? []
      : [asked(file, `${plot.strokes.length} strokes, read back`, `${driven.length} were asked for`)]
  // One stroke left out puts all behind it in the wrong place.
  return [...counts, ...places.slice(0, 1), ...toolProblems(file, plot, driven, machine)]
}

/** How far a stroke may be from where it was to be, mm: its chords, and the rounding of coordinates at both ends. */
const nearEnough = ({ unitsPerMm: { x, y } }: Machine): number => defaultTolerance + fine + Math.hypot(1 / x, 1 / y)

function unreadProblems(file: string, { stopped, faults, penDownAtEnd, skipped }: Plot): Problem[] {
  const add = (value: string, limit: string) => asked(file, value, limit)
  const [fault] = faults
  const lost = skipped.find(({ draws }) => draws)
  return [
    ...(stopped ? [add(`read back as far as byte ${stopped.offset}`, stopped.why)] : []),
    ...(fault ? [add(`read back with error ${fault.error} at byte ${fault.offset}`, fault.what)] : []),
    ...(lost ? [add(`written with ${lost.mnemonic} at byte ${lost.offset}`, 'what it draws was not asked for')] : []),
    ...(penDownAtEnd ? [add('at its end with the tool down', 'it must be up')] : []),
  ]
}

function placeProblem(
  file: string,
  way: Path | undefined,
  { name, path }: DrivenStroke,
  i: number,
  near: number,
): Problem | undefined {
  if (!way) return undefined
  const ends = distance(way.start, path.start)
  const off = ends > near ? { distance: ends, at: way.start } : deviation(way, path)
  if (off.distance <= near) return undefined
  return asked(
    `${file}, stroke ${i + 1}, ${name}`,
    `${off.distance.toFixed(3)} mm from where it was asked for, at ${placeWords(off.at)}`,
    `writing it moves no place by more than ${near.toFixed(3)} mm`,
  )
}

const placeWords = ({ x, y }: Point) => `x ${x.toFixed(1)}, y ${y.toFixed(1)} mm`

/** The same tools for every stroke as the profile has for its operation, told once for each operation and setting. */
function toolProblems(file: string, plot: Plot, driven: readonly DrivenStroke[], machine: Machine): Problem[] {
  const left = leftBy(machine.start)
  const found = new Map<string, Problem>()
  plot.strokes.forEach((stroke, i) => {
    const operation = driven[i]?.operation
    const tool = operation && machine.tools[operation]
    if (!tool) return
    const add = (what: string, own: number | undefined, wanted: number | undefined) => {
      const key = `${operation} ${what}`
      if (found.has(key) || isSame(own, wanted)) return
      const field = `${file}, stroke ${i + 1}, ${driven[i]?.name} (${operation})`
      found.set(key, asked(field, settingWords(what, own), `${settingWords(what, wanted)} was asked for`))
    }
    add('pen', stroke.pen, tool.number)
    add('force', stroke.force, tool.force ?? left.force)
    add('speed', stroke.speed, tool.speed ?? left.speed)
    add('line type', stroke.lineType, undefined)
  })
  return [...found.values()]
}

const isSame = (a: number | undefined, b: number | undefined) =>
  a === b || (a !== undefined && b !== undefined && Math.abs(a - b) <= sameSetting)

const settingWords = (what: string, value: number | undefined) =>
  value === undefined ? `no ${what} of its own` : `${what} ${value}`

/** What commands at the start leave the machine with, which goes for tools that state none. */
export function leftBy(start: string): Pick<PlotStroke, 'force' | 'speed'> {
  if (start === '') return {}
  return readPlot(`IN;${start}PU;PA0,0;PD1,1;PU;`, { unitsPerMm: 1 }).strokes.at(-1) ?? {}
}

/** What each operation is done with in a file of which all strokes were found as they were to be, lead-ins left out. */
export function toolsUsed(plot: Plot, driven: readonly DrivenStroke[]): ToolUse[] {
  return operations.flatMap((operation) => {
    const own = plot.strokes.filter((_, i) => driven[i]?.operation === operation && !driven[i]?.leadIn)
    const [first] = own
    if (!first) return []
    const { pen, force, speed } = first
    const set = { ...(force === undefined ? {} : { force }), ...(speed === undefined ? {} : { speed }) }
    return [{ operation, pen, ...set, strokes: own.length }]
  })
}
