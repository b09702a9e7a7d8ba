import { hasBare } from './bare.ts'
import { mmIn, readLength, type Unit } from './length.ts'
import { fieldAt } from './problem.ts'
import type { Warning } from './warning.ts'

type Path = readonly (string | number)[]

/** A length that people think of in mm whatever the unit of their file. */
export interface ThinThing {
  readonly path: Path
  /** as large as this, mm, it is hardly meant */
  readonly least: number
  /** what it is called at the head of the sentence; its path if left out */
  readonly called?: string
}

/** Doubts bare numbers in cm, m, in or ft for what is thought of in mm, such as an allowance of -1 in a job in cm. */
export function thinDoubts(raw: unknown, unit: Unit, things: readonly ThinThing[]): Warning[] {
  if (unit === 'mm') return []
  return things.flatMap(({ path, least, called }) => {
    const value = path.reduce<unknown>(
      (inside, key) => (inside as Readonly<Record<string, unknown>> | null | undefined)?.[key],
      raw,
    )
    return bareLengths(value, [], unit)
      .filter(({ mm }) => Math.abs(mm) >= least - slack && Math.abs(mm) / mmIn[unit] >= leastInMm(least))
      .map(({ inside, text, mm }) => {
        const at = fieldAt([...path, ...inside])
        const name = called === undefined ? at : `${called}${inside.map((key) => `.${String(key)}`).join('')}`
        const inMm = Number(mm.toFixed(3))
        return {
          text: `${name}: ${text} is read as ${text} ${unit}, which is ${inMm} mm. Write ${text} mm if that is meant, else ${text} ${unit}.`,
          field: at,
        }
      })
  })
}

/** The least number that such a thing would have in mm: nobody gives an allowance of half a millimetre. */
const leastInMm = (least: number): number => least / 10 - slack

/** Tenths are not exact in binary. */
const slack = 1e-9

interface BareLength {
  readonly inside: readonly PropertyKey[]
  readonly text: string
  readonly mm: number
}

/** Bare numbers of a length, of readings of it, or of a table of lengths. */
function bareLengths(value: unknown, inside: readonly PropertyKey[], unit: Unit): BareLength[] {
  if (typeof value === 'object' && value !== null) {
    const isList = Array.isArray(value)
    const found = Object.entries(value).flatMap(([key, inner]) =>
      bareLengths(inner, isList ? inside : [...inside, key], unit),
    )
    return isList ? found.slice(0, 1) : found
  }
  if ((typeof value !== 'number' && typeof value !== 'string') || !hasBare(value)) return []
  const read = readLength(value, unit, '')
  return 'mm' in read ? [{ inside, text: String(value).trim(), mm: read.mm }] : []
}
