/** Where in the job file something was found; both count from 1. */
export interface Place {
  readonly line: number
  readonly column: number
}

/** One thing that is wrong, as data. Text is made from it last, by `formatProblem`. */
export interface Problem {
  /** stable word for programs, such as `too_small` */
  readonly code: string
  /** the field a person typed, such as `objects[0].girth` */
  readonly field: string
  /** what was read, with its unit */
  readonly value: string
  /** what is allowed, as a clause: `the least is 10 mm` */
  readonly limit: string
  /** what to do, as a sentence: `Enter 10 mm or more.` */
  readonly cure: string
  readonly place?: Place
}

/** A way through tables and lists as a field is written: `objects[0].openings[1].width`; empty for the whole. */
export const fieldAt = (path: readonly PropertyKey[]): string =>
  path
    .map((key) => (typeof key === 'number' ? `[${key}]` : `.${String(key)}`))
    .join('')
    .replace(/^\./, '')

/** One sentence or two: what, value, limit, unit, cure; the place first where it is known. */
export function formatProblem(problem: Problem): string {
  const place = problem.place ? `line ${problem.place.line}, column ${problem.place.column}: ` : ''
  return `${place}${problem.field} is ${problem.value}; ${problem.limit}. ${problem.cure}`
}

/** Thrown where there is nothing to go on with; carries every problem found. */
export class Refusal extends Error {
  readonly problems: readonly Problem[]
  constructor(problems: readonly Problem[]) {
    super(problems.map(formatProblem).join('\n'))
    this.name = 'Refusal'
    this.problems = problems
  }
}
