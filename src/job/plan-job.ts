import type { Machine } from '../machine/profile.ts'
import { reachRing, tipReachOf } from '../machine/reach.ts'
import type { Problem } from '../measure/problem.ts'
import type { Warning } from '../measure/warning.ts'
import type { Say, Template } from '../panel/template.ts'
import { leastPart, mostParts } from '../panel/tile.ts'
import { crossSpace } from '../sheet/cross-places.ts'
import { cutOffLines, whyNoCutOff } from '../sheet/cut-off.ts'
import { type Laid, type LayoutRequest, layOut } from '../sheet/lay-out.ts'
import { scrapOf } from '../sheet/scrap.ts'
import type { Sheet } from '../sheet/sheet.ts'
import type { Stock } from '../sheet/stock.ts'
import { weedBorders } from '../sheet/weed.ts'
import { partsSetByHand } from '../stroke/set-by-hand.ts'
import { joinedSide, type Side, sideOf } from '../stroke/side.ts'
import { strayStrokes } from '../stroke/stray.ts'
import type { Operation, Stroke } from '../stroke/stroke.ts'
import { filmStrokes, linerStrokes } from '../stroke/strokes.ts'
import { withCrossesWhereRoomIs } from './cross-corners.ts'
import { filmOf, unnamedWords } from './film-name.ts'
import { hasPen, type PanelOptions, panelsOf } from './job-panels.ts'
import { gapOf, jobStocks, lineOf, namedText } from './job-stocks.ts'
import { withPlaces } from './layout-file.ts'
import type { FoundMachine } from './machine-lookup.ts'
import { type Material, materialOf } from './material.ts'
import type { ReadFile } from './named-files.ts'
import { type Built, letterWarnings } from './panels.ts'
import { jobPieces, tooManyPieces } from './pieces.ts'
import { readJob } from './read-job.ts'
import type { Job } from './schema.ts'
import { tiledPanels } from './tile-panels.ts'
import { smallDoubts } from './unit-doubts.ts'

/** What of a sheet's film side is done at one setting of the machine. */
export interface FilmPart {
  /** what a person must set the tool for before it; left out where nothing is set by hand */
  readonly set?: Operation
  readonly side: Side
}

/** A sheet with what is cut on both its sides. */
export interface Cut {
  readonly sheet: Sheet
  /** all of the film side, in the order in which it is done */
  readonly film: Side
  /** the same as it is parted into files: at least one */
  readonly parts: readonly FilmPart[]
  readonly liner: Side
}

/** Everything about a job that is worked out before a file is written. */
export interface Plan {
  readonly job: Job
  readonly machine: Machine
  /** that machine with where it was found */
  readonly found: FoundMachine
  readonly objects: readonly Built[]
  readonly cuts: readonly Cut[]
  readonly material: Material
  /** what was asked of the layout */
  readonly request: LayoutRequest
  /** lengths in the job's unit */
  readonly say: Say
  /** the layout file that the pieces lie by, where one that the job names still holds */
  readonly keptIn: string | undefined
}

export interface Planned {
  readonly plan?: Plan
  readonly problems: readonly Problem[]
  readonly warnings: readonly Warning[]
}

export interface PlanOptions extends PanelOptions {
  /** the names of all shapes there are, where `templates` holds only those that the job may need */
  readonly shapeIds?: readonly string[]
  /** lay the pieces anew although the job names places that were found before */
  readonly anew?: boolean
}

/** A job file's text to panels, to sheets and to the strokes of both their sides. */
export async function planJob(
  text: string,
  templates: readonly Template[],
  { shapeIds, anew = false, ...options }: PlanOptions = {},
): Promise<Planned> {
  const { readFile } = options
  const panelled = await panelsOf(readJob(text, templates, shapeIds), templates, options)
  if (!panelled.job) return panelled
  const { machine, found, objects: whole, say } = panelled
  const named = filmOf(panelled.job)
  if ('problems' in named) return { problems: named.problems, warnings: panelled.warnings }
  const job = { ...panelled.job, film: { ...panelled.job.film, name: named.name } }
  const draws = hasPen(machine)
  const film = await jobStocks(job, machine, readFile)
  if ('problems' in film) return { problems: film.problems, warnings: panelled.warnings }
  // Where no tool slits the liner it is slit by hand, and there is no second side to line up.
  const crosses =
    machine.tools.slit !== undefined && whole.some(({ panels }) => panels.some(({ panel }) => panel.slits.length > 0))
  const border = job.layout.weed === 'none' ? 0 : job.layout.weedAt
  const asked = withCrossesWhereRoomIs(
    whole,
    {
      stocks: film.stocks,
      room: Math.max(gapOf(job) / 2, border > 0 ? border + betweenBorders : 0),
      reach: tipReachOf(machine),
      border,
      spare: crosses ? crossSpace : 0,
      unit: job.unit,
    },
    job.layout.tile,
  )
  const objects = job.layout.tile ? tiledPanels(whole, asked, job.layout.tileOverlap, say) : whole
  const small = panelled.bare ? smallDoubts(whole, panelled.bare, say) : []
  const warnings = [
    ...panelled.warnings,
    ...small,
    ...named.warnings,
    ...(film.warnings ?? []),
    ...(draws ? letterWarnings(objects) : []),
  ]
  const tooMany = tooManyPieces(objects)
  if (tooMany) return { problems: [tooMany], warnings }
  const { pieces, problems: unknown } = jobPieces(objects, film.stocks[0]?.name)
  if (unknown.length > 0) return { problems: unknown, warnings }
  const request: LayoutRequest = { ...asked, pieces }
  // A person who marks out by hand looks for film last: what is not named is not laid on.
  const isLaid = !machine.byHand || job.stock !== undefined || job.shelf !== undefined
  const from = anew ? undefined : readFile
  const { laid, keptIn, problems: unread, warnings: stale } = isLaid ? await laidBy(job, request, from) : notLaid
  warnings.push(...stale)
  if (unread.length > 0) return { problems: unread, warnings }
  if (laid.problems.length > 0) return { problems: laid.problems.map((p) => withAdvice(p, job, options)), warnings }
  warnings.push(...unnamedFilm(laid.sheets, film.unnamed ?? [], job))
  const reach = reachRing(machine)
  const cuts = laid.sheets.map((sheet): Cut => {
    const strokes = filmStrokes(sheet, { cut: job.cut, hasPen: draws, beside: besidePieces(sheet, job, draws) })
    const onFilm = scrapOf(sheet, 'film', reach)
    const parts = partsSetByHand(strokes, machine.tools).map(
      ({ strokes: own, ...part }): FilmPart => ({ ...part, side: sideOf(own, machine, onFilm) }),
    )
    return {
      sheet,
      film: joinedSide(parts.map(({ side }) => side)),
      parts,
      liner: sideOf(crosses ? linerStrokes(sheet) : [], machine, scrapOf(sheet, 'liner', reach)),
    }
  })
  warnings.push(...cutOffWords(laid.sheets, job, draws).map((text) => ({ text, field: 'layout.cutOff' })))
  const stray = cuts.flatMap(({ sheet, film: { strokes } }) => strayStrokes(sheet, strokes))
  if (stray.length > 0) return { problems: stray, warnings }
  return {
    plan: { job, machine, found, objects, cuts, material: materialOf(laid, job.layout.keep), request, say, keptIn },
    problems: [],
    warnings,
  }
}

interface LaidBy {
  readonly laid: Laid
  readonly keptIn: string | undefined
  readonly problems: readonly Problem[]
  readonly warnings: readonly Warning[]
}

/** The layout: as it was found before, where that still holds, else by the effort of the job. */
async function laidBy(job: Job, request: LayoutRequest, readFile: ReadFile | undefined): Promise<LaidBy> {
  const { seed, effort, places } = job.layout
  const anew = (...warnings: Warning[]): LaidBy => {
    return { laid: layOut(request, { seed, rounds: effort }), keptIn: undefined, problems: [], warnings }
  }
  if (places === undefined || !readFile) return anew()
  const file = await namedText('layout.places', places, readFile)
  if ('problem' in file) {
    return anew({ text: `${file.problem.value}; the pieces were laid anew.`, field: 'layout.places' })
  }
  const found = withPlaces(file.text, request)
  if ('problems' in found) {
    const problems = found.problems.map(({ place, ...p }) => ({ ...p, field: `${places}${lineOf(place)}: ${p.field}` }))
    return { ...notLaid, problems }
  }
  const laid = found.stale ? undefined : layOut({ ...request, pieces: found.pieces }, { seed, rounds: 0 })
  if (laid?.problems.length === 0) return { laid, keptIn: places, problems: [], warnings: [] }
  const why = laid ? 'the film is no longer the same' : 'the pieces are no longer the same'
  return anew({
    text: `${places}: ${why}, so the pieces were laid anew. midtick layout finds places again.`,
    field: 'layout.places',
  })
}

const nothing: Laid = { sheets: [], problems: [], paid: 0, atLeast: 0 }
const notLaid: LaidBy = { laid: nothing, keptIn: undefined, problems: [], warnings: [] }

/** Film that is taken off a shelf though it does not say which film it is. */
function unnamedFilm(sheets: readonly Sheet[], unnamed: readonly Stock[], { film, shelf }: Job): Warning[] {
  const taken = new Set(sheets.map(({ stock }) => stock))
  return unnamed
    .filter((stock) => taken.has(stock))
    .map(({ name }) => ({
      text: unnamedWords(`${name} on ${shelf}`, film.name),
      field: 'shelf',
    }))
}

/** A panel that is too big although tiling was tried shall not be told to try it. */
const afterTiling = `Tiling was tried: parts lie side by side one way only, ${mostParts} at the most, none narrower than ${leastPart} mm, with seams clear of hinge, openings and ticks. Take wider film or a bigger machine, or mark it out by hand (machine: by-hand).`

/** What a person may not think of who is told that a panel is too big. */
function withAdvice(problem: Problem, { machine, unit, layout }: Job, options: PanelOptions): Problem {
  if (problem.code !== 'panel_too_big') return problem
  const isNamed = machine !== undefined || options.machine !== undefined
  const advice = [
    layout.tile ? afterTiling : problem.cure,
    ...(isNamed
      ? []
      : ['No machine is named, so plain-roll is taken; a wide roll cutter (machine: wide-roll) takes more.']),
    ...(unit === 'mm' ? [] : [`Bare numbers in this job are read as ${unit}.`]),
  ]
  return { ...problem, cure: advice.join(' ') }
}

/** Weed borders and cut-off lines of a sheet; a cut-off line is drawn where it is asked for and there is a pen. */
function besidePieces(sheet: Sheet, { layout }: Job, hasPen: boolean): Stroke[] {
  const { weed, weedAt, cutOff } = layout
  const borders = weed === 'none' ? [] : weedBorders(sheet, weed, weedAt)
  const lines = cutOff === 'none' || (cutOff === 'pen' && !hasPen) ? [] : cutOffLines(sheet)
  return [
    ...borders.map(({ name, path }): Stroke => ({ operation: 'kiss', name: `${name}: weed border`, path })),
    ...lines.map((path): Stroke => ({ operation: cutOff === 'pen' ? 'pen' : 'through', name: 'cut-off line', path })),
  ]
}

/** Cut-off lines that were asked for and are not there, with why. */
function cutOffWords(sheets: readonly Sheet[], { layout: { cutOff } }: Job, hasPen: boolean): string[] {
  if (cutOff === 'none') return []
  if (cutOff === 'pen' && !hasPen) {
    return ['layout.cutOff is pen, and the machine has no pen, so no cut-off line is drawn. Take through, or none.']
  }
  return sheets.flatMap((sheet) => {
    const why = whyNoCutOff(sheet)
    return why === undefined
      ? []
      : [`layout.cutOff is ${cutOff}, and sheet ${sheet.number} has no cut-off line: ${why}.`]
  })
}

/** Half of what is kept between two weed borders, mm. */
const betweenBorders = 0.5
