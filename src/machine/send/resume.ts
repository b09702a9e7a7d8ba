import { Walk } from '../../file/hpgl/walk.ts'
import { point } from '../../geometry/point.ts'
import { type Problem, Refusal } from '../../measure/problem.ts'
import { toMachine } from '../axes.ts'
import type { Piece, SendPlan } from './plan.ts'

/** A place in a job where a run can begin or has ended, counted from 1: the piece, its line, and the point on the line. */
export interface Mark {
  readonly piece: number
  readonly line: number
  readonly point: number
}

/** What is sent: some commands of our own, then the file from a byte on. */
export interface Course {
  readonly head: Uint8Array
  readonly from: number
}

export const wholeFile: Course = { head: new Uint8Array(0), from: 0 }

const semicolon = 0x3b
const ascii = (text: string) => new TextEncoder().encode(text)

/** `4`, `4.2` or `4.2.17`; what is left out is 1. */
export function formatMark({ piece, line, point }: Mark): string {
  if (point > 1) return `${piece}.${line}.${point}`
  return line > 1 ? `${piece}.${line}` : `${piece}`
}

export function readMark(text: string, plan: SendPlan): Mark | Problem {
  const parts = /^(\d{1,9})(?:\.(\d{1,9}))?(?:\.(\d{1,9}))?$/.exec(text.trim())
  const [, piece = '', line = '1', at = '1'] = parts ?? []
  const found = plan.pieces[Number(piece) - 1]
  const refused = (limit: string, cure: string): Problem => ({
    code: 'no_such_place',
    field: 'the place to begin',
    value: `"${text}"`,
    limit,
    cure,
  })
  if (!parts || !found) {
    const count = plan.pieces.length
    return refused(`the file has ${count} ${count === 1 ? 'piece' : 'pieces'}, counted from 1`, 'Give one of these.')
  }
  const lines = found.end - found.first
  if (Number(line) < 1 || Number(line) > lines) {
    return refused(`piece ${piece} has ${lines} ${lines === 1 ? 'line' : 'lines'}`, 'Give one of these, or none.')
  }
  return { piece: Number(piece), line: Number(line), point: Math.max(1, Number(at)) }
}

/**
 * How to send the job from a mark on: settings as they are there, to the place with the tool up, and the rest of the
 * file. Refuses a mark of which only the plotter knows where it is, and a point that the line has not.
 */
export function courseFrom(plan: SendPlan, mark: Mark): Course {
  if (mark.piece === 1 && mark.line === 1 && mark.point === 1) return wholeFile
  const index = (plan.pieces[mark.piece - 1]?.first ?? plan.lines.length) + mark.line - 1
  const line = plan.lines[index]
  if (!line) throw unknown(mark, 'it is past the last line')
  let count = 0
  for (const place of new Walk(plan.bytes).places()) {
    if (place.offset < line.from) continue
    if (place.offset > line.to) break
    // Behind a list its last point stands once more.
    if (place.offset === line.from || !place.whole) count++
    if (count < mark.point) continue
    const rest = plan.bytes.subarray(place.offset)
    const goesOn = !place.whole && !/^[\s]*(;|[A-Za-z]|$)/.test(String.fromCharCode(...rest.subarray(0, 40)))
    const isEncoded = place.inside?.startsWith('PE') === true
    const continues = !place.whole && (isEncoded ? rest[0] !== semicolon : goesOn)
    if (!place.at || (continues && place.inside === undefined))
      throw unknown(mark, 'only the plotter knows where it is')
    const skip = continues && !isEncoded && rest[0] === 0x2c ? 1 : 0
    const head = [
      ...place.settings,
      'PU',
      `PA${place.at.x},${place.at.y}`,
      ...(place.down ? ['PD'] : []),
      ...(place.relative ? ['PR'] : []),
    ]
    return { head: ascii(`${head.join(';')};${continues ? place.inside : ''}`), from: place.offset + skip }
  }
  throw unknown(mark, `its line has ${count} points`)
}

const unknown = (mark: Mark, limit: string): Refusal =>
  new Refusal([
    {
      code: 'cannot_begin',
      field: 'the place to begin',
      value: formatMark(mark),
      limit,
      cure: `Begin with piece ${mark.piece}, or with the one before it.`,
    },
  ])

/** The mark to go on from when the file has been carried out up to a byte: nothing twice, nothing left out. */
export function markBehind(plan: SendPlan, offset: number): Mark | undefined {
  const index = plan.lines.findIndex((line) => line.to > offset)
  const line = plan.lines[index]
  if (!line) return undefined
  const piece = pieceOf(plan, index)
  const mark = { piece: piece.number, line: index - piece.first + 1, point: 1 }
  if (offset <= line.from) return mark
  let count = 0
  for (const place of new Walk(plan.bytes).places()) {
    if (place.offset > offset) break
    if (place.offset === line.from || (place.offset > line.from && !place.whole)) count++
  }
  return { ...mark, point: Math.max(1, count) }
}

/** The piece that a line, counted from 0, belongs to. */
function pieceOf(plan: SendPlan, line: number): Piece {
  const found = plan.pieces.find((piece) => line < piece.end)
  if (!found) throw new RangeError(`line ${line} is in no piece`)
  return found
}

/** Tool up, home and put away, whatever mode numbers are in, and what the machine wants at the end. */
export const parking = (plan: SendPlan): Uint8Array => ascii(`PU;PA0,0;SP0;${plan.machine?.end ?? ''}`)

export const lifting = ascii('PU;')
export const lowering = ascii('PD;')

/** Once round the job with the tool up, from the lower left corner of what it takes up, and home: a plan without lines. */
export function framePlan(plan: SendPlan): SendPlan {
  const { box, machine } = plan
  const { low, high } = box
  const corners = [low, point(high.x, low.y), high, point(low.x, high.y), low].map((p) => {
    const { x, y } = machine ? toMachine(machine, p) : point(p.x * 40, p.y * 40)
    return `PA${Math.round(x) + 0},${Math.round(y) + 0};`
  })
  const bytes = ascii(`IN;${machine?.start ?? ''}PU;${corners.join('')}PA0,0;${machine?.end ?? ''}`)
  const ends = [...bytes].flatMap((byte, i) => (byte === semicolon ? [i + 1] : []))
  const travel = { down: 0, up: 0, seconds: 0 }
  return {
    bytes,
    ends: Uint32Array.from(ends),
    downAt: new Uint8Array(ends.length),
    lines: [],
    pieces: [],
    box,
    travel,
    machine,
  }
}
