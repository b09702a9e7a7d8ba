import { flatten } from '../../geometry/flatten.ts'
import { type Path, pieces } from '../../geometry/path.ts'
import type { Point } from '../../geometry/point.ts'
import { type Problem, Refusal } from '../../measure/problem.ts'
import type { Operation, Stroke } from '../../stroke/stroke.ts'
import { decimal } from '../number.ts'

export interface HpglOptions {
  /** plotter units in 1 mm, > 0; 40 by HP-GL */
  readonly unitsPerMm: number
  /** pen number, 1 or more, that does each operation */
  readonly pens: Readonly<Partial<Record<Operation, number>>>
  /** how far the tool reaches from the origin, mm */
  readonly area: { readonly x: number; readonly y: number }
  /** lets coordinates past 32767 units through, up to 2^30 - 1, for a device that reads HP-GL/2 */
  readonly wideRange: boolean
  /** largest distance between a curve and its chords, mm, > 0 */
  readonly tolerance: number
}

/** Bytes in a line with its line feed: the smallest input block a plotter is known to take. */
const lineBytes = 80
/** Coordinate limits: a signed 16-bit integer in HP-GL, 30 bits in HP-GL/2. */
const narrowLimit = 32767
const wideLimit = 2 ** 30 - 1

/**
 * Plain HP-GL: absolute non-negative integers, `;` after every command, straight chords only. Strokes are written in
 * the order given. A stroke smaller than a unit comes out as a dot, so that none is lost silently.
 * Refuses, with every problem found, what the device could not draw in full.
 */
export function writeHpgl(strokes: readonly Stroke[], options: HpglOptions): string {
  const problems = penProblems(strokes, options)
  const lines: string[] = []
  let loaded: number | undefined
  for (const stroke of strokes) {
    const points = finite(stroke.path) ? flatten(stroke.path, options.tolerance) : []
    const found = points.length > 0 ? reachProblems(stroke, points, options) : [notFinite(stroke)]
    problems.push(...found)
    const pen = options.pens[stroke.operation]
    if (problems.length > 0 || pen === undefined) continue
    if (pen !== loaded) lines.push(loaded === undefined ? `IN;SP${pen};` : `SP${pen};`)
    loaded = pen
    addStroke(rounded(points, stroke.path.closed, options.unitsPerMm), lines)
  }
  if (problems.length > 0) throw new Refusal(problems)
  if (loaded === undefined) lines.push('IN;')
  lines.push('PU;PU0,0;SP0;')
  return `${lines.join('\n')}\n`
}

/** Coordinate pairs in units, rounded once from absolute positions, without repeats; a closed one ends at its start. */
function rounded(points: readonly Point[], closed: boolean, unitsPerMm: number): string[] {
  const pairs: string[] = []
  for (const p of points) {
    const pair = `${Math.round(p.x * unitsPerMm)},${Math.round(p.y * unitsPerMm)}`
    if (pair !== pairs.at(-1)) pairs.push(pair)
  }
  const [first] = pairs
  if (first !== undefined && (pairs.length === 1 || (closed && first !== pairs.at(-1)))) pairs.push(first)
  return pairs
}

function addStroke(pairs: readonly string[], lines: string[]): void {
  const [first, ...rest] = pairs
  let line = `PU${first};PD`
  let bare = true
  for (const pair of rest) {
    // Room for a comma, the pair, `;` and the line feed?
    if (!bare && line.length + pair.length + 3 > lineBytes) {
      lines.push(`${line};`)
      line = 'PD'
      bare = true
    }
    line += bare ? pair : `,${pair}`
    bare = false
  }
  line += ';'
  if (line.length + 4 <= lineBytes) {
    lines.push(`${line}PU;`)
  } else {
    lines.push(line, 'PU;')
  }
}

function penProblems(strokes: readonly Stroke[], { pens }: HpglOptions): Problem[] {
  const used = new Set(strokes.map((stroke) => stroke.operation))
  return [...used]
    .filter((operation) => pens[operation] === undefined)
    .map((operation) => ({
      code: 'no_pen',
      field: `pens.${operation}`,
      value: 'not set',
      limit: `there are ${operation} strokes to write and each operation needs a pen number`,
      cure: `Give a pen number for ${operation}, or leave its strokes out of this file.`,
    }))
}

/** Every problem of one stroke's place, the worst point of each kind. */
function reachProblems(stroke: Stroke, points: readonly Point[], options: HpglOptions): Problem[] {
  return (['x', 'y'] as const).flatMap((axis) => {
    const problems: Problem[] = []
    let low = Infinity
    let high = -Infinity
    for (const p of points) {
      low = Math.min(low, p[axis])
      high = Math.max(high, p[axis])
    }
    const add = (code: string, value: number, limit: string, cure: string) =>
      problems.push({ code, field: `${stroke.name}, ${axis}`, value: `${decimal(value, 3)} mm`, limit, cure })
    const units = Math.round(high * options.unitsPerMm)
    const most = options.area[axis]
    const limit = options.wideRange ? wideLimit : narrowLimit
    if (Math.round(low * options.unitsPerMm) < 0) {
      add('negative', low, 'the least a plotter draws is 0 mm', `Move the work by ${decimal(-low, 3)} mm or more.`)
    }
    if (!(units <= Math.round(most * options.unitsPerMm))) {
      const past = decimal(high - most, 3)
      add(
        'beyond_area',
        high,
        `the area ends at ${decimal(most, 3)} mm, ${past} mm short of it`,
        'Move or split the work.',
      )
    }
    if (units > limit) {
      const reach = decimal(limit / options.unitsPerMm, 3)
      const device = options.wideRange
        ? 'Split the work.'
        : 'Split the work, or use a machine that reads a wider range.'
      add('beyond_range', high, `HP-GL counts to ${limit} units here, which is ${reach} mm`, device)
    }
    return problems
  })
}

function notFinite(stroke: Stroke): Problem {
  return {
    code: 'not_finite',
    field: stroke.name,
    value: 'a path with a place that is no number',
    limit: 'every place must be a number of mm',
    cure: 'Check the measures this piece was made from.',
  }
}

function finite(path: Path): boolean {
  const ok = (p: Point) => Number.isFinite(p.x) && Number.isFinite(p.y)
  if (!ok(path.start)) return false
  for (const { segment } of pieces(path)) {
    if (!ok(segment.to)) return false
    if (segment.kind === 'arc' && !Number.isFinite(segment.sweep)) return false
    if (segment.kind === 'cubic' && !(ok(segment.c1) && ok(segment.c2))) return false
  }
  return true
}
