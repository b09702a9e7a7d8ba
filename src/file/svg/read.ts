import { type Problem, Refusal } from '../../measure/problem.ts'
import { operations, type Stroke } from '../../stroke/stroke.ts'
import { type Dialect, notKnown, openPage, pathsOf } from './dialect.ts'

export interface CutSvg {
  /** mm */
  readonly width: number
  /** mm */
  readonly height: number
  readonly strokes: readonly Stroke[]
}

const dialect: Dialect = {
  called: 'cut file',
  elements: {
    svg: { attributes: ['xmlns', 'width', 'height', 'viewBox'], holds: ['g'] },
    g: {
      attributes: ['id', 'data-operation', 'fill', 'stroke', 'stroke-width', 'stroke-dasharray'],
      holds: ['path', 'title'],
    },
    path: { attributes: ['d', 'data-name'], holds: [] },
    title: { attributes: [], holds: 'words' },
  },
}

/**
 * Reads back what `writeCutSvg` writes. Whatever else SVG has would change what is cut (a transform, a style, a use),
 * so it is refused by name and place, all of it at once.
 */
export function readCutSvg(text: string): CutSvg {
  const { width, height, groups, problems: strange } = openPage(text, dialect)
  const problems: Problem[] = [...strange]
  const strokes: Stroke[] = []
  for (const group of groups) {
    const word = group.getAttribute('data-operation')
    const operation = operations.find((each) => each === word)
    if (operation === undefined) {
      const value = `data-operation ${JSON.stringify(word ?? '')}`
      problems.push(notKnown(dialect, group, value, `it is one of ${operations.join(', ')}`))
      continue
    }
    for (const read of pathsOf(group, height)) {
      if ('problems' in read) problems.push(...read.problems)
      else strokes.push({ operation, ...read })
    }
  }
  if (problems.length > 0) throw new Refusal(problems)
  return { width, height, strokes }
}
