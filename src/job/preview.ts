import { parseDocument } from 'yaml'
import { writePathData } from '../file/svg/pathdata.ts'
import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import type { Unit } from '../measure/length.ts'
import type { Problem } from '../measure/problem.ts'
import type { Warning } from '../measure/warning.ts'
import { edgeNames } from '../panel/panel.ts'
import type { Say, Specs, Template } from '../panel/template.ts'
import { panelPicture } from '../picture/panel-picture.ts'
import { strainPicture } from '../picture/strain-picture.ts'
import type { LayoutRequest } from '../sheet/lay-out.ts'
import { nearestPin } from '../sheet/pin-place.ts'
import type { Side } from '../stroke/side.ts'
import type { FilmSide } from './as-planned.ts'
import { loadShapes, shapeIds, shapesNamedIn } from './catalogue.ts'
import { filmPreview } from './film-preview.ts'
import { hasPen, type PanelOptions, panelsOf } from './job-panels.ts'
import { markingList } from './marking-list.ts'
import { ownShape } from './own-shape.ts'
import { type BuiltPanel, letterWarnings } from './panels.ts'
import { type Planned, planJob } from './plan-job.ts'
import type {
  BladeWay,
  CatalogueEntry,
  FileToSend,
  JobPreview,
  MadeFiles,
  ObjectPreview,
  ObjectView,
  PanelPreview,
  PlacedProblem,
  PlacedWarning,
  PlainJob,
  ScreenPicture,
  WantedSpot,
} from './preview-data.ts'
import { readJob, readJobTable, valuesOf } from './read-job.ts'
import { onScreen, places } from './screen-picture.ts'
import { asides } from './second-look.ts'

export { machineLookup } from './machine-lookup.ts'

/** The one door for a page; everything that goes through it is plain data. */

const inMm: Say = (mm) => `${mm} mm`

/** Every shape that comes with the tool, in the order a person is shown them. */
export async function catalogueEntries(own: readonly Template[] = []): Promise<CatalogueEntry[]> {
  return [...(await loadShapes()), ...own].map((template) => {
    const { id, title, when, specs, example, edges } = template
    const sketch = onScreen(template.sketch(undefined, inMm), lettersOf(specs))
    return { id, title, when, specs, edges: edges ?? edgeNames, example, sketch }
  })
}

/** All letters that fields of a shape, or of its lists, carry in the drawing. */
function lettersOf(specs: Specs): Set<string> {
  const own = Object.values(specs).flatMap((spec) => {
    if (spec.kind === 'list') return [...lettersOf(spec.item)]
    return 'letter' in spec && spec.letter !== undefined ? [spec.letter] : []
  })
  return new Set(own)
}

/** What a page has beside the job: files that it names, shapes of the shop's own, and what finds its machines. */
export interface Given extends Pick<PanelOptions, 'readFile' | 'findMachine'> {
  readonly own?: readonly Template[]
}

/** Of what a page has, what panels are worked out with. */
const optionsOf = ({ readFile, findMachine }: Given): PanelOptions => ({
  ...(readFile ? { readFile } : {}),
  ...(findMachine ? { findMachine } : {}),
})

/** A shape of the shop's own, from what its module exports; throws an Error that names the field at fault. */
export const takeShape = (exported: unknown, own: readonly Template[]): Template =>
  ownShape(exported, [...shapeIds, ...own.map(({ id }) => id)])

/** The shapes that a job may need, and the names of all there are. */
async function shapesFor(text: string, own: readonly Template[]) {
  const templates = [...(await shapesNamedIn(text)), ...own]
  return { templates, ids: [...shapeIds, ...own.map(({ id }) => id)] }
}

/** The job as plain data, or undefined where it is no table. */
function plainJob(text: string): PlainJob | undefined {
  try {
    const document = parseDocument(text)
    const raw: unknown = document.errors.length > 0 ? undefined : document.toJS({ maxAliasCount: 100 })
    return typeof raw === 'object' && raw !== null && !Array.isArray(raw) ? (raw as PlainJob) : undefined
  } catch {
    return undefined
  }
}

const objectsOf = (raw: PlainJob | undefined): readonly unknown[] => (Array.isArray(raw?.objects) ? raw.objects : [])

const nameOf = (object: unknown): string =>
  typeof object === 'object' && object !== null ? String((object as { readonly name?: unknown }).name ?? '').trim() : ''

/**
 * One object of a job with its panels, whatever the others are like.
 * @param job the job as plain data, this object alone in it
 * @param index the object's number in the whole job
 */
export async function previewObject(
  job: PlainJob,
  index: number,
  view: ObjectView,
  given: Given = {},
): Promise<ObjectPreview> {
  const { templates, ids } = await shapesFor(JSON.stringify(job.objects), given.own ?? [])
  const names = objectsOf(job).map(nameOf)
  const placed = (problems: readonly Problem[]) =>
    problems.map((p) => {
      const found = placedProblem(p, names)
      return found.object === undefined ? found : { ...found, object: index }
    })
  const read = readJobTable({ raw: job, place: () => undefined }, templates, ids)
  const panelled = await panelsOf(read, templates, optionsOf(given))
  const { problems } = panelled
  const warned = (warnings: readonly Warning[]) =>
    warnings.map(placedWarning).map((own) => (own.object === undefined ? own : { ...own, object: index }))
  const own = panelled.job && panelled.objects[0]
  if (!panelled.job || !own) return { problems: placed(problems), warnings: warned(panelled.warnings) }
  const { machine, objects, say } = panelled
  const { specs } = own.template
  return {
    problems: [],
    asides: asides(valuesOf(own.object), specs, say),
    warnings: warned([...panelled.warnings, ...(hasPen(machine) ? letterWarnings(objects) : [])]),
    sketch: onScreen(own.template.sketch(valuesOf(own.object), say, own.panels[0]?.panel.hinge)),
    panels: own.panels.map((panel) => panelPreview(panel, panelled.job.unit, say, view)),
  }
}

function panelPreview({ panel, copies }: BuiltPanel, unit: Unit, say: Say, { room, lists }: ObjectView): PanelPreview {
  const box = boundsOf([panel.outline, panel.bare])
  const scale = Math.min(room.width / boxWidth(box), room.height / boxHeight(box))
  const picture = panelPicture(panel, say, scale, true)
  const size = boundsOf([panel.outline])
  const screen = onScreen(picture)
  return {
    name: panel.name,
    copies,
    width: say(boxWidth(size)),
    height: say(boxHeight(size)),
    picture: screen,
    scale,
    allowance: allowanceOf(screen),
    ...(panel.strain ? { strain: onScreen(strainPicture(panel, panel.strain)) } : {}),
    marks: panel.marks.map((mark) => mark.text),
    ticks: panel.tickReason,
    notes: panel.notes,
    ...(lists ? { markOut: listOf(panel, unit) } : {}),
  }
}

function listOf(panel: BuiltPanel['panel'], unit: Unit): NonNullable<PanelPreview['markOut']> {
  const { lines, table } = markingList(panel, unit)
  return { lines, ...(table ? { table } : {}) }
}

/** The cut line and the measured edge in one: what lies between them is the allowance. */
function allowanceOf({ lines }: ScreenPicture): string {
  return lines.flatMap(({ style, d }) => (style === 'outline' || style === 'bare' ? [d] : [])).join(' ')
}

/** The last job that was planned with what a page has: several questions about one text follow each other. */
const lastPlanned = new WeakMap<Given, { readonly text: string; readonly planned: Promise<Planned> }>()

async function plannedFor(text: string, given: Given): Promise<Planned> {
  const known = lastPlanned.get(given)
  if (known?.text === text) return known.planned
  const { templates, ids: shapeIds } = await shapesFor(text, given.own ?? [])
  const planned = planJob(text, templates, { shapeIds, ...optionsOf(given) })
  lastPlanned.set(given, { text, planned })
  return planned
}

/** The job as a whole: its problems, and where asked for the film with everything on it. */
export async function previewJob(text: string, withSheets: boolean, given: Given = {}): Promise<JobPreview> {
  const placed = (problems: readonly Problem[]) => {
    const names = objectsOf(problems.length > 0 ? plainJob(text) : undefined).map(nameOf)
    return problems.map((p) => placedProblem(p, names))
  }
  if (!withSheets) {
    const { templates, ids } = await shapesFor(text, given.own ?? [])
    const read = readJob(text, templates, ids)
    const { problems, warnings } = await panelsOf(read, templates, optionsOf(given))
    return { problems: placed(problems), warnings: warnings.map(placedWarning) }
  }
  const planned = await plannedFor(text, given)
  const warnings = planned.warnings.map(placedWarning)
  const { plan, problems } = planned
  return plan ? { problems: [], warnings, ...filmPreview(plan) } : { problems: placed(problems), warnings }
}

/** What a search for a better layout begins with, as plain data; nothing where the job cannot be laid out. */
export async function layoutRequest(text: string, given: Given = {}): Promise<LayoutRequest | undefined> {
  const { templates, ids: shapeIds } = await shapesFor(text, given.own ?? [])
  const options = { shapeIds, anew: true, ...optionsOf(given) }
  return (await planJob(text, templates, options)).plan?.request
}

/** The place nearest to one that a person wants at which the piece lies on the film, as far as the job tells. */
export async function nearestSpot(text: string, wanted: WantedSpot, given: Given = {}): Promise<WantedSpot> {
  const { plan } = await plannedFor(text, given)
  const piece = plan?.request.pieces.find(({ panel, copy }) => panel.name === wanted.panel && copy === wanted.copy)
  if (!plan || !piece) return wanted
  const { stock, sheet, x, y } = wanted
  const pin = { stock, sheet, x, y, angle: (wanted.angle * Math.PI) / 180 }
  const found = nearestPin(piece.panel, pin, plan.request.stocks, plan.request)
  return { ...wanted, x: found.x, y: found.y }
}

/** How the tool's tip goes over both sides of a sheet, counted from 1; nothing where the job cannot be made. */
export async function previewBlade(
  text: string,
  number: number,
  given: Given = {},
): Promise<{ readonly film: BladeWay; readonly liner: BladeWay } | undefined> {
  const [{ bladeWay }, { plan }] = await Promise.all([import('./blade-way.ts'), plannedFor(text, given)])
  const cut = plan?.cuts.find(({ sheet }) => sheet.number === number)
  if (!plan || !cut) return undefined
  const wayOf = (side: Side, faces: FilmSide) => bladeWay(side, faces, plan.machine, cut.sheet.width)
  return { film: wayOf(cut.film, 'film'), liner: wayOf(cut.liner, 'liner') }
}

/** Looks at a cut file that is to be sent, with the text of the report beside it; or all that stands against it. */
export async function checkToSend(
  name: string,
  bytes: Uint8Array,
  report: string,
): Promise<FileToSend | { readonly problems: readonly string[] }> {
  const { checkSend, readSendReport, refusalLines } = await import('./send.ts')
  const read = readSendReport(report)
  const side = name.includes('.liner-up.') ? ('liner' as const) : ('film' as const)
  try {
    const { tips, ...check } = checkSend({ file: name, bytes, side, machine: read?.machine, report: read })
    return { ...check, ways: tips.map((path) => writePathData(path, 0, places)) }
  } catch (error) {
    return { problems: refusalLines(error) }
  }
}

/** Every file of a job, the same bytes as the command writes. */
export async function makeFiles(text: string, given: Given = {}): Promise<MadeFiles> {
  const { templates } = await shapesFor(text, given.own ?? [])
  // Writing and reading cut files is only wanted here, and is a good part of what a page would have to load.
  const [{ makeJob }, planned] = await Promise.all([import('./make-job.ts'), plannedFor(text, given)])
  const outcome = await makeJob(text, templates, { planned })
  const { made, problems } = outcome
  const warnings = outcome.warnings.map(placedWarning)
  if (made) return { problems: [], warnings, files: made.files, checks: made.checks, summary: made.summary }
  const names = objectsOf(plainJob(text)).map(nameOf)
  return { problems: problems.map((p) => placedProblem(p, names)), warnings, files: [], checks: [], summary: [] }
}

/**
 * Where in the job a problem belongs. Its field names an object by number, as `objects[2].girth` and
 * `objects[2] pail: girth`, or by name, as `pail: girth`, `pail.allowance` and `pail band 2`; else it is the job's.
 */
function placedProblem(problem: Problem, names: readonly string[]): PlacedProblem {
  const { code, field, value, limit, cure, place } = problem
  const rest = {
    code,
    text: `${capital(value)}: ${limit}. ${cure}`,
    ...(place ? { line: place.line } : {}),
  }
  const numbered = ofObject(field)
  if (numbered) {
    const { object, own } = numbered
    const called = ` ${names[object] ?? ''}: `
    return { ...rest, object, path: keysOf(own.startsWith(called) ? own.slice(called.length) : own) }
  }
  const owner = names
    .map((name, object) => ({ name, object }))
    .filter(({ name }) => name !== '' && (field === name || /^[:. ]/.test(field.slice(name.length) || '!')))
    .filter(({ name }) => field.startsWith(name))
    .sort((a, b) => b.name.length - a.name.length)[0]
  if (!owner) return { ...rest, path: keysOf(field) }
  const own = /[:.] ?(\w+(?:[.[].*)?)$/.exec(field.slice(owner.name.length))?.[1] ?? ''
  return { ...rest, object: owner.object, path: keysOf(own) }
}

function placedWarning({ field = '', ...rest }: Warning): PlacedWarning {
  const numbered = ofObject(field)
  return numbered ? { ...rest, object: numbered.object, path: keysOf(numbered.own) } : { ...rest, path: keysOf(field) }
}

/** The object of the job, from 0, that a field belongs to, and what it is called in it. */
function ofObject(field: string): { readonly object: number; readonly own: string } | undefined {
  const found = /^objects\[(\d+)\]/.exec(field)
  return found ? { object: Number(found[1]), own: field.slice(found[0].length) } : undefined
}

/** A sentence begins with a capital, but a file keeps its name. */
const capital = (text: string) => (/^\S+\.\w/.test(text) ? text : text.charAt(0).toUpperCase() + text.slice(1))

const keysOf = (field: string): (string | number)[] =>
  field
    .split(/[.[\]]+/)
    .filter((key) => key !== '')
    .map((key) => (/^\d+$/.test(key) ? Number(key) : key))
