import { type Problem, Refusal } from '../measure/problem.ts'
import type { Warning } from '../measure/warning.ts'
import { unknownLetters } from '../panel/lettering.ts'
import { makePanel } from '../panel/make-panel.ts'
import type { Panel } from '../panel/panel.ts'
import type { Facts, Say, Template } from '../panel/template.ts'
import { fileName, valuesOf } from './read-job.ts'
import type { Job, JobObject } from './schema.ts'

/** Common practice, no source: each measured dimension comes out 2 mm longer, and is trimmed in place. */
const standardAllowance = 1
const standardStrip = 30

/** An object of the job with its panels, in the order in which they go on. */
export interface Built {
  readonly object: JobObject
  readonly template: Template
  readonly panels: readonly BuiltPanel[]
}

export interface BuiltPanel {
  readonly panel: Panel
  /** pieces to cut, over all copies of the object */
  readonly copies: number
}

/** Works out every panel of a job, or tells everything that stands in the way. */
export function buildPanels(
  job: Job,
  templates: readonly Template[],
  files: ReadonlyMap<string, Uint8Array>,
  hasPen: boolean,
  say: Say,
): {
  readonly objects: readonly Built[]
  readonly problems: readonly Problem[]
  readonly warnings: readonly Warning[]
} {
  const { stretch } = job.film
  const facts: Facts = {
    filmThickness: job.film.thickness,
    tapeThickness: job.tape.thickness,
    ...(stretch === undefined ? {} : { filmStretch: stretch / 100 }),
    files,
  }
  const objects: Built[] = []
  const problems: Problem[] = []
  const warnings: Warning[] = []
  for (const [i, object] of job.objects.entries()) {
    const template = templates.find((t) => t.id === object.shape)
    if (!template) throw new RangeError(`no shape ${object.shape}`)
    const built = buildObject(job, object, template, facts, hasPen, say)
    if ('problems' in built) {
      problems.push(...built.problems)
      continue
    }
    objects.push(built)
    warnings.push(...doubtsOf(built, i, facts, say))
  }
  return { objects, problems: [...problems, ...sameFiles(objects)], warnings }
}

function buildObject(
  job: Job,
  object: JobObject,
  template: Template,
  facts: Facts,
  hasPen: boolean,
  say: Say,
): Built | { readonly problems: readonly Problem[] } {
  const handling = { ...job.defaults, ...definedOf(object) }
  const options = {
    name: object.name,
    allowances: allowancesOf(handling.allowance),
    ticks: { wanted: handling.ticks ?? 'auto', hasPen, cut: job.cut },
    ticksAt: handling.ticksAt ?? [],
    hinge: handling.hinge ?? 'upright',
    slit: { lines: handling.slit ?? 'one', strip: handling.strip ?? standardStrip },
    partWrap: 'gap' in template.specs,
  } as const
  try {
    const made = template.develop(valuesOf(object), facts, say).map((development) => ({
      copies: object.copies * (development.copies ?? 1),
      result: makePanel(development, options, say),
    }))
    const problems = made.flatMap(({ result }) => result.problems)
    if (problems.length > 0) return { problems: withoutRepeats(problems) }
    const panels = made.flatMap(({ copies, result }) => ('panel' in result ? [{ panel: result.panel, copies }] : []))
    return { object, template, panels }
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    return { problems: error.problems.map((p) => ({ ...p, field: `${object.name}: ${p.field}` })) }
  }
}

/** What of an object a person shall look at again: as its shape tells, and film that cannot give what it must. */
function doubtsOf({ object, template, panels }: Built, index: number, facts: Facts, say: Say): Warning[] {
  const at = (field: string) => `objects[${index}].${field}`
  const own = template.doubts?.(valuesOf(object), facts, say) ?? []
  return [
    ...own.map(({ text, field, ...rest }) => ({
      ...rest,
      text: `${object.name}: ${text}`,
      field: at(field ?? 'name'),
    })),
    ...puckerWarnings(panels, facts.filmStretch).map((text) => ({ text, field: 'film.stretch' })),
  ]
}

/** Panels that will not lie, by what the film is told to take; each alike is told once. */
function puckerWarnings(panels: readonly BuiltPanel[], filmStretch: number | undefined): string[] {
  if (filmStretch === undefined) return []
  return panels.flatMap(({ panel: { name, strain } }) => {
    const worst = strain ? Math.max(strain.stretch, -strain.shrink) : 0
    if (worst <= filmStretch) return []
    return [
      `${name}: to lie, the film must give ${percent(worst)}, and it takes only ${percent(filmStretch)}, so it will pucker or lift. Its notes on the job sheet say what stays inside that.`,
    ]
  })
}

const percent = (share: number) => `${Number((share * 100).toPrecision(3))} %`

/** The handling fields an object sets itself. */
function definedOf({ allowance, ticks, ticksAt, hinge, slit, strip }: JobObject): Partial<Job['defaults']> {
  const own = { allowance, ticks, ticksAt, hinge, slit, strip }
  return Object.fromEntries(Object.entries(own).filter(([, value]) => value !== undefined))
}

function allowancesOf(given: Job['defaults']['allowance']): Readonly<Record<string, number>> {
  if (typeof given !== 'object') return { other: given ?? standardAllowance }
  const named = Object.entries(given).filter((entry): entry is [string, number] => entry[1] !== undefined)
  return { other: standardAllowance, ...Object.fromEntries(named) }
}

/** The panels of one object often share a fault, such as an inset that is too big for all of them. */
function withoutRepeats(problems: readonly Problem[]): Problem[] {
  const seen = new Set<string>()
  return problems.filter((problem) => {
    const key = JSON.stringify(problem)
    return !seen.has(key) && seen.add(key)
  })
}

/** Two objects whose panels would get one file name, such as `pail band 1` and the first band of `pail`. */
function sameFiles(objects: readonly Built[]): Problem[] {
  const owners = new Map<string, string>()
  return objects.flatMap(({ object, panels }) =>
    panels.flatMap(({ panel }): Problem[] => {
      const name = fileName(panel.name)
      const owner = owners.get(name)
      owners.set(name, object.name)
      if (owner === undefined) return []
      return [
        {
          code: 'same_name',
          field: object.name,
          value: `with a panel called ${panel.name}`,
          limit: `${owner} has one of that name, and each panel gets files of its own`,
          cure: 'Use another name for one of the objects.',
        },
      ]
    }),
  )
}

/** What the pen cannot write of the panels' labels. */
export function letterWarnings(objects: readonly Built[]): Warning[] {
  return objects.flatMap(({ panels }, i) =>
    panels.flatMap(({ panel }) => {
      const unknown = unknownLetters(panel.labels.map((label) => label.text).join(' '))
      if (unknown.length === 0) return []
      const list = unknown.join(' ')
      const text = `The label of ${panel.name} has characters the pen cannot write: ${list}. Each is drawn as an empty box.`
      return [{ text, field: `objects[${i}].name` }]
    }),
  )
}
