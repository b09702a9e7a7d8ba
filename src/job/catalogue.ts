import { shapes } from '../../templates/index.ts'
import { writeDrawing } from '../file/svg/draw.ts'
import type { AngleSpec, LengthSpec, ListSpec, NumberSpec, Spec, Template } from '../panel/template.ts'
import { shapesPage } from '../picture/shapes-page.ts'
import { meantShapes } from './other-shapes.ts'

/** Every shape that comes with the tool, in the order a person is shown them. */
export const shapeIds: readonly string[] = Object.keys(shapes)

/** The shapes of these names, all of them if none are named. */
export function loadShapes(ids: readonly string[] = shapeIds): Promise<Template[]> {
  return Promise.all(
    ids.map((id) => {
      const load = shapes[id]
      if (!load) throw new RangeError(`no shape ${id}`)
      return load()
    }),
  )
}

/** The shapes whose names stand anywhere in a job's text: all that it can need, seldom more, and never none. */
export function shapesNamedIn(text: string): Promise<Template[]> {
  const named = shapeIds.filter((id) => text.includes(id))
  return loadShapes(named.length > 0 ? named : shapeIds.slice(0, 1))
}

/** What a person reads about one shape: when to pick it, what to measure, and an example. */
export function teach(template: Template): string {
  const rows = Object.entries(template.specs).map(([name, spec]) => `  ${name.padEnd(16)}${needOf(spec)}${spec.help}`)
  const inside = Object.entries(template.specs).flatMap(([name, spec]) =>
    spec.kind === 'list'
      ? [`  each of ${name}:`, ...Object.entries(spec.item).map(([k, s]) => `    ${k.padEnd(14)}${needOf(s)}${s.help}`)]
      : [],
  )
  return [
    `${template.title} (${template.id})`,
    template.when,
    '',
    'Measures:',
    ...rows,
    ...inside,
    '',
    'Example:',
    ...exampleObject(template),
    `  ${template.example.shows}`,
    '',
  ].join('\n')
}

/** The worked example as an object of a job file. */
function exampleObject({ title, id, example }: Template): string[] {
  const measures = Object.entries(example.measures).map(([name, value]) => `    ${name}: ${inYaml(value)}`)
  return [`  - name: ${title.toLowerCase()}`, `    shape: ${id}`, ...measures]
}

/** The worked example as a whole job. */
export function exampleJob(template: Template): string {
  return ['version: 1', `title: ${template.title}`, 'objects:', ...exampleObject(template), ''].join('\n')
}

/** A value as it stands in a job file, on one line. */
function inYaml(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(inYaml).join(', ')}]`
  if (typeof value === 'object' && value !== null) {
    return `{ ${Object.entries(value)
      .map(([k, v]) => `${k}: ${inYaml(v)}`)
      .join(', ')} }`
  }
  return String(value)
}

function needOf(spec: Spec): string {
  const letter = 'letter' in spec && spec.letter ? `${spec.letter}: ` : ''
  return `${letter}${boundsText(spec)}`
}

/** What a field takes, in brackets. */
function boundsText(spec: Spec): string {
  switch (spec.kind) {
    case 'length':
      return `[${spec.min}..${spec.max} mm${absent(spec, 'mm')}] `
    case 'angle':
      return `[${spec.min}..${spec.max} degrees${absent(spec, 'degrees')}] `
    case 'number':
      return `[${spec.whole ? 'whole, ' : ''}${spec.min}..${spec.max}${absent(spec, '')}] `
    case 'choice':
      return `[${spec.options.join(' | ')}, ${spec.standard} if left out] `
    case 'list':
      return listText(spec)
    default:
      return ''
  }
}

const listText = ({ fewest }: ListSpec) => (fewest === undefined ? '[a list] ' : `[a list of ${fewest} or more] `)

/** What happens where a field is left out. */
function absent({ standard, optional }: LengthSpec | AngleSpec | NumberSpec, unit: string): string {
  if (standard !== undefined) return `, ${standard}${unit ? ` ${unit}` : ''} if left out`
  return optional ? ', optional' : ''
}

const inMm = (mm: number) => `${mm} mm`

/** The where-to-measure diagram as SVG. */
export function diagram(template: Template): string {
  return writeDrawing(template.sketch(undefined, inMm))
}

/** All shapes on one page, as SVG. */
export function catalogueDrawing(templates: readonly Template[]): string {
  const entries = templates.map((t) => ({
    title: t.title,
    name: t.id,
    when: t.when,
    picture: t.sketch(undefined, inMm),
  }))
  return writeDrawing(shapesPage(entries))
}

/** The shape of that name among these, or the name nearest to it. */
export function findShape(
  id: string,
  templates: readonly Template[],
): Template | { readonly near: string | undefined } {
  return (
    templates.find((t) => t.id === id) ?? {
      near:
        meantShapes(
          id,
          templates.map((t) => t.id),
        ).join(' or ') || undefined,
    }
  )
}
