import type { Cutting } from './side.ts'
import { type Operation, operations, type Stroke } from './stroke.ts'

/** Strokes between which nobody has to change anything on the machine. */
export interface Part {
  /** what the tool that comes again must be set for, where a person has to see to it */
  readonly set?: Operation
  readonly strokes: readonly Stroke[]
}

/**
 * Strokes of one side parted where one holder has to do what no file can tell it: a pen and a blade of one number, or
 * film alone and film with liner at one force and as many passes. All that is done at one setting is one part, in the
 * order of operations.
 */
export function partsSetByHand(strokes: readonly Stroke[], tools: Cutting['tools']): Part[] {
  const parts: Operation[][] = []
  for (const operation of operations.filter((each) => strokes.some((stroke) => stroke.operation === each))) {
    const last = parts.at(-1)
    if (last?.every((other) => isTold(other, operation, tools))) last.push(operation)
    else parts.push([operation])
  }
  return parts.map((own) => ({
    ...(parts.length > 1 ? { set: setOf(own, parts.flat(), tools) } : {}),
    strokes: strokes.filter(({ operation }) => own.includes(operation)),
  }))
}

/** Does a file tell the machine the one operation from the other? */
function isTold(a: Operation, b: Operation, tools: Cutting['tools']): boolean {
  const [one, other] = [tools[a], tools[b]]
  if (!one || !other || one.number !== other.number) return true
  if (a === 'pen' || b === 'pen') return false
  return one.force !== other.force || (one.passes ?? 1) !== (other.passes ?? 1)
}

/** Of the operations of a part the one whose tool also does another in another part. */
const setOf = (own: readonly Operation[], all: readonly Operation[], tools: Cutting['tools']): Operation =>
  own.find((operation) => all.some((other) => !own.includes(other) && !isTold(operation, other, tools))) ??
  (own[0] as Operation)
