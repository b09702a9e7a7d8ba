import { readHpgl } from '../file/hpgl/read.ts'
import { type HpglOptions, writeHpgl } from '../file/hpgl/write.ts'
import { writeCutSvg } from '../file/svg/cut.ts'
import { writeDrawing } from '../file/svg/draw.ts'
import { readCutSvg } from '../file/svg/read.ts'
import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { deviation } from '../geometry/deviation.ts'
import { defaultTolerance } from '../geometry/flatten.ts'
import { type Path, polyline } from '../geometry/path.ts'
import type { Point } from '../geometry/point.ts'
import { type Machine, reachOf } from '../machine/profile.ts'
import { writeLength } from '../measure/length.ts'
import { type Problem, Refusal } from '../measure/problem.ts'
import { unknownLetters } from '../panel/lettering.ts'
import { makePanel } from '../panel/make-panel.ts'
import { markOut } from '../panel/mark-out.ts'
import { type EdgeName, edgeNames, type Panel } from '../panel/panel.ts'
import type { Template } from '../panel/template.ts'
import { panelPicture } from '../picture/panel-picture.ts'
import { sheetPicture } from '../picture/sheet-picture.ts'
import { laySideBySide, type Piece, type Sheet } from '../sheet/sheet.ts'
import type { Stroke } from '../stroke/stroke.ts'
import { crossSpace, filmStrokes, linerStrokes } from '../stroke/strokes.ts'
import { fileName, readJob, valuesOf } from './read-job.ts'
import type { Job, JobObject } from './schema.ts'
import { applySteps } from './steps.ts'

/** Common practice, no source: each measured dimension comes out 2 mm longer, and is trimmed in place. */
const standardAllowance = 1
const standardStrip = 30

export interface OutFile {
  readonly name: string
  readonly bytes: Uint8Array
}

/** The farthest that a cut file, read back, lies from what was asked. */
export interface FileCheck {
  readonly file: string
  readonly strokes: number
  readonly worst: number
  readonly at: Point
  readonly stroke: string
}

export interface Made {
  readonly title: string
  readonly files: readonly OutFile[]
  readonly checks: readonly FileCheck[]
  readonly panels: readonly {
    name: string
    shape: string
    copies: number
    width: string
    height: string
    ticks: string
  }[]
  readonly warnings: readonly string[]
  readonly summary: readonly string[]
}

export interface Outcome {
  readonly made?: Made
  readonly problems: readonly Problem[]
  readonly warnings: readonly string[]
}

interface Cut {
  readonly sheet: Sheet
  readonly film: readonly Stroke[]
  readonly liner: readonly Stroke[]
}

/**
 * The whole line: a job file's text in, every file out, read back and checked. Nothing is written here.
 * @param onStep told of each step, for a progress line
 */
export async function makeJob(
  text: string,
  templates: readonly Template[],
  onStep: (step: string) => void = () => {},
): Promise<Outcome> {
  const read = readJob(text, templates)
  if (!read.job) return read
  const job = read.job
  const say = (mm: number) => writeLength(mm, job.unit)
  const machine = machineOf(job)
  onStep('panels')
  const { panels, problems } = panelsOf(job, templates, say)
  if (problems.length > 0) return { problems, warnings: read.warnings }
  const warnings = [...read.warnings, ...(machine.pens.pen === undefined ? [] : panels.flatMap(letterWarnings))]
  const hasSlit = panels.some((p) => p.panel.slits.length > 0)
  const stock = { ...job.stock }
  const pieces = panels.flatMap(({ panel, object }) =>
    Array.from({ length: object.copies }, (_, i): Piece => ({ panel, copy: i + 1, copies: object.copies })),
  )
  const laid = laySideBySide(pieces, stock, reachOf(machine), hasSlit ? crossSpace : 0)
  if (laid.problems.length > 0) return { problems: laid.problems, warnings }
  const cuts = laid.sheets.map(
    (sheet): Cut => ({
      sheet,
      film: filmStrokes(sheet, {
        cut: job.cut,
        hasPen: machine.pens.pen !== undefined,
        margin: stock.margin,
        crosses: hasSlit,
      }),
      liner: linerStrokes(sheet, stock.margin),
    }),
  )
  onStep('cut files')
  const written = cutFiles(cuts, machine)
  if ('problems' in written) return { problems: written.problems, warnings }
  const { files, checks } = written
  const encoder = new TextEncoder()
  for (const { panel } of panels) {
    files.push({
      name: `panel-${fileName(panel.name)}.svg`,
      bytes: encoder.encode(writeDrawing(panelPicture(panel, say, 1, true))),
    })
  }
  for (const { sheet, film, liner } of cuts) {
    files.push({
      name: `sheet-${sheet.number}.svg`,
      bytes: encoder.encode(writeDrawing(sheetPicture(sheet, film, liner))),
    })
  }
  const summary = summaryOf(job, cuts, checks, say)
  onStep('paper')
  files.push(...(await paperFiles(job, panels, templates, summary, say, hasSlit)))
  const made: Made = {
    title: job.title,
    files,
    checks,
    panels: panels.map(({ panel, object }) => describe(panel, object, say)),
    warnings,
    summary,
  }
  files.push({ name: 'report.json', bytes: encoder.encode(reportOf(made, panels, machine)) })
  return { made, problems: [], warnings }
}

function machineOf(job: Job): Machine {
  const { name, width, length, unitsPerMm, wideRange, pens } = job.machine
  const { pen, ...rest } = pens
  return {
    name,
    area: { x: length, y: width },
    unitsPerMm,
    wideRange,
    pens: pen === undefined ? rest : { ...rest, pen },
  }
}

interface Built {
  readonly object: JobObject
  readonly panel: Panel
}

function panelsOf(job: Job, templates: readonly Template[], say: (mm: number) => string) {
  const panels: Built[] = []
  const problems: Problem[] = []
  for (const object of job.objects) {
    const template = templates.find((t) => t.id === object.shape)
    if (!template) throw new RangeError(`no shape ${object.shape}`)
    const facts = { filmThickness: job.film.thickness, tapeThickness: job.tape.thickness }
    const handling = { ...job.defaults, ...definedOf(object) }
    const made = makePanel(template.develop(valuesOf(object), facts, say), {
      name: object.name,
      allowances: allowancesOf(handling.allowance),
      ticks: { wanted: handling.ticks ?? 'auto', hasPen: job.machine.pens.pen !== undefined, cut: job.cut },
      slit: { lines: handling.slit ?? 'one', strip: handling.strip ?? standardStrip },
    })
    if ('panel' in made) panels.push({ object, panel: made.panel })
    else problems.push(...made.problems)
  }
  return { panels, problems }
}

/** What the pen cannot write of a panel's labels. */
function letterWarnings({ panel }: Built): string[] {
  const unknown = unknownLetters(panel.labels.map((label) => label.text).join(' '))
  if (unknown.length === 0) return []
  const list = unknown.join(' ')
  return [`The label of ${panel.name} has characters the pen cannot write: ${list}. Each is drawn as an empty box.`]
}

/** The handling fields an object sets itself. */
function definedOf({ allowance, ticks, slit, strip }: JobObject): Partial<Job['defaults']> {
  return Object.fromEntries(Object.entries({ allowance, ticks, slit, strip }).filter(([, v]) => v !== undefined))
}

function allowancesOf(given: Job['defaults']['allowance']): Record<EdgeName, number> {
  const own = (name: EdgeName) => (typeof given === 'object' ? given[name] : given) ?? standardAllowance
  const [bottom, right, top, left] = edgeNames.map(own) as [number, number, number, number]
  return { bottom, right, top, left }
}

/** Writes and reads back every cut file, or says what of it the machine cannot do. */
function cutFiles(
  cuts: readonly Cut[],
  machine: Machine,
): { readonly files: OutFile[]; readonly checks: FileCheck[] } | { readonly problems: readonly Problem[] } {
  const files: OutFile[] = []
  const checks: FileCheck[] = []
  const encoder = new TextEncoder()
  const options: HpglOptions = {
    unitsPerMm: machine.unitsPerMm,
    pens: machine.pens,
    area: machine.area,
    wideRange: machine.wideRange,
    tolerance: defaultTolerance,
  }
  const put = (name: string, text: string, asked: readonly Stroke[], back: readonly Path[]) => {
    files.push({ name, bytes: encoder.encode(text) })
    checks.push(compare(name, asked, back))
  }
  const both = (name: string, strokes: readonly Stroke[], sheet: Sheet) => {
    const hpgl = writeHpgl(strokes, options)
    put(
      `${name}.hpgl`,
      hpgl,
      strokes,
      readHpgl(hpgl, options).map((s) => polyline(s.points)),
    )
    const svg = writeCutSvg(strokes, { width: sheet.length, height: sheet.width })
    put(
      `${name}.cut.svg`,
      svg,
      strokes,
      readCutSvg(svg).strokes.map((s) => s.path),
    )
  }
  try {
    for (const { sheet, film, liner } of cuts) {
      both(`sheet-${sheet.number}`, film, sheet)
      if (liner.length > 0) both(`sheet-${sheet.number}.liner-up`, liner, sheet)
    }
  } catch (error) {
    if (error instanceof Refusal) return { problems: error.problems }
    throw error
  }
  return { files, checks }
}

function compare(file: string, asked: readonly Stroke[], back: readonly Path[]): FileCheck {
  if (asked.length !== back.length) {
    throw new Error(`${file}: ${asked.length} strokes were asked for and ${back.length} came back`)
  }
  let check: FileCheck = { file, strokes: asked.length, worst: 0, at: { x: 0, y: 0 }, stroke: '' }
  asked.forEach((stroke, i) => {
    const found = deviation(back[i] as Path, stroke.path)
    if (found.distance > check.worst) check = { ...check, worst: found.distance, at: found.at, stroke: stroke.name }
  })
  return check
}

function summaryOf(
  job: Job,
  cuts: readonly Cut[],
  checks: readonly FileCheck[],
  say: (mm: number) => string,
): string[] {
  const used = cuts.reduce((sum, cut) => sum + cut.sheet.length, 0)
  const worst = checks.reduce((a, b) => (b.worst > a.worst ? b : a))
  const at = `x ${worst.at.x.toFixed(1)}, y ${worst.at.y.toFixed(1)} mm`
  return [
    `Material: ${say(used)} of ${job.film.name}, ${say(job.stock.width)} wide, on ${cuts.length} ${cuts.length === 1 ? 'sheet' : 'sheets'}.`,
    `Cut files read back: the largest distance from the line asked for is ${worst.worst.toFixed(3)} mm (${worst.file}, ${worst.stroke}, at ${at}).`,
  ]
}

async function paperFiles(
  job: Job,
  panels: readonly Built[],
  templates: readonly Template[],
  summary: readonly string[],
  say: (mm: number) => string,
  hasSlit: boolean,
): Promise<OutFile[]> {
  // The PDF library is half of the start-up time; only this needs it.
  const [{ writePaper, paperSizes }, { writeJobSheet }] = await Promise.all([
    import('../file/pdf/paper.ts'),
    import('../file/pdf/job-sheet.ts'),
  ])
  const paper = paperSizes[job.paper]
  const sheets = panels.map(({ panel }) => ({ name: panel.name, picture: panelPicture(panel, say, 1, false) }))
  const objects = panels.map(({ panel, object }) => {
    const template = templates.find((t) => t.id === object.shape)
    const full = panelPicture(panel, say, 1, false)
    const scale = Math.min(1, 130 / full.width, 45 / full.height)
    const pictures = [{ caption: 'The panel, film side up', picture: panelPicture(panel, say, scale, true) }]
    if (template)
      pictures.unshift({ caption: 'The object and its marks', picture: template.sketch(valuesOf(object), say) })
    return {
      name: object.copies > 1 ? `${panel.name}, ${object.copies} pieces` : panel.name,
      pictures,
      sections: [
        { heading: 'Marks to make on the object', lines: panel.marks.map((mark) => mark.text) },
        { heading: 'Ticks', lines: [`Made as ${panel.tickReason}.`, ...panel.notes] },
        { heading: 'Marking out by hand', lines: markOut(panel, say) },
      ],
    }
  })
  const title = job.title
  return [
    { name: 'paper.pdf', bytes: await writePaper({ title, paper, panels: sheets }) },
    {
      name: 'job-sheet.pdf',
      bytes: await writeJobSheet({ title, paper, summary: [...summary], objects, steps: applySteps(hasSlit) }),
    },
  ]
}

function describe(panel: Panel, object: JobObject, say: (mm: number) => string): Made['panels'][number] {
  const box = boundsOf([panel.outline])
  return {
    name: panel.name,
    shape: object.shape,
    copies: object.copies,
    width: say(boxWidth(box)),
    height: say(boxHeight(box)),
    ticks: panel.tickReason,
  }
}

function reportOf(made: Made, panels: readonly Built[], machine: Machine): string {
  const report = {
    midtick: 1,
    title: made.title,
    machine,
    files: [...made.files.map((f) => f.name), 'report.json'],
    checks: made.checks,
    warnings: made.warnings,
    panels: panels.map(({ panel, object }) => ({ ...panel, shape: object.shape, copies: object.copies })),
  }
  return `${JSON.stringify(report, null, 1)}\n`
}
