import type { Problem } from '../measure/problem.ts'
import { utf8Text } from '../measure/utf8-text.ts'
import type { Warning } from '../measure/warning.ts'
import type { Stock } from '../sheet/stock.ts'
import { isSameFilm } from './film-name.ts'
import { namedBytes, type ReadFile } from './named-files.ts'
import { readShelf } from './read-shelf.ts'
import type { Job } from './schema.ts'
import { oneStock, sameStockNames, stockOf, type TakenBy } from './stocks.ts'

/** A file of a few thousand lines at the most, bytes. */
const mostBytes = 2_000_000

/** Film that pieces may be laid on. */
interface Stocks {
  readonly stocks: readonly Stock[]
  /** those of them that do not say which film they are, on a shelf where others do */
  readonly unnamed?: readonly Stock[]
  readonly warnings?: readonly Warning[]
}

type Found = Stocks | { readonly problems: readonly Problem[] }

/** The text of a file that the job names, or why there is none. */
export async function namedText(
  field: string,
  name: string,
  readFile: ReadFile | undefined,
): Promise<{ readonly text: string } | { readonly problem: Problem }> {
  const read = await namedBytes(field, name, readFile, mostBytes)
  if ('problem' in read) return read
  const decoded = utf8Text(read.bytes)
  if ('text' in decoded) return decoded
  const value = `${name}, which is not UTF-8 text (line ${decoded.line})`
  const limit = 'other encodings would be read with wrong letters'
  return { problem: { code: 'not_utf8', field, value, limit, cure: 'Save it as UTF-8 in your editor.' } }
}

/** The film that a job may be cut from: what it tells of, and what of its film, which has its name, stands on its shelf. */
export async function jobStocks(job: Job, machine: TakenBy, readFile: ReadFile | undefined): Promise<Found> {
  const { stock, shelf, film } = job
  if (stock === undefined && shelf === undefined)
    return one(oneStock({ margin: 10, badSpots: [], face: 'plain' }, machine))
  const own = Array.isArray(stock)
    ? several(stock.map((each, i) => stockOf(each, `stock[${i}]`, false)))
    : stock
      ? one(oneStock(stock, machine))
      : { stocks: [] }
  if ('problems' in own) return own
  const same = Array.isArray(stock) ? sameStockNames(stock, 'stock') : []
  if (same.length > 0) return { problems: same }
  if (shelf === undefined) return own
  const file = await namedText('shelf', shelf, readFile)
  if ('problem' in file) return { problems: [file.problem] }
  const read = readShelf(file.text)
  if ('problems' in read) {
    return {
      problems: read.problems.map(({ place, ...p }) => ({ ...p, field: `${shelf}${lineOf(place)}: ${p.field}` })),
    }
  }
  const all = read.shelf.stocks
  const fitting = all.filter(({ written }) => written.film === undefined || isSameFilm(written.film, film.name))
  const stocks = [...own.stocks, ...fitting.map(({ stock: each }) => each)]
  const unnamed = fitting.filter(({ written }) => written.film === undefined).map(({ stock: each }) => each)
  const twice = twoOfOneName(job, own.stocks, fitting, shelf)
  if (twice.length > 0) return { problems: twice }
  const warnings = read.shelf.warnings.map(({ text }): Warning => ({ text: `${shelf}, ${text}`, field: 'shelf' }))
  if (stocks.length > 0) return { stocks, unnamed: unnamed.length < all.length ? unnamed : [], warnings }
  const films = [...new Set(all.flatMap(({ written }) => written.film ?? []))]
  const limit = films.length > 0 ? `${shelf} has ${films.join(', ')}` : `${shelf} is empty`
  const value = `"${film.name}"`
  return {
    problems: [{ code: 'no_such_film', field: 'film.name', value, limit, cure: 'Name one of them, or add film.' }],
  }
}

/** Film of the job itself that has the name of some on the shelf: pins, layouts and booking go by the name. */
function twoOfOneName(
  { stock }: Job,
  own: readonly Stock[],
  shelved: readonly { readonly stock: Stock }[],
  shelf: string,
): Problem[] {
  const names = new Set(shelved.map((each) => each.stock.name.toLowerCase()))
  return own.flatMap(({ name }, i): Problem[] => {
    if (!names.has(name.toLowerCase())) return []
    const field = Array.isArray(stock) ? `stock[${i}].name` : 'stock.name'
    const limit = `${shelf} has film of that name, and film is taken by its name`
    return [{ code: 'same_name', field, value: `"${name}"`, limit, cure: 'Give it another name.' }]
  })
}

/** Where in a file that the job names a problem is. */
export const lineOf = (place: Problem['place']) => (place ? ` line ${place.line}` : '')

type Made = ReturnType<typeof stockOf>

const one = (made: Made): Found => ('problems' in made ? made : { stocks: [made.stock] })

function several(made: readonly Made[]): Found {
  const problems = made.flatMap((each) => ('problems' in each ? each.problems : []))
  return problems.length > 0 ? { problems } : { stocks: made.flatMap((each) => ('stock' in each ? [each.stock] : [])) }
}

/** mm between pieces: as the layout says, else as the one stock does. */
export const gapOf = ({ layout, stock }: Job): number =>
  layout.gap ?? (stock && !Array.isArray(stock) ? stock.gap : undefined) ?? 12
