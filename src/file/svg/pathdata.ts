import { arcPoint } from '../../geometry/arc.ts'
import { type Arc, arcTo, closedPath, cubicTo, lineTo, type Path, pieces, type Segment } from '../../geometry/path.ts'
import { distance, type Point } from '../../geometry/point.ts'
import { type Place, Refusal } from '../../measure/problem.ts'
import { decimal } from '../number.ts'

/** Arcs that leave their chord by less than this, mm, are written as lines. */
const flatSagitta = 0.0005
/**
 * Arcs that turn further than this, radians, are written as two: towards a half turn the centre, which a reader finds
 * from the radius, moves by many times the rounding. A quarter turn stays whole.
 */
const widestSweep = 1.6

/** A point as it stands in the text. */
interface Spot extends Point {
  readonly text: string
}

/** Absolute M L A C Z with y flipped about `height` mm; a closed path ends in Z and does not repeat its start. */
export function writePathData(path: Path, height: number, places: number): string {
  const spot = (p: Point): Spot => {
    const x = decimal(p.x, places)
    const y = decimal(height - p.y, places)
    return { x: Number(x), y: Number(y), text: `${x} ${y}` }
  }
  const start = spot(path.start)
  const words = [`M ${start.text}`]
  let at = start
  const line = (to: Spot) => {
    if (to.text !== at.text) words.push(`L ${to.text}`)
    at = to
  }
  const arc = (from: Point, turn: Arc) => {
    const to = spot(turn.to)
    const chord = distance(at, to)
    const radius = chord / (2 * Math.sin(Math.abs(turn.sweep) / 2))
    if (chord === 0 || !(radius < 1e12)) return line(to)
    const text = decimal(radius, places)
    const sweep = minorSweep(chord, Number(text))
    if ((chord / 2) * Math.tan(sweep / 4) < flatSagitta) return line(to)
    if (sweep > widestSweep) {
      const middle = arcPoint(from, turn, 0.5)
      arc(from, arcTo(middle, turn.sweep / 2))
      arc(middle, arcTo(turn.to, turn.sweep / 2))
    } else {
      words.push(`A ${text} ${text} 0 0 ${turn.sweep > 0 ? 0 : 1} ${to.text}`)
      at = to
    }
  }
  for (const { from, segment } of pieces(path)) {
    const to = spot(segment.to)
    if (segment.kind === 'arc') {
      arc(from, segment)
    } else if (segment.kind === 'cubic') {
      words.push(`C ${spot(segment.c1).text} ${spot(segment.c2).text} ${to.text}`)
      at = to
    } else {
      line(to)
    }
  }
  if (path.closed) {
    if (words.at(-1) === `L ${start.text}`) words.pop()
    words.push('Z')
  }
  return words.join(' ')
}

/** Turn of the shorter arc over a chord, 0..pi; a radius too small for the chord is enlarged, as SVG does. */
function minorSweep(chord: number, radius: number): number {
  return 2 * Math.asin(Math.min(1, chord / (2 * radius)))
}

/** How many numbers each command takes. */
const counts: Readonly<Record<string, number>> = { M: 2, L: 2, H: 1, V: 1, C: 6, A: 7, Z: 0 }

/**
 * One subpath of absolute M L H V C A Z, y flipped back about `height` mm. Arcs are circular; one of more than half a
 * turn comes back as two. Anything else is refused with the character, from 1, where it stands; `place` is where the
 * data itself stands in its file.
 */
export function readPathData(text: string, height: number, place?: Place): Path {
  const word = /[\s,]*(?:([A-Za-z])|([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?))/y
  const refuse = (code: string, after: number, limit: string): Refusal => {
    const rest = text.slice(after).trimStart()
    const value = rest === '' ? 'at its end' : JSON.stringify(rest.slice(0, 12))
    const cure = 'Use one run of absolute M, L, H, V, C, A and Z with circular arcs.'
    const field = `path data at character ${text.length - rest.length + 1}`
    return new Refusal([{ code, field, value, limit, cure, ...(place ? { place } : {}) }])
  }
  const segments: Segment[] = []
  let start: Point | undefined
  let at: Point = { x: 0, y: height }
  let closed = false
  let command = ''
  const end = text.trimEnd().length
  while (word.lastIndex < end) {
    const from = word.lastIndex
    const found = word.exec(text)
    if (!found) throw refuse('not_path_data', from, 'only commands and numbers may stand there')
    if (found[1] !== undefined) command = found[1]
    else word.lastIndex = from
    const count = counts[command]
    if (count === undefined) throw refuse('unknown_command', from, 'this reader knows M, L, H, V, C, A and Z')
    if (closed || (start && command === 'M')) throw refuse('second_run', from, 'a path is one run from M on')
    if (!start && command !== 'M') throw refuse('no_start', from, 'a path starts with M')
    const numbers: number[] = []
    for (let i = 0; i < count; i++) {
      const before = word.lastIndex
      const number = word.exec(text)?.[2]
      if (number === undefined) throw refuse('no_number', before, `${command} takes ${count} numbers`)
      if (command === 'A' && (i === 3 || i === 4) && number !== '0' && number !== '1') {
        throw refuse('not_a_flag', before, 'a flag is 0 or 1, on its own')
      }
      if (!Number.isFinite(Number(number))) throw refuse('not_finite', before, 'numbers must be finite')
      numbers.push(Number(number))
    }
    const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0] = numbers
    const flipped = (x: number, y: number): Point => ({ x, y: height - y })
    switch (command) {
      case 'M':
        start = flipped(a, b)
        at = start
        command = 'L'
        break
      case 'L':
        segments.push(lineTo(flipped(a, b)))
        break
      case 'H':
        segments.push(lineTo({ x: a, y: at.y }))
        break
      case 'V':
        segments.push(lineTo(flipped(at.x, a)))
        break
      case 'C':
        segments.push(cubicTo(flipped(a, b), flipped(c, d), flipped(e, f)))
        break
      case 'A': {
        if (a !== b || !(a > 0) || c !== 0) {
          throw refuse('not_circular', from, 'both radii must be the same, above 0, and the rotation 0')
        }
        segments.push(...arcBetween(at, flipped(f, g), a, d === 1, e === 1))
        break
      }
      default:
        closed = true
    }
    at = segments.at(-1)?.to ?? at
  }
  if (!start) throw refuse('no_start', text.length, 'a path starts with M')
  return closed ? closedPath(start, segments) : { start, segments, closed: false }
}

/** The arc of an `A`; none where it goes nowhere, as in SVG. */
function arcBetween(from: Point, to: Point, radius: number, large: boolean, clockwise: boolean): Arc[] {
  const chord = distance(from, to)
  if (chord === 0) return []
  const minor = minorSweep(chord, radius)
  const turn = (large ? 2 * Math.PI - minor : minor) * (clockwise ? -1 : 1)
  if (Math.abs(turn) <= Math.PI) return [arcTo(to, turn)]
  return [arcTo(arcPoint(from, arcTo(to, turn), 0.5), turn / 2), arcTo(to, turn / 2)]
}
