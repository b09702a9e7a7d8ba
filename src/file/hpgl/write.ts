import { flatten } from '../../geometry/flatten.ts'
import { cross, dot, norm, type Point, subtract } from '../../geometry/point.ts'
import { Refusal } from '../../measure/problem.ts'
import type { Operation, Stroke } from '../../stroke/stroke.ts'
import { decimal } from '../number.ts'
import { Lines } from './lines.ts'
import { rangeOf, toolOf, usualLineBytes } from './settings.ts'
import { type UnitJob, type UnitMap, type UnitStroke, unitStroke } from './units.ts'
import { compact } from './write-compact.ts'
import { encoded } from './write-encoded.ts'
import { finite, optionProblems, reachProblems, toolProblems } from './write-problems.ts'
import { relative } from './write-relative.ts'
import { strict } from './write-strict.ts'

/** How one operation is done. */
export interface HpglTool {
  /** pen number, 1 or more */
  readonly number: number
  /** as the machine counts it, above 0; written as FS */
  readonly force?: number
  /** cm/s, above 0; written as VS */
  readonly speed?: number
  /** not looked at here: strokes that are gone over again stand in the list again */
  readonly passes?: number
}

export interface HpglOptions {
  /** plotter units in 1 mm, > 0; 40 by HP-GL. With `toUnits` only the sheet's edge is rounded by it. */
  readonly unitsPerMm: number
  /** pen number, 1 or more, that does each operation; not looked at where `tools` is given */
  readonly pens: Readonly<Partial<Record<Operation, number>>>
  /** in place of `pens`; force and speed are written where stated, whenever a tool is taken */
  readonly tools?: Readonly<Partial<Record<Operation, HpglTool>>>
  /** how far the tool reaches from the sheet's lower left corner, mm */
  readonly area: { readonly x: number; readonly y: number }
  /** an affine map from the sheet, mm, to machine units, unrounded; without it the sheet's corner is 0,0 */
  readonly toUnits?: (p: Point) => Point
  /** lets negative machine coordinates through, for a machine that counts from the middle */
  readonly negative?: boolean
  /** largest machine coordinate, units, up to 2^30 - 1; 32767 unless given or `wideRange` is set */
  readonly range?: number
  /** lets coordinates past 32767 units through, up to 2^30 - 1, for a device that reads HP-GL/2 */
  readonly wideRange?: boolean
  /** largest distance between a curve and its chords, mm, > 0 */
  readonly tolerance: number
  /** `strict` unless given */
  readonly dialect?: 'strict' | 'compact' | 'relative' | 'encoded'
  /** bits of a byte that the link carries, for the encoded dialect; 7 unless given */
  readonly encodedBits?: 7 | 8
  /** writes circular arcs as AA where the machine's scales and axes keep them round */
  readonly arcs?: boolean
  /** bytes in a line with its line feed, 40 or more; 80 unless given, the smallest input block a plotter is known to take */
  readonly lineBytes?: number
  /** commands with their `;` after IN and before the first tool; one longer than a line has a line of its own */
  readonly start?: string
  /** commands with their `;` after all others */
  readonly end?: string
}

/**
 * HP-GL in one character a byte, of which only the encoded dialect at 8 bits uses those past ASCII. Whole coordinates,
 * rounded once from absolute positions whatever the dialect; straight chords unless arcs are asked for. Strokes are
 * written in the order given. A stroke smaller than a unit comes out as a dot, so that none is lost silently.
 * Refuses, with every problem found, what the device could not draw in full.
 */
export function writeHpgl(strokes: readonly Stroke[], options: HpglOptions): string {
  const problems = [...optionProblems(options), ...toolProblems(strokes, options)]
  const map = unitMap(options)
  const runs: { readonly select: readonly string[]; readonly strokes: UnitStroke[] }[] = []
  let taken: Stroke['operation'] | undefined
  for (const stroke of strokes) {
    const points = finite(stroke.path) ? flatten(stroke.path, options.tolerance) : []
    problems.push(...reachProblems(stroke, points, options))
    const tool = toolOf(stroke.operation, options)
    if (problems.length > 0 || tool === undefined) continue
    if (stroke.operation !== taken) {
      const select = selecting(tool)
      if (select.join() !== runs.at(-1)?.select.join()) runs.push({ select, strokes: [] })
      taken = stroke.operation
    }
    runs.at(-1)?.strokes.push(unitStroke(stroke.path, points, map))
  }
  if (problems.length > 0) throw new Refusal(problems)
  return textOf({ runs, lineBytes: options.lineBytes ?? usualLineBytes, range: rangeOf(options) }, options)
}

/** The bytes of what `writeHpgl` gave. */
export function hpglBytes(text: string): Uint8Array {
  const bytes = new Uint8Array(text.length)
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i)
    if (code > 255) throw new RangeError(`character ${code} at ${i} of an HP-GL file; a byte goes to 255`)
    bytes[i] = code
  }
  return bytes
}

function textOf(
  job: UnitJob,
  { dialect: name = 'strict', encodedBits = 7, start = '', end = '' }: HpglOptions,
): string {
  const dialect = { strict, compact, relative, encoded: encoded(encodedBits) }[name]
  const lines = new Lines(job.lineBytes, dialect.close)
  const feed = () => {
    if (dialect.close !== '') lines.feed()
  }
  // Settings must come after IN, which would undo them.
  const settle = (select: readonly string[]) => {
    if (start === '') return lines.add('IN', ...select)
    lines.add('IN')
    feed()
    lines.verbatim(start)
    feed()
    lines.add(...select)
  }
  job.runs.forEach((run, i) => {
    if (i === 0) settle(run.select)
    else lines.add(...dialect.beforeTool, ...run.select)
    feed()
    dialect.draw(run.strokes, lines, job)
    feed()
  })
  if (job.runs.length === 0) settle([])
  feed()
  lines.add(...dialect.park)
  feed()
  lines.verbatim(end)
  return lines.text()
}

function unitMap({ unitsPerMm, toUnits, tolerance, arcs, negative, ...options }: HpglOptions): UnitMap {
  const map = toUnits ?? ((p: Point): Point => ({ x: p.x * unitsPerMm, y: p.y * unitsPerMm }))
  const round = arcs ? roundness(map) : undefined
  const range = rangeOf(options)
  return { toUnits: map, tolerance, turns: round && { ...round, low: negative ? -range : 0, high: range } }
}

/** The scale of an affine map that keeps circles round, and whether it mirrors. */
function roundness(map: (p: Point) => Point): { scale: number; mirrors: boolean } | undefined {
  // Far enough apart that rounding in the map is not taken for a difference.
  const size = 1000
  const zero = map({ x: 0, y: 0 })
  const along = subtract(map({ x: size, y: 0 }), zero)
  const across = subtract(map({ x: 0, y: size }), zero)
  const slack = 1e-9 * norm(along)
  if (Math.abs(norm(along) - norm(across)) > slack || Math.abs(dot(along, across)) > slack * norm(along))
    return undefined
  return { scale: norm(along) / size, mirrors: cross(along, across) < 0 }
}

/** Commands that take a tool, without `;`. */
function selecting({ number, force, speed }: HpglTool): string[] {
  const select = [`SP${number}`]
  if (speed !== undefined) select.push(`VS${decimal(speed, 4)}`)
  if (force !== undefined) select.push(`FS${decimal(force, 4)}`)
  return select
}
