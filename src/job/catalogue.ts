import { templates } from '../../templates/index.ts'
import { writeDrawing } from '../file/svg/draw.ts'
import { nearestWord } from '../measure/nearest.ts'
import type { LengthSpec, Spec, Template } from '../panel/template.ts'

export { templates }

/** What a person reads about one shape: when to pick it, what to measure, and an example. */
export function teach(template: Template): string {
  const rows = Object.entries(template.specs).map(([name, spec]) => `  ${name.padEnd(16)}${needOf(spec)}${spec.help}`)
  const inside = Object.entries(template.specs).flatMap(([name, spec]) =>
    spec.kind === 'list'
      ? [`  each of ${name}:`, ...Object.entries(spec.item).map(([k, s]) => `    ${k.padEnd(14)}${needOf(s)}${s.help}`)]
      : [],
  )
  const measures = Object.entries(template.example.measures).map(([k, v]) => `    ${k}: ${v}`)
  return [
    `${template.title} (${template.id})`,
    template.when,
    '',
    'Measures:',
    ...rows,
    ...inside,
    '',
    'Example:',
    `  - name: ${template.title.toLowerCase()}`,
    `    shape: ${template.id}`,
    ...measures,
    `  ${template.example.shows}`,
    '',
  ].join('\n')
}

function needOf(spec: Spec): string {
  const letter = 'letter' in spec && spec.letter ? `${spec.letter}: ` : ''
  const bounds = spec.kind === 'length' ? boundsText(spec) : ''
  return `${letter}${bounds}`
}

const boundsText = ({ optional, standard, min, max }: LengthSpec) =>
  `[${min}..${max} mm${standard === undefined ? (optional ? ', optional' : '') : `, ${standard} if left out`}] `

/** The where-to-measure diagram as SVG. */
export function diagram(template: Template): string {
  return writeDrawing(template.sketch(undefined, (mm) => `${mm} mm`))
}

export function findShape(id: string): Template | { readonly near: string | undefined } {
  const ids = templates.map((t) => t.id)
  return templates.find((t) => t.id === id) ?? { near: nearestWord(id, ids) }
}
