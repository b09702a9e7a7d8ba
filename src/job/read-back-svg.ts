import { readCutSvg } from '../file/svg/read.ts'
import { deviation } from '../geometry/deviation.ts'
import { point } from '../geometry/point.ts'
import { type Problem, Refusal } from '../measure/problem.ts'
import { operations, type Stroke } from '../stroke/stroke.ts'
import { asked } from './as-planned.ts'
import type { FileCheck } from './read-back.ts'

/** mm that a place may move: coordinates are written to 0.1 micrometre, and chords of 1 micrometre are held against each other. */
const near = 0.003

const compared = ['place', 'number', 'order', 'operation', 'name', 'size of the sheet']

/**
 * A cut SVG read back: its strokes against those asked for, within each operation in order, because that is how the file
 * holds them. Refuses a file that holds anything else than what was asked for.
 */
export function readBackSvg(
  file: string,
  wanted: readonly Stroke[],
  size: { readonly width: number; readonly height: number },
  text: string,
): FileCheck {
  const svg = readCutSvg(text)
  const problems: Problem[] = []
  if (Math.abs(svg.width - size.width) > near || Math.abs(svg.height - size.height) > near) {
    const limit = `the sheet is ${size.width.toFixed(3)} x ${size.height.toFixed(3)} mm`
    problems.push(asked(file, `${svg.width} x ${svg.height} mm`, limit))
  }
  let worst = { distance: 0, at: point(0, 0), stroke: '' }
  for (const operation of operations) {
    const [own, back] = [wanted, svg.strokes].map((all) => all.filter((stroke) => stroke.operation === operation))
    if (own?.length !== back?.length) {
      problems.push(asked(file, `${back?.length} strokes of ${operation}, read back`, `${own?.length} were asked for`))
    }
    const bad = own?.flatMap((stroke, i) => {
      const found = back?.[i]
      if (!found) return []
      const { distance, at } = deviation(found.path, stroke.path)
      if (distance > worst.distance) worst = { distance, at, stroke: stroke.name }
      const field = `${file}, stroke ${i + 1} of ${operation}, ${stroke.name}`
      if (found.name !== stroke.name) return [asked(field, `called ${found.name}`, 'it belongs to something else')]
      if (distance <= near) return []
      const value = `${distance.toFixed(3)} mm from where it was asked for, at x ${at.x.toFixed(1)}, y ${at.y.toFixed(1)} mm`
      return [asked(field, value, `writing it moves no place by more than ${near} mm`)]
    })
    // One stroke left out puts all behind it in the wrong place.
    problems.push(...(bad ?? []).slice(0, 1))
  }
  if (problems.length > 0) throw new Refusal(problems)
  return {
    file,
    strokes: wanted.length,
    worst: worst.distance,
    at: worst.at,
    stroke: worst.stroke,
    forbidden: [],
    tools: operations.flatMap((operation) => {
      const strokes = svg.strokes.filter((stroke) => stroke.operation === operation).length
      return strokes > 0 ? [{ operation, strokes }] : []
    }),
    compared,
  }
}
