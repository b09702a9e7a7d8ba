import type { Path } from '../../geometry/path.ts'
import { type Problem, Refusal } from '../../measure/problem.ts'
import type { LineStyle } from '../../picture/picture.ts'
import { looks } from '../../picture/styles.ts'
import type { Operation } from '../../stroke/stroke.ts'
import { type Dialect, notKnown, openPage, pathsOf } from './dialect.ts'

/** What a drawing for people shows of cutting, mm, y up. */
export interface Drawing {
  /** mm */
  readonly width: number
  /** mm */
  readonly height: number
  /** what is drawn: a panel's name, or a sheet with its number */
  readonly title: string
  /** A sheet has the film's edge about it and is drawn where it lies; a panel stands somewhere on its own page. */
  readonly shows: 'panel' | 'sheet'
  /** Every line that a tool does, in the order in which they are drawn. A panel's outline is drawn as a kiss cut. */
  readonly lines: readonly { readonly operation: Operation; readonly path: Path }[]
}

const dialect: Dialect = {
  called: 'drawing',
  elements: {
    svg: { attributes: ['xmlns', 'width', 'height', 'viewBox'], holds: ['title', 'rect', 'g'] },
    rect: { attributes: ['width', 'height', 'fill'], holds: [] },
    g: {
      attributes: [
        'data-style',
        'fill',
        'stroke',
        'stroke-width',
        'stroke-linejoin',
        'stroke-dasharray',
        'font-family',
        'paint-order',
      ],
      holds: ['title', 'path', 'text'],
    },
    path: { attributes: ['d', 'fill'], holds: [] },
    text: { attributes: ['transform', 'font-size', 'stroke-width', 'text-anchor', 'font-weight'], holds: 'words' },
    title: { attributes: [], holds: 'words' },
  },
}

/** What the lines of a style are done by; the others are not done at all. */
const operationOf: Readonly<Partial<Record<string, Operation>>> = {
  outline: 'kiss',
  hole: 'kiss',
  through: 'through',
  tick: 'pen',
  label: 'pen',
  slit: 'slit',
} satisfies Partial<Record<LineStyle, Operation>>
const styles = [...Object.keys(looks), 'areas', 'words']

/** Is this a drawing for people and no cut file? Its groups tell: they have a style of line, not an operation. */
export const isDrawing = (text: string): boolean => /<g\b[^>]*\sdata-style\s*=/.test(text)

/** Reads the lines back from what `writeDrawing` writes; anything else is refused as in a cut file. */
export function readDrawing(text: string): Drawing {
  const { width, height, title, groups, problems: strange } = openPage(text, dialect)
  const problems: Problem[] = [...strange]
  const lines: { operation: Operation; path: Path }[] = []
  const seen = new Set<string>()
  for (const group of groups) {
    const style = group.getAttribute('data-style') ?? ''
    seen.add(style)
    if (!styles.includes(style)) {
      problems.push(
        notKnown(dialect, group, `data-style ${JSON.stringify(style)}`, `it is one of ${styles.join(', ')}`),
      )
    }
    const operation = operationOf[style]
    if (operation === undefined) continue
    for (const read of pathsOf(group, height)) {
      if ('problems' in read) problems.push(...read.problems)
      else lines.push({ operation, path: read.path })
    }
  }
  if (problems.length > 0) throw new Refusal(problems)
  return { width, height, title, shows: seen.has('stock') ? 'sheet' : 'panel', lines }
}
