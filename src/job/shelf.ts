import { signedArea } from '../geometry/area.ts'
import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { polyline } from '../geometry/path.ts'
import { mmIn, type Unit, units, writeLength } from '../measure/length.ts'
import { type Problem, Refusal } from '../measure/problem.ts'
import type { Say } from '../panel/template.ts'
import { largestRectangle } from '../sheet/largest-rectangle.ts'
import type { Offcut } from '../sheet/left-over.ts'
import { edgeOf } from '../sheet/stock.ts'
import { areaWords } from './area-words.ts'
import type { Material } from './material.ts'
import { readShelf, type Shelf, type Shelved } from './read-shelf.ts'
import { editedShelf, type NewEntry, type ShelfEdit } from './shelf-text.ts'
import { leastSide } from './stock-schema.ts'

export { shelfJsonSchema } from './read-shelf.ts'

/** A shelf with nothing on it. */
export const emptyShelf = '# Film that is there; midtick shelf lists it.\nversion: 1\nunit: mm\nstocks: []\n'

/** What lies on a shelf, a line each, with what a person wants to know of it. */
export function shelfLines({ stocks, unit }: Shelf): string[] {
  const say: Say = (mm) => writeLength(mm, unit)
  const wide = Math.max(0, ...stocks.map(({ stock }) => stock.name.length)) + 2
  return stocks.map(({ stock, written }) => `${stock.name.padEnd(wide)}${factsOf({ stock, written }, unit, say)}`)
}

function factsOf({ stock, written }: Shelved, unit: Unit, say: Say): string {
  const { kind, width, length, outline, count, turn, badSpots } = stock
  const box = outline ? largestRectangle([edgeOf(stock, length)]) : undefined
  const area = outline ? signedArea(polyline(outline, true)) : width * length
  const size =
    kind === 'roll'
      ? `roll ${say(width)} wide, ${say(length)} left`
      : `${count > 1 ? `${count} ${kind}s` : kind} ${say(length)} x ${say(width)}${outline ? ' over all' : ''}`
  const turns = { any: 'any angle', quarter: 'quarter turns', none: 'no turning' }[turn]
  return [
    size,
    areaWords(area * count, unit, 2),
    ...(box ? [`holds ${say(boxWidth(box))} x ${say(boxHeight(box))}`] : []),
    ...(badSpots.length > 0 ? [`${badSpots.length} bad ${badSpots.length === 1 ? 'spot' : 'spots'}`] : []),
    written.film ?? 'film not named',
    ...(written.face === 'plain' ? [] : [written.face]),
    turns,
  ].join('; ')
}

/** The text of a shelf with one more entry. Throws a `Refusal` where that is not a shelf. */
export function withEntry(text: string, entry: NewEntry): string {
  shelfOf(text)
  return changed(text, { set: [], remove: [], add: [entry] })
}

/** The shelf in a text. Throws a `Refusal` where there is none. */
export function shelfOf(text: string): Shelf {
  const read = readShelf(text)
  if ('problems' in read) throw new Refusal(read.problems)
  return read.shelf
}

/** The text with its entries changed, which must be a shelf again. */
function changed(text: string, edit: ShelfEdit): string {
  const made = editedShelf(text, edit)
  shelfOf(made)
  return made
}

/** What booking a job does to a shelf: the new text, and a sentence for each change. */
export interface Booking {
  readonly text: string
  readonly changes: readonly string[]
}

/** mm of a roll that are not kept on the shelf any more */
const leastRoll = 100

/**
 * The shelf once a job is cut: lengths off the rolls, sheets and offcuts gone, what is worth keeping there instead.
 * @param title what the offcuts that are left are named after
 */
export function booked(text: string, title: string, { sheets, stocks }: Material): Booking {
  const shelf = shelfOf(text)
  const say: Say = (mm) => writeLength(mm, shelf.unit)
  const changes: string[] = []
  const gone: number[] = []
  const set: ShelfEdit['set'][number][] = []
  for (const { stock, sheets: count, length } of stocks.filter((use) => use.stock.shelved)) {
    const i = shelf.stocks.findIndex((each) => each.stock.name === stock.name)
    const own = shelf.stocks[i]
    if (!own) throw new Refusal([noLonger(stock.name)])
    if (stock.kind === 'roll') {
      const left = Math.floor(own.stock.length - length)
      if (left < leastRoll) {
        gone.push(i)
        changes.push(`${stock.name}: ${say(length)} taken, used up`)
        continue
      }
      const before = shelf.table.document.getIn(['stocks', i, 'length'])
      set.push({ entry: i, field: 'length', value: likeWritten(before, left, shelf.unit) })
      changes.push(`${stock.name}: ${say(length)} taken, ${say(left)} left`)
    } else if (own.stock.count > count) {
      set.push({ entry: i, field: 'count', value: own.stock.count - count })
      changes.push(`${stock.name}: ${count} taken, ${own.stock.count - count} left`)
    } else {
      gone.push(i)
      changes.push(`${stock.name}: taken`)
    }
  }
  const kept = sheets
    .filter(({ sheet }) => sheet.stock.shelved)
    .flatMap(({ sheet, keep }) => {
      const own = shelf.stocks.find((each) => each.stock.name === sheet.stock.name)
      return own ? keep.map((offcut) => ({ offcut, own })) : []
    })
  const names = new Set(shelf.stocks.flatMap(({ stock }, i) => (gone.includes(i) ? [] : [stock.name.toLowerCase()])))
  const add: NewEntry[] = []
  for (const { offcut, own } of kept) {
    const size = `${say(boxWidth(offcut.box))} x ${say(boxHeight(offcut.box))}`
    // In the shelf's unit a length may come out a hair shorter.
    if (Math.min(boxWidth(offcut.box), boxHeight(offcut.box)) < leastSide + 0.1) {
      changes.push(
        `${size} left of ${own.stock.name}: not put back, the least that the shelf takes is ${say(leastSide)}`,
      )
      continue
    }
    const name = freeName(title, names)
    names.add(name.toLowerCase())
    add.push(entryOf(name, offcut, own, shelf.unit))
    changes.push(`${name}: ${size} kept`)
  }
  return { text: changed(text, { set, remove: gone, add }), changes }
}

const noLonger = (name: string): Problem => ({
  code: 'no_longer_there',
  field: 'shelf',
  value: `without ${name}`,
  limit: 'the job was laid on it',
  cure: 'Lay the job again.',
})

/** `left of TITLE 1`, or the next number that is free. */
function freeName(title: string, taken: ReadonlySet<string>): string {
  const stem = `left of ${title.slice(0, 45)}`
  for (let n = 1; ; n++) if (!taken.has(`${stem} ${n}`.toLowerCase())) return `${stem} ${n}`
}

/** A length in the shelf's unit, as a number, never longer than it is. */
function plainly(mm: number, unit: Unit): number {
  const steps = unit === 'mm' ? 10 : 1e4
  return Math.floor((mm / mmIn[unit]) * steps + 1e-6) / steps
}

/** A length written as the one that it takes the place of: a number, or text with its unit. */
function likeWritten(before: unknown, mm: number, unit: Unit): number | string {
  if (typeof before !== 'string') return plainly(mm, unit)
  const own = units.find((u) => new RegExp(`[\\d. ]${u}$`).test(before.trim())) ?? unit
  return own === 'in' || own === 'ft' ? writeLength(Math.floor(mm / mmIn.in) * mmIn.in, own) : writeLength(mm, own)
}

/** A kept offcut as an entry, measured from its own left and bottom edge, with what it has from the film it was. */
function entryOf(name: string, { outline, badSpots }: Offcut, { written, stock }: Shelved, unit: Unit): NewEntry {
  const { low, high } = boundsOf([polyline(outline, true)])
  const box = { low, high }
  const of = (mm: number) => plainly(mm, unit)
  const isBox = Math.abs(signedArea(polyline(outline, true)) - boxWidth(box) * boxHeight(box)) < 1
  const size = isBox
    ? { width: of(boxHeight(box)), length: of(boxWidth(box)) }
    : { corners: outline.map(({ x, y }) => [of(x - low.x), of(y - low.y)]) }
  const spots = badSpots.map((ring) => boundsOf([polyline(ring, true)]))
  const ofSpot = (spot: typeof box) => ({
    x: of(Math.max(0, spot.low.x - low.x)),
    y: of(Math.max(0, spot.low.y - low.y)),
    width: of(boxWidth(spot) + 1),
    height: of(boxHeight(spot) + 1),
  })
  return {
    name,
    kind: 'offcut',
    ...(written.film === undefined ? {} : { film: written.film }),
    ...(written.face === 'plain' ? {} : { face: written.face }),
    ...(written.turn === undefined ? {} : { turn: written.turn }),
    margin: of(stock.margin),
    ...size,
    ...(spots.length > 0 ? { badSpots: spots.map(ofSpot) } : {}),
  }
}
