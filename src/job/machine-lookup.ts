import type { Machine } from '../machine/profile.ts'
import { readProfile } from '../machine/read-profile.ts'
import { shipped } from '../machine/shipped.ts'
import { nearestWord } from '../measure/nearest.ts'
import type { Problem } from '../measure/problem.ts'
import type { Warning } from '../measure/warning.ts'
import type { MachineFrom } from './machine-words.ts'

/** A profile of somebody's own, as it was found, or why it could not be read. */
export interface OwnProfile {
  readonly name: string
  readonly from: MachineFrom
  readonly text?: string
  /** a sentence; where it is given there is no text */
  readonly unreadable?: string
}

/** A machine that was found by its name. */
export interface FoundMachine {
  readonly machine: Machine
  /** what it is called where it is named; nothing where the job itself tells about it */
  readonly name?: string
  readonly from: MachineFrom
  /** where another profile of that name is, which this one stands before */
  readonly before?: MachineFrom
  /** what of its profile a person shall look at again */
  readonly doubts?: readonly Warning[]
  /** is it taken because none is named? */
  readonly isStandard?: true
}

/** Every profile that a name may mean, those that come first before the others; the shipped ones come last. */
export const withShipped = (own: readonly OwnProfile[]): readonly OwnProfile[] => [
  ...own,
  ...shipped.map(({ name, text }): OwnProfile => ({ name, text, from: { where: 'shipped' } })),
]

/**
 * The one rule by which a machine is found by its name, on the command line and on the page: the first profile of that
 * name among one's own, else the shipped one. A first one that cannot be used is a problem, never passed over.
 */
export function machineLookup(own: readonly OwnProfile[]): (name: string) => FoundMachine | Problem {
  const all = withShipped(own)
  const known = new Map<string, FoundMachine | Problem>()
  return (name) => {
    const found = known.get(name) ?? lookUp(name, all)
    known.set(name, found)
    return found
  }
}

function lookUp(name: string, all: readonly OwnProfile[]): FoundMachine | Problem {
  const [first, next] = all.filter((profile) => profile.name === name)
  if (!first) return unknownMachine(name, all)
  const { from, text, unreadable } = first
  if (text === undefined) {
    const limit = (unreadable ?? '').replace(/\.$/, '')
    return { code: 'machine_unreadable', field: 'machine', value: `"${name}"`, limit, cure: 'Or name another machine.' }
  }
  const { machine, problems, warnings: doubts } = readProfile(text)
  if (machine) return { machine, name, from, doubts, ...(next ? { before: next.from } : {}) }
  const [worst] = problems
  if (!worst) throw new Error(`${name}: neither a machine nor a problem`)
  const { place: _, ...rest } = worst
  const where = from.where === 'beside' ? " in the job's folder" : ''
  const check = from.file === undefined ? '' : ` midtick machines check ${from.file}${where} shows everything.`
  return { ...rest, field: `machine ${name}: ${rest.field}`, cure: `${rest.cure}${check}` }
}

function unknownMachine(name: string, all: readonly OwnProfile[]): Problem {
  const names = [...new Set(all.map((profile) => profile.name))]
  const near = nearestWord(name, names)
  return {
    code: 'unknown_machine',
    field: 'machine',
    value: `"${name}"`,
    limit: `the machines there are: ${names.join(', ')}`,
    cure: near
      ? `Did you mean ${near}?`
      : 'Put its profile into a folder called machines beside the job; a page of midtick open reads it there too.',
  }
}
