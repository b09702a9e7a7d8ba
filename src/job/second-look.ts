import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { readLength, type Unit } from '../measure/length.ts'
import type { AnyValues, Say, Specs } from '../panel/template.ts'
import type { BuiltPanel } from './panels.ts'
import type { ObjectPreview, PlainJob } from './preview-data.ts'

/** What lets a person see a slip of the tape: a unit that was meant otherwise, a diameter typed as a girth. */

/** A panel longer than this is doubted, mm: hardly any object is taken by a tape in one piece that long. */
const doubtful = 3000
/** What people mean who typed bare numbers with another unit set. */
const meant: Readonly<Record<Unit, readonly Unit[]>> = {
  mm: [],
  cm: ['mm'],
  in: ['mm'],
  ft: ['in'],
  m: ['cm', 'mm'],
}

/** mm in one of a unit */
function mmIn(unit: Unit): number {
  const read = readLength(1, unit, '')
  return 'mm' in read ? read.mm : Number.NaN
}

/**
 * Doubts bare numbers where a panel is absurdly large.
 * @param object as it stands in the job
 */
export function unitDoubt(
  object: PlainJob,
  specs: Specs,
  unit: Unit,
  panels: readonly BuiltPanel[],
  say: Say,
): ObjectPreview['unitDoubt'] {
  const long = Math.max(0, ...panels.map(({ panel }) => longSide(panel.outline)))
  const isTaped = ([name, spec]: [string, Specs[string]]) =>
    ['length', 'corners', 'list'].includes(spec.kind) && hasBare(object[name])
  if (long <= doubtful || !Object.entries(specs).some(isTaped)) return undefined
  const words = `a panel ${say(long)} long. Bare numbers are read as ${unit}.`
  const other = meant[unit].find((each) => (long * mmIn(each)) / mmIn(unit) <= doubtful)
  return other ? { words, unit: other } : { words }
}

function longSide(outline: BuiltPanel['panel']['outline']): number {
  const box = boundsOf([outline])
  return Math.max(boxWidth(box), boxHeight(box))
}

/** Is there a number without a unit in it, at any depth? */
function hasBare(value: unknown): boolean {
  if (typeof value === 'number') return true
  if (typeof value === 'string') return /^[\d\s.,/+-]*\d[\d\s.,/+-]*$/.test(value)
  return typeof value === 'object' && value !== null && Object.values(value).some(hasBare)
}

/** What a girth comes to across, for shapes that take a diameter in its place. */
export function asides(values: AnyValues, specs: Specs, say: Say): Readonly<Record<string, string>> {
  const found = Object.keys(specs).flatMap((name): [string, string][] => {
    const twin = name.replace(/girth$/i, (word) => (word.startsWith('g') ? 'diameter' : 'Diameter'))
    const girth = values[name]
    if (twin === name || !(twin in specs) || typeof girth !== 'number') return []
    return [[name, `${say(girth / Math.PI)} across, if it is round`]]
  })
  return Object.fromEntries(found)
}
