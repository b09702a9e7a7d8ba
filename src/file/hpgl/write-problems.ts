import { type Path, pieces } from '../../geometry/path.ts'
import type { Point } from '../../geometry/point.ts'
import type { Problem } from '../../measure/problem.ts'
import type { Operation, Stroke } from '../../stroke/stroke.ts'
import { decimal } from '../number.ts'
import { leastLineBytes, narrowLimit, rangeOf, toolOf, usualLineBytes, wideLimit } from './settings.ts'
import type { HpglOptions } from './write.ts'

/** Options that no file can be written with. */
export function optionProblems({ lineBytes = usualLineBytes, ...options }: HpglOptions): Problem[] {
  const problems: Problem[] = []
  if (!(Number.isInteger(lineBytes) && lineBytes >= leastLineBytes)) {
    const limit = `a line has whole bytes, and the least is ${leastLineBytes}`
    const cure = `Enter ${leastLineBytes} or more; ${usualLineBytes} suits every machine.`
    problems.push({ code: 'line_bytes', field: 'lineBytes', value: `${lineBytes} bytes`, limit, cure })
  }
  const range = rangeOf(options)
  if (!(Number.isInteger(range) && range >= 1 && range <= wideLimit)) {
    const limit = `a largest coordinate is a whole number from 1 to ${wideLimit}`
    const cure = `Enter ${narrowLimit}, or ${wideLimit} for a machine that reads HP-GL/2.`
    problems.push({ code: 'range', field: 'range', value: `${range} units`, limit, cure })
  }
  return problems
}

/** Operations without a tool, settings that cannot be written, and settings that one tool would leave to the next. */
export function toolProblems(strokes: readonly Stroke[], options: HpglOptions): Problem[] {
  const problems: Problem[] = []
  const stated: { force?: Operation; speed?: Operation } = {}
  const seen = new Set<Operation>()
  const given = options.tools ? 'tools' : 'pens'
  for (const { operation } of strokes) {
    const tool = toolOf(operation, options)
    const isNew = !seen.has(operation)
    seen.add(operation)
    if (isNew && tool === undefined) {
      problems.push({
        code: 'no_pen',
        field: `${given}.${operation}`,
        value: 'not set',
        limit: `there are ${operation} strokes to write and each operation needs a pen number`,
        cure: `Give a pen number for ${operation}, or leave its strokes out of this file.`,
      })
    }
    for (const setting of ['force', 'speed'] as const) {
      const value = tool?.[setting]
      const field = `tools.${operation}.${setting}`
      const earlier = stated[setting]
      if (value !== undefined) {
        stated[setting] = operation
        if (!isNew || (value > 0 && value < Infinity)) continue
        const limit = `a ${setting} is a number above 0`
        problems.push({ code: 'tool_setting', field, value: `${value}`, limit, cure: 'Correct it, or leave it out.' })
      } else if (tool && earlier !== undefined && !problems.some((p) => p.field === field)) {
        problems.push({
          code: 'tool_setting',
          field,
          value: 'not set',
          limit: `${earlier} comes before it and states one, with which the machine would go on`,
          cure: `State a ${setting} for ${operation} too, or for neither.`,
        })
      }
    }
  }
  return problems
}

/**
 * Every problem of one stroke's place, the worst point of each kind.
 * @param points the stroke's path flattened; none where it is not finite
 */
export function reachProblems(stroke: Stroke, points: readonly Point[], options: HpglOptions): Problem[] {
  if (points.length === 0) return [notFinite(stroke)]
  const limit = rangeOf(options)
  const onSheet = (['x', 'y'] as const).flatMap((axis) => {
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
    if (!options.toUnits && units > limit) {
      const reach = decimal(limit / options.unitsPerMm, 3)
      const device =
        limit >= wideLimit ? 'Split the work.' : 'Split the work, or use a machine that reads a wider range.'
      add('beyond_range', high, `HP-GL counts to ${limit} units here, which is ${reach} mm`, device)
    }
    return problems
  })
  const { toUnits } = options
  return toUnits && onSheet.length === 0 ? unitProblems(stroke, extentOf(points, toUnits), options) : onSheet
}

interface Extent {
  readonly low: Point
  readonly high: Point
}

/** The least and the largest whole machine coordinates, and 0. */
function extentOf(points: readonly Point[], toUnits: (p: Point) => Point): Extent {
  let [lowX, lowY, highX, highY] = [0, 0, 0, 0]
  for (const p of points) {
    const { x, y } = toUnits(p)
    if (x < lowX) lowX = x
    if (x > highX) highX = x
    if (y < lowY) lowY = y
    if (y > highY) highY = y
  }
  const whole = (x: number, y: number): Point => ({ x: Math.round(x), y: Math.round(y) })
  return { low: whole(lowX, lowY), high: whole(highX, highY) }
}

/** What the machine cannot count to, of a stroke that lies on the sheet. */
function unitProblems(stroke: Stroke, extent: Extent, options: HpglOptions): Problem[] {
  const limit = rangeOf(options)
  return (['x', 'y'] as const).flatMap((axis) => {
    const problems: Problem[] = []
    const low = extent.low[axis]
    const high = extent.high[axis]
    const field = `${stroke.name}, machine ${axis}`
    if (low < 0 && !options.negative) {
      const least = 'the least this machine draws is 0 units'
      const cure = `Move the work by ${-low} units or more, or correct where the machine counts from.`
      problems.push({ code: 'negative', field, value: `${low} units`, limit: least, cure })
    }
    const far = high > limit ? high : low
    if (Math.abs(far) > limit && (far > 0 || options.negative)) {
      const most = `this machine counts to ${limit} units either way from its 0`
      const cure = 'Split the work, or use a machine that reads a wider range.'
      problems.push({ code: 'beyond_range', field, value: `${far} units`, limit: most, cure })
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

/** Is every place of a path a number? */
export function finite(path: Path): boolean {
  const ok = (p: Point) => Number.isFinite(p.x) && Number.isFinite(p.y)
  if (!ok(path.start)) return false
  for (const { segment } of pieces(path)) {
    if (!ok(segment.to)) return false
    if (segment.kind === 'arc' && !Number.isFinite(segment.sweep)) return false
    if (segment.kind === 'cubic' && !(ok(segment.c1) && ok(segment.c2))) return false
  }
  return true
}
