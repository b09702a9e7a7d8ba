import { Walk } from '../../file/hpgl/walk.ts'
import { point } from '../../geometry/point.ts'
import { Refusal } from '../../measure/problem.ts'
import { toMachine } from '../axes.ts'
import { formatMark, type Mark } from './mark.ts'
import type { SendPlan } from './plan.ts'

/** What is sent: some commands of our own, then the file from a byte on. */
export interface Course {
  readonly head: Uint8Array
  readonly from: number
}

export const wholeFile: Course = { head: new Uint8Array(0), from: 0 }

const semicolon = 0x3b
const ascii = (text: string) => new TextEncoder().encode(text)

/**
 * How to send the job from a mark on: settings as they are there, to the place with the tool up, and the rest of the
 * file. Refuses a mark of which only the plotter knows where it is, and a point that the line has not.
 */
export function courseFrom(plan: SendPlan, mark: Mark): Course {
  if (mark.line === 0 && mark.point === 1) return wholeFile
  const line = plan.lines[mark.line]
  if (!line) throw unknown(plan, mark, 'it is past the last line')
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
      throw unknown(plan, mark, 'only the plotter knows where it is')
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
  throw unknown(plan, mark, `its line has ${count} points`)
}

function unknown(plan: SendPlan, mark: Mark, limit: string): Refusal {
  const cure = `Begin with "${formatMark(plan, beginningBefore(plan, mark.line))}".`
  const value = `"${formatMark(plan, mark)}"`
  return new Refusal([{ code: 'cannot_begin', field: 'the place to begin', value, limit, cure }])
}

/** The start of a line, counted from 0, or of the last before it that a run can begin with. */
function beginningBefore({ lines }: SendPlan, line: number): Mark {
  const last = lines.findLastIndex(({ begins }, i) => i <= line && begins)
  return { line: Math.max(0, last), point: 1 }
}

/** The mark to go on from when the file has been carried out up to a byte: nothing twice, nothing left out. */
export function markBehind(plan: SendPlan, offset: number): Mark | undefined {
  const index = plan.lines.findIndex((line) => line.to > offset)
  const line = plan.lines[index]
  if (!line) return undefined
  if (offset <= line.from) return { line: index, point: 1 }
  let count = 0
  for (const place of new Walk(plan.bytes).places()) {
    if (place.offset > offset) break
    if (place.offset === line.from || (place.offset > line.from && !place.whole)) count++
  }
  return { line: index, point: Math.max(1, count) }
}

/**
 * The mark to begin again from when a file has been carried out up to a byte at the least: the start of the first line
 * that may not be whole, but no earlier than where the run itself began.
 */
export function markNotBefore(plan: SendPlan, surely: number, { from }: Course): Mark | undefined {
  const index = plan.lines.findIndex((line) => line.to > surely)
  const line = plan.lines[index]
  if (!line) return undefined
  return line.from < from ? markBehind(plan, from) : beginningBefore(plan, index)
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
    parts: [],
    box,
    travel,
    machine,
  }
}
