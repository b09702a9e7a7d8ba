import type { Problem } from '../measure/problem.ts'
import type { Warning } from '../measure/warning.ts'
import type { Job } from './schema.ts'

/** What the film of a job is called that does not say. */
export const standardFilm = 'self-adhesive film'

/** Do two names mean one film? Case and blanks do not count. */
export const isSameFilm = (a: string, b: string): boolean => plain(a) === plain(b)

const plain = (name: string) => name.normalize('NFKC').trim().replace(/\s+/g, ' ').toLowerCase()

/** What is told of film that does not say which it is, where other film does. */
export const unnamedWords = (called: string, film: string): string =>
  `${called} does not say which film it is, and is taken for ${film}. Look at it before you cut, and add film to it.`

/** The film that a job is cut from, and stocks that are taken for it though nothing says so. */
interface NamedFilm {
  readonly name: string
  readonly warnings: readonly Warning[]
}

/** The film that a job is cut from: as the job names it, else as its stock does; or each stock that is of another film. */
export function filmOf({
  film,
  stock,
}: Pick<Job, 'film' | 'stock'>): NamedFilm | { readonly problems: readonly Problem[] } {
  const all = Array.isArray(stock)
    ? stock.map((each, i) => ({ field: `stock[${i}]`, name: each.film }))
    : [{ field: 'stock', name: stock?.film }]
  const named = all.flatMap(({ field, name }) => (name === undefined ? [] : [{ field, name }]))
  const [first] = named
  const isNamed = plain(film.name) !== '' && !isSameFilm(film.name, standardFilm)
  if (first === undefined) return { name: isNamed ? film.name : standardFilm, warnings: [] }
  const wanted = isNamed ? film.name : first.name
  const problems = named
    .filter(({ name }) => !isSameFilm(name, wanted))
    .map(({ field, name }) => ({
      code: 'other_film',
      field: `${field}.film`,
      value: `"${name}"`,
      limit: isNamed
        ? `film.name says that this job is cut from "${wanted}"`
        : `${first.field}.film is "${wanted}", and a job is cut from one film`,
      cure: isNamed
        ? 'Write the same name in both places, or give film of that name.'
        : 'Name the film to cut in film.name, and take the other one out.',
    }))
  if (problems.length > 0) return { problems }
  // Where the job names its film, a stock that names none is of that.
  const guessed = isNamed || !Array.isArray(stock) ? [] : stock.map((own, i) => ({ ...own, field: `stock[${i}].film` }))
  const warnings = guessed
    .filter((own) => own.film === undefined)
    .map(({ name, field }) => ({ text: unnamedWords(name, wanted), field }))
  return { name: wanted, warnings }
}
