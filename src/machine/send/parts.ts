import { boundsOf } from '../../geometry/bounds.ts'
import type { Path } from '../../geometry/path.ts'
import { enclosing } from '../../stroke/nesting.ts'
import { type Travel, travelSum } from '../../stroke/pace.ts'
import { type Operation, operations } from '../../stroke/stroke.ts'
import { isOutline } from '../../stroke/strokes.ts'
import type { Machine } from '../profile.ts'

/** All lines of a file that one tool does of one piece, or of what lies beside the pieces; they need not follow each other. */
export interface Part extends Travel {
  /** what the piece is called: `pail lid, copy 2 of 3`; where no report tells, where it lies: `outline at 80, 10` */
  readonly name: string
  /** is it of a piece? Crosses, lead-ins, borders and loose lines are not. */
  readonly isPiece: boolean
  /** is the outline of that piece among its lines? Else a file of its own cuts it, or no file does. */
  readonly hasOutline: boolean
  readonly operation: Operation | undefined
  readonly pen: number
  /** numbers of its lines, from 0, in the order of the file; at least one */
  readonly lines: readonly number[]
  /** how many of them are closed */
  readonly closed: number
}

/** What a report beside a file knows of its lines: names one after the other, each for so many of them. */
export type LineNames = readonly {
  readonly name: string
  /** what the piece is called that they belong to; none for what lies beside the pieces */
  readonly piece?: string | undefined
  readonly operation: Operation
  readonly lines: number
}[]

/** What a line belongs to. */
export interface Owner {
  readonly name: string
  readonly isPiece: boolean
  /** is the line the outline of the piece, or a part of it? */
  readonly isOutline: boolean
  readonly operation?: Operation
}

/** The part that each line belongs to, from 0, in the order in which they are begun. */
export function partNumbers(owners: readonly Owner[], pens: readonly number[]): readonly number[] {
  const known = new Map<string, number>()
  return owners.map(({ name, operation }, i) => {
    const key = `${operation ?? pens[i]} ${name}`
    const part = known.get(key) ?? known.size
    known.set(key, part)
    return part
  })
}

/** A part as it is shown: `pail lid, copy 2 of 3 (kiss)`. */
export const partWords = (part: Part): string => `${part.name} (${toolOf(part)})`

/** What a part is done by. */
export const toolOf = ({ operation, pen }: Part): string => operation ?? `pen ${pen}`

/** Names of the pieces in some parts, each once, in the order in which they are begun. */
export const pieceNames = (parts: readonly Part[]): readonly string[] => [
  ...new Set(parts.filter(({ isPiece }) => isPiece).map(({ name }) => name)),
]

/** Names of those of them whose outlines are cut by these parts. */
export const outlinedNames = (parts: readonly Part[]): readonly string[] =>
  pieceNames(parts.filter(({ hasOutline }) => hasOutline))

/**
 * The owner of each line: as the report has it, else the outermost closed line round it, called by where it lies. Loose
 * lines one after the other, such as cuts in the waste, go together.
 * @param shapes what each line comes to on the film, mm
 */
export function ownersOf(shapes: readonly Path[], names: LineNames | undefined): readonly Owner[] {
  const told = names?.flatMap(({ name, piece, operation, lines }) => {
    const isPiece = piece !== undefined
    const owner = { name: piece ?? name, isPiece, isOutline: isPiece && isOutline({ name }), operation }
    return Array.from({ length: lines }, (): Owner => owner)
  })
  if (told?.length === shapes.length) return told
  const outermost = outermostOf(shapes)
  let loose: string | undefined
  return shapes.map((shape, i): Owner => {
    const outer = outermost(i)
    const isLoose = outer === i && !shape.closed
    loose = isLoose ? (loose ?? `loose lines at ${cornerOf(shape)}`) : undefined
    return {
      name: loose ?? `outline at ${cornerOf(shapes[outer] ?? shape)}`,
      isPiece: !isLoose,
      isOutline: outer === i && !isLoose,
    }
  })
}

/** Finds the closed line, by number, that is round a line and in no other; the line itself where none is. */
function outermostOf(shapes: readonly Path[]): (line: number) => number {
  const round = enclosing(shapes)
  const known = new Map<number, number>()
  return (line) => {
    const chain = [line]
    let outer = line
    for (let next = round[line]?.[0]; next !== undefined; next = round[outer]?.[0]) {
      outer = known.get(next) ?? next
      chain.push(outer)
    }
    for (const each of chain) known.set(each, outer)
    return outer
  }
}

/** The lower left corner of the box round a line, to a tenth of a mm. */
function cornerOf(shape: Path): string {
  const { x, y } = boundsOf([shape]).low
  return [x, y].map((mm) => Math.round(mm * 10) / 10 + 0).join(', ')
}

/** The parts that lines make up, in the order in which they are begun. */
export function partsOf(
  lines: readonly (Travel & { readonly pen: number; readonly closed: boolean; readonly part: number })[],
  owners: readonly Owner[],
  machine: Machine | undefined,
): Part[] {
  const groups: number[][] = []
  for (const [i, { part }] of lines.entries()) {
    const group = groups[part] ?? []
    group.push(i)
    groups[part] = group
  }
  return groups.map((own): Part => {
    const [first = 0] = own
    const { name = '', isPiece = false, operation } = owners[first] ?? {}
    const pen = lines[first]?.pen ?? 0
    const doing = operations.filter((each) => machine?.tools[each]?.number === pen)
    const all = own.flatMap((i) => lines[i] ?? [])
    return {
      name,
      isPiece,
      hasOutline: own.some((i) => owners[i]?.isOutline),
      operation: operation ?? (doing.length === 1 ? doing[0] : undefined),
      pen,
      lines: own,
      closed: all.filter(({ closed }) => closed).length,
      ...travelSum(all),
    }
  })
}
