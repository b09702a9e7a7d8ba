import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { thinOfMachine } from '../machine/read-profile.ts'
import { hasBare } from '../measure/bare.ts'
import { mmIn, type Unit } from '../measure/length.ts'
import { type ThinThing, thinDoubts } from '../measure/thin-doubts.ts'
import type { Warning } from '../measure/warning.ts'
import type { Say, Specs, Template } from '../panel/template.ts'
import type { Built } from './panels.ts'
import type { Job } from './schema.ts'

/** What lets a person see that a bare number was meant in another unit than it is read in. */

/** What of a job was written without a unit. */
export interface Bare {
  /** for each object, does it have such a measure? */
  readonly objects: readonly boolean[]
  /** does the job say what unit they are in? */
  readonly isUnitNamed: boolean
}

type Table = Readonly<Record<string, unknown>>
const tableOf = (value: unknown): Table => (typeof value === 'object' && value !== null ? (value as Table) : {})

/** @param raw the job as it was written */
export function bareOf(raw: unknown, templates: readonly Template[]): Bare {
  const { objects, unit } = tableOf(raw)
  const isBare = (object: unknown) => {
    const own = tableOf(object)
    const specs = templates.find(({ id }) => id === own.shape)?.specs ?? {}
    return Object.entries(specs).some(([name, spec]) => isTaped(spec) && hasBare(own[name]))
  }
  return { objects: (Array.isArray(objects) ? objects : []).map(isBare), isUnitNamed: unit !== undefined }
}

const isTaped = ({ kind }: Specs[string]) => kind === 'length' || kind === 'corners' || kind === 'list'

/** A panel longer than this is doubted, mm: hardly any object is taken by a tape in one piece that long. */
const long = 3000
/** What people mean who typed bare numbers with another unit set. */
const meant: Readonly<Record<Unit, readonly Unit[]>> = {
  mm: [],
  cm: ['mm'],
  in: ['mm'],
  ft: ['in'],
  m: ['cm', 'mm'],
}

/** Doubts bare numbers where the longest panel is absurdly large, and would not be in a smaller unit. */
export function largeDoubts({ unit }: Job, objects: readonly Built[], bare: Bare, say: Say): Warning[] {
  const [largest] = byLength(objects, bare)
  const readAs = largest && meant[unit].find((each) => (largest.length * mmIn[each]) / mmIn[unit] <= long)
  if (!largest || largest.length <= long || !readAs) return []
  const text = `${largest.name}: a panel ${say(largest.length)} long. Bare numbers are read as ${unit}. Write unit: ${readAs} if that is meant, else the measures with their unit.`
  return [{ text, field: 'unit', readAs }]
}

/** Where every panel is shorter than this, mm, a job that names no unit was likely measured in a larger one. */
const short = 100

/** Doubts bare numbers of a job that names no unit where all panels are no larger than a label. */
export function smallDoubts(objects: readonly Built[], bare: Bare, say: Say): Warning[] {
  if (bare.isUnitNamed) return []
  const [largest] = byLength(objects, bare)
  const allBare = objects.length > 0 && objects.every((_, i) => bare.objects[i])
  if (!largest || !allBare || largest.length >= short) return []
  const text = `${largest.name}: a panel no more than ${say(largest.length)} long. The job names no unit, so bare numbers are read as mm. Write unit: cm if that is meant, else unit: mm.`
  return [{ text, field: 'unit', readAs: 'cm' }]
}

/** Objects with bare measures and the length of their longest panel, mm, the longest first. */
function byLength(objects: readonly Built[], bare: Bare): { readonly name: string; readonly length: number }[] {
  return objects
    .filter((_, i) => bare.objects[i])
    .map(({ object, panels }) => {
      const sides = panels.flatMap(({ panel }) => {
        const box = boundsOf([panel.outline])
        return [boxWidth(box), boxHeight(box)]
      })
      return { name: object.name, length: Math.max(0, ...sides) }
    })
    .sort((a, b) => b.length - a.length)
}

/**
 * Lengths of a job that people think of in mm whatever its unit (common practice, no source). Those of a machine that
 * the job itself tells about are among them.
 */
const thinThings: readonly ThinThing[] = [
  { path: ['tape', 'thickness'], least: 1 },
  { path: ['film', 'thickness'], least: 0.5 },
  { path: ['film', 'liner', 'thickness'], least: 0.5 },
  ...thinOfMachine.map(({ path, least }) => ({ path: ['machine', ...path], least })),
  { path: ['defaults', 'allowance'], least: 10 },
]
const leastAllowance = 10

/** Doubts bare numbers of a job for what is thought of in mm. */
export function thinJobDoubts(raw: unknown, { objects, unit }: Job): Warning[] {
  const own = objects.map(({ name }, i) => ({
    path: ['objects', i, 'allowance'],
    called: `${name}, allowance`,
    least: leastAllowance,
  }))
  return thinDoubts(raw, unit, [...thinThings, ...own])
}
