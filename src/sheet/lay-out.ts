import { type Box, boundsOf, boxesMeet, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { endOf, polyline } from '../geometry/path.ts'
import { difference, intersection, offsetRings, type Rings, ringsArea } from '../geometry/polygon.ts'
import { transform } from '../geometry/transform.ts'
import { type Unit, writeLength } from '../measure/length.ts'
import type { Problem } from '../measure/problem.ts'
import { cutLine } from '../panel/cut-line.ts'
import type { Panel } from '../panel/panel.ts'
import { bedArea, type Keeping, type Lying, lyingOn, reachedBox } from './beds.ts'
import { compareLayouts, type Judged } from './better-layout.ts'
import { crossPlaces } from './cross-places.ts'
import { nest } from './nest/nest.ts'
import type { Effort, NestPiece, NestProblem, NestState, Place, Region } from './nest/problem.ts'
import { pieceRings } from './piece-region.ts'
import { pinnedRings } from './pin-place.ts'
import { lieMatrix, originOf, turnsOf } from './placing.ts'
import { regionsOf, ringsOfRegion } from './regions.ts'
import type { Piece, Placed, Sheet } from './sheet.ts'
import { type Stock, stricter, type Turn } from './stock.ts'
import { tooBig } from './too-big.ts'

export interface LayoutRequest extends Keeping {
  /** what lengths are told in where something stands in the way; mm unless said */
  readonly unit?: Unit
  readonly pieces: readonly Piece[]
  /** liked best first */
  readonly stocks: readonly Stock[]
}

/** A layout as it is put to the engine, and what is needed to read its answer. */
export interface Posed {
  readonly request: LayoutRequest
  readonly problem: NestProblem
  readonly lying: readonly Lying[]
  /** pins that cannot be kept */
  readonly problems: readonly Problem[]
}

export interface Laid {
  readonly sheets: readonly Sheet[]
  readonly problems: readonly Problem[]
  /** mm^2 of new film that is paid for, and what no layout of these pieces can do with less than */
  readonly paid: number
  readonly atLeast: number
}

/** The turning that a piece is allowed on these stocks. */
const turnOf = ({ turn = 'any' }: Piece, stocks: readonly Stock[]): Turn =>
  stocks.reduce((least, stock) => stricter(least, stock.turn), turn)

/** Pieces and stocks as the engine takes them. `generous`: see `lyingOn`. */
function posed(request: LayoutRequest, generous: boolean): Posed {
  const { pieces, stocks, room } = request
  const shapes = new Map<Panel, Rings>()
  for (const { panel } of pieces) if (!shapes.has(panel)) shapes.set(panel, pieceRings(panel, room, true))
  const numbers = new Map([...shapes.keys()].map((panel, i) => [panel, i]))
  const area = pieces.reduce((sum, { panel }) => sum + ringsArea(shapes.get(panel) ?? []), 0)
  const lying = stocks.flatMap((stock) => {
    const [one] = lyingOn(stock, request, 1, generous)
    const most = one ? Math.ceil((2.5 * area) / bedArea(one)) + 2 : 1
    return lyingOn(stock, request, Math.max(1, Math.min(pieces.length, most)), generous)
  })
  const kinds = [...new Map(lying.map((each) => [each.stock, each])).values()].map(({ bed }) => bed)
  const asked = new Map<string, NestPiece>()
  const problems: Problem[] = []
  const own = pieces.map((piece): NestPiece => {
    const { panel, group, pin } = piece
    const turn = turnOf(piece, stocks)
    const key = `${numbers.get(panel)} ${turn}`
    const known = asked.get(key) ?? unpinned(panel, shapes.get(panel) ?? [], room, turn, kinds)
    asked.set(key, known)
    const placed = pin ? pinnedOn(piece, lying) : undefined
    if (placed && 'code' in placed) problems.push(placed)
    return {
      ...known,
      ...(group === undefined ? {} : { group }),
      ...(placed && 'bed' in placed ? { pinned: placed } : {}),
    }
  })
  const problem = { pieces: own, beds: lying.map(({ bed }) => bed) }
  return { request, problem, lying, problems: [...problems, ...pinProblems(request, own, lying)] }
}

/**
 * The piece with the ends of its slits; where it fits nowhere with them, without: then it spans the film, and past its
 * ends no other piece has room.
 */
function unpinned(panel: Panel, full: Rings, room: number, turn: Turn, kinds: NestProblem['beds']): NestPiece {
  const piece = { region: regionOf(full), turns: turnsOf(turn) }
  return fitsAny(piece, kinds) ? piece : { ...piece, region: regionOf(pieceRings(panel, room, false)) }
}

function regionOf(rings: Rings) {
  const [region] = regionsOf(rings)
  if (!region) throw new RangeError('a panel of no area')
  return region
}

/** Does the piece have room on one of the beds alone? As it stands on a plain one is seen at once. */
const fitsAny = (piece: NestPiece, beds: NestProblem['beds']): boolean =>
  beds.some(
    (bed) =>
      standsOn(piece.region, bed.region) ||
      lastOf(nest({ pieces: [piece], beds: [bed] }, { seed: 1, rounds: 0 })).places[0] !== undefined,
  )

/** mm by which a piece must be smaller than a bed so that rounding does not count */
const plainly = 0.1

/** Is the bed a rectangle with room for the box round the piece? */
function standsOn({ outer }: Region, bed: Region): boolean {
  const [own, room] = [outer, bed.outer].map((ring) => boundsOf([polyline(ring)])) as [Box, Box]
  const { low, high } = room
  const isBox =
    bed.outer.length === 4 &&
    bed.outer.every(({ x, y }) => (x === low.x || x === high.x) && (y === low.y || y === high.y))
  return (
    isBox &&
    bed.holes.length === 0 &&
    boxWidth(own) < boxWidth(room) - plainly &&
    boxHeight(own) < boxHeight(room) - plainly
  )
}

function lastOf(run: ReturnType<typeof nest>): NestState {
  for (;;) {
    const { done, value } = run.next()
    if (done) return value
  }
}

function pinnedOn({ panel, copy, pin }: Piece, lying: readonly Lying[]): Place | Problem | undefined {
  if (!pin) return undefined
  const name = pin.stock ?? lying[0]?.stock.name
  const bed = lying.findIndex(({ stock, ofStock }) => stock.name === name && ofStock === pin.sheet)
  if (bed >= 0) return { bed, ...originOf(panel, pin), angle: pin.angle }
  const names = [...new Set(lying.map(({ stock }) => stock.name))]
  return {
    code: 'pinned_nowhere',
    field: `${panel.name} ${copy}: pinned`,
    value: `on sheet ${pin.sheet} of ${name ?? 'nothing'}`,
    limit: names.length > 0 ? `there is room on ${names.join(', ')}` : 'there is no film',
    cure: 'Name one of them, or count the sheets cut from it from 1.',
  }
}

/** An overlap of less than this is none, mm^2. */
const nothing = 1e-3

/** Pins that leave the film or stand in each other's way. */
function pinProblems({ pieces, room }: LayoutRequest, own: readonly NestPiece[], lying: readonly Lying[]): Problem[] {
  const pinned = own.flatMap(({ pinned: place }, i) => {
    const piece = pieces[i]
    if (!place || !piece) return []
    const rings = pinnedRings(piece.panel, place, room)
    const box = boundsOf(rings.map((ring) => polyline(ring, true)))
    return [{ piece, place, rings, box }]
  })
  return pinned.flatMap(({ piece, place, rings, box }, i): Problem[] => {
    const field = `${piece.panel.name} ${piece.copy}: pinned`
    const at = `at ${round(piece.pin?.x ?? 0)}, ${round(piece.pin?.y ?? 0)} mm`
    const bed = lying[place.bed]
    const out = bed ? ringsArea(difference(rings, ringsOfRegion(bed.bed.region))) : 0
    const cure = 'Move it, or take its pin out.'
    const outside = {
      code: 'pinned_outside',
      field,
      value: at,
      limit: 'there it leaves the film that can be cut',
      cure,
    }
    const met = pinned.find(
      (other, k) =>
        k < i &&
        other.place.bed === place.bed &&
        boxesMeet(box, other.box) &&
        ringsArea(intersection(rings, other.rings)) > nothing,
    )
    const limit = `there it is nearer than the gap to ${met?.piece.panel.name} ${met?.piece.copy}, which is pinned too`
    const near = { code: 'pinned_too_near', field, value: at, limit, cure }
    return [...(out > nothing ? [outside] : []), ...(met ? [near] : [])]
  })
}

const round = (mm: number) => Number(mm.toFixed(2))

/** The engine's answer as sheets, or what stands in its way. */
function sheetsOf({ request, lying, problem }: Posed, state: NestState): Laid {
  const { pieces, spare } = request
  const count = new Map<Stock, number>()
  const sheets = lying.flatMap((each, bed): Omit<Sheet, 'number'>[] => {
    const own = pieces.flatMap((piece, i): Placed[] => {
      const place = state.places[i]
      if (place?.bed !== bed) return []
      return [{ ...piece, angle: place.angle, place: lieMatrix(place.angle, place.x, place.y) }]
    })
    if (own.length === 0) return []
    const { stock, tail, crosses } = each
    const ofStock = (count.get(stock) ?? 0) + 1
    count.set(stock, ofStock)
    const far = Math.max(...own.map((piece) => extentOf(piece).high.x))
    const { width, margin } = stock
    const length = stock.kind === 'roll' ? Math.max(far + tail + spare, leastLength) : stock.length
    const sheet = { stock, ofStock, length, width, reached: reachedBox(length, width, request), margin }
    const places = crosses.length > 0 ? crosses : spare > 0 ? crossPlaces(sheet, own) : []
    return [{ ...sheet, pieces: own, crosses: places }]
  })
  const left = pieces.filter((_, i) => state.places[i] === undefined)
  const numbered = sheets.map((sheet, i) => ({ number: i + 1, ...sheet }))
  const problems = left.length > 0 ? missing(request, problem, lying, left) : tooShort(numbered, request.unit)
  return { sheets: problems.length > 0 ? [] : numbered, problems, paid: state.paid, atLeast: state.atLeast }
}

/** A roll is not cut shorter than this, mm: less is not held by the machine (common practice, no source). */
const leastLength = 1

/** The box round the film and the waste ticks of a placed piece. */
function extentOf({ panel, place }: Placed): Box {
  const paths = [cutLine(panel), ...panel.ticks.map(({ path }) => polyline([path.start, endOf(path)]))]
  return boundsOf(paths.map((path) => transform(path, place)))
}

/** Why pieces have no place: each too big for all there is, or together more than there is. */
function missing(
  request: LayoutRequest,
  problem: NestProblem,
  lying: readonly Lying[],
  left: readonly Piece[],
): Problem[] {
  const kinds = [...new Map(lying.map((each) => [each.stock, each])).values()]
  const first = [...new Map(left.map((piece) => [piece.panel, piece])).values()]
  const big = first.flatMap((piece) => {
    const own = problem.pieces[request.pieces.indexOf(piece)]
    const alone = own && { region: own.region, turns: own.turns }
    const beds = kinds.map(({ bed }) => bed)
    return alone && fitsAny(alone, beds) ? [] : [tooBig(piece, request, kinds, () => alone && shortBy(alone, kinds))]
  })
  if (big.length > 0) return big
  const grouped = [...new Set(left.flatMap(({ group }) => group ?? []))]
  const names = [...new Set(left.map(({ panel }) => panel.name))]
  const all = request.stocks.map(({ name }) => name).join(', ')
  return [
    {
      code: 'no_room_left',
      field: 'stock',
      value: all || 'nothing',
      limit: `${left.length} of ${request.pieces.length} pieces have no room left on it: ${names.join(', ')}${grouped.length > 0 ? `; the group ${grouped.join(', ')} stays on one sheet` : ''}`,
      cure: 'Take more film, fewer copies, or let pieces be turned.',
    },
  ]
}

/** mm to which it is found how much film is missing, and beyond which nobody wants to know. */
const tellTo = 0.02
const tellUpTo = 1000

/** The stock that would take a piece if it grew the least all round, and by how much, mm. */
function shortBy(piece: NestPiece, kinds: readonly Lying[]): { stock: Stock; by: number } | undefined {
  const fitsGrown = ({ bed }: Lying, by: number) => {
    const [region] = regionsOf(offsetRings(ringsOfRegion(bed.region), by, 'mitre'))
    return region !== undefined && fitsAny(piece, [{ ...bed, region }])
  }
  let best: { stock: Stock; by: number } | undefined
  for (const each of kinds) {
    let [low, high] = [0, best?.by ?? tellUpTo]
    if (!fitsGrown(each, high)) continue
    while (high - low > tellTo) {
      const middle = (low + high) / 2
      if (fitsGrown(each, middle)) high = middle
      else low = middle
    }
    best = { stock: each.stock, by: high }
  }
  return best
}

/** Rolls that are shorter than what is to be cut from them. */
function tooShort(sheets: readonly Sheet[], unit: Unit = 'mm'): Problem[] {
  const say = (mm: number) => writeLength(Math.round(mm), unit)
  return [...new Set(sheets.map(({ stock }) => stock))].flatMap((stock): Problem[] => {
    const used = sheets.filter((sheet) => sheet.stock === stock).reduce((sum, { length }) => sum + length, 0)
    if (stock.kind !== 'roll' || used <= stock.length + rounding) return []
    return [
      {
        code: 'roll_too_short',
        field: 'stock.length',
        value: writeLength(stock.length, unit),
        limit: `the pieces take ${say(used)} of roll, ${say(used - stock.length)} more`,
        cure: 'Take a longer roll, or fewer copies.',
      },
    ]
  })
}

/** mm that adding up lengths may cost what just fits */
const rounding = 1e-6

/** Is told of the search now and then, and can ask for the sheets as they would be; true ends it. */
export type Watch = (state: NestState, sheets: () => Laid) => boolean

/**
 * Stocks that pieces may be turned alike on. An engine is told one rule for a piece, so stocks of several rules are
 * tried as all of them by the strictest, and those with more freedom by theirs.
 */
function byTurn(stocks: readonly Stock[]): (readonly Stock[])[] {
  const rules = ['any', 'quarter', 'none'] as const
  const sets = rules.map((rule) => stocks.filter(({ turn }) => stricter(turn, rule) === rule))
  return sets.filter((own, i) => own.length > 0 && own.length !== (sets[i - 1]?.length ?? 0))
}

const judged = ({ problems, paid, sheets }: Laid): Judged => ({
  isWhole: problems.length === 0,
  paid,
  sheets: sheets.length,
})

/** Lays pieces on stocks as well as the effort allows: the sheets to cut, or what stands in the way. */
export function layOut(request: LayoutRequest, effort: Effort, watch: Watch = () => false): Laid {
  const sets = byTurn(request.stocks)
  const all = (sets.length > 0 ? sets : [[]]).map((stocks) => laidOn({ ...request, stocks }, effort, watch))
  return all.reduce((best, one) => (compareLayouts(judged(best), judged(one)) < 0 ? best : one))
}

function laidOn(request: LayoutRequest, effort: Effort, watch: Watch): Laid {
  const first = solved(posed(request, true), effort, watch)
  const short = first.problems.some(({ code }) => code === 'roll_too_short')
  if (!short) return first
  // Sheets that the roll has for sure, where more of them than it has were made use of.
  const second = solved(posed(request, false), effort, watch)
  return second.problems.length === 0 ? second : first
}

function solved(given: Posed, effort: Effort, watch: Watch): Laid {
  if (given.problems.length > 0) return { sheets: [], problems: given.problems, paid: 0, atLeast: 0 }
  const run = nest(given.problem, effort)
  for (;;) {
    const { done, value } = run.next()
    if (done || watch(value, () => sheetsOf(given, value))) return sheetsOf(given, value)
  }
}
