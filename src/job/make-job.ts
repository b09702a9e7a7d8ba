import { writeDrawing } from '../file/svg/draw.ts'
import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { type Machine, reachOf } from '../machine/profile.ts'
import { writeLength } from '../measure/length.ts'
import type { Problem } from '../measure/problem.ts'
import type { Say, Template } from '../panel/template.ts'
import { panelPicture } from '../picture/panel-picture.ts'
import { sheetPicture } from '../picture/sheet-picture.ts'
import { strainPicture } from '../picture/strain-picture.ts'
import { laySideBySide, type Piece } from '../sheet/sheet.ts'
import { crossSpace, filmStrokes, linerStrokes } from '../stroke/strokes.ts'
import { type Cut, cutFiles, type FileCheck } from './cut-files.ts'
import { type ReadFile, readNamedFiles } from './named-files.ts'
import type { OutFile } from './out-file.ts'
import { type Built, buildPanels, letterWarnings } from './panels.ts'
import { paperFiles } from './paper-files.ts'
import { fileName, readJob } from './read-job.ts'
import type { Job } from './schema.ts'

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

export interface MakeOptions {
  /** the names of all shapes there are, where `templates` holds only those that the job may need */
  readonly shapeIds?: readonly string[]
  /** told of each step, for a progress line */
  readonly onStep?: (step: string) => void
  /** gives the bytes of a file that the job names, relative to the job; throws where it cannot */
  readonly readFile?: ReadFile
}

/** The whole line: a job file's text in, every file out, read back and checked. Nothing is written here. */
export async function makeJob(
  text: string,
  templates: readonly Template[],
  { shapeIds, onStep = () => {}, readFile }: MakeOptions = {},
): Promise<Outcome> {
  const read = readJob(text, templates, shapeIds)
  if (!read.job) return read
  const job = read.job
  const say = (mm: number) => writeLength(mm, job.unit)
  const machine = machineOf(job)
  const named = await readNamedFiles(job, templates, readFile)
  if (named.problems.length > 0) return { problems: named.problems, warnings: read.warnings }
  onStep('panels')
  const { objects, problems } = buildPanels(job, templates, named.files, say)
  if (problems.length > 0) return { problems, warnings: read.warnings }
  const warnings = [...read.warnings, ...(machine.pens.pen === undefined ? [] : letterWarnings(objects))]
  const panels = objects.flatMap((built) => built.panels)
  const hasSlit = panels.some(({ panel }) => panel.slits.length > 0)
  const pieces = panels.flatMap(({ panel, copies }) =>
    Array.from({ length: copies }, (_, i): Piece => ({ panel, copy: i + 1, copies })),
  )
  const laid = laySideBySide(pieces, job.stock, reachOf(machine), hasSlit ? crossSpace : 0)
  if (laid.problems.length > 0) return { problems: laid.problems, warnings }
  const { margin } = job.stock
  const hasPen = machine.pens.pen !== undefined
  const cuts = laid.sheets.map(
    (sheet): Cut => ({
      sheet,
      film: filmStrokes(sheet, { cut: job.cut, hasPen, margin, crosses: hasSlit }),
      liner: linerStrokes(sheet, margin),
    }),
  )
  onStep('cut files')
  const written = cutFiles(cuts, machine)
  if ('problems' in written) return { problems: written.problems, warnings }
  const { files, checks } = written
  files.push(...drawings(objects, cuts, say))
  const summary = summaryOf(job, cuts, checks, say)
  onStep('paper')
  files.push(...(await paperFiles(job, objects, summary, say)))
  const made: Made = {
    title: job.title,
    files,
    checks,
    panels: objects.flatMap((built) => describe(built, say)),
    warnings,
    summary,
  }
  files.push({ name: 'report.json', bytes: new TextEncoder().encode(reportOf(made, objects, machine)) })
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

/** A picture of every panel, of what a film must give where it does not lie of itself, and of every sheet. */
function drawings(objects: readonly Built[], cuts: readonly Cut[], say: Say): OutFile[] {
  const panels = objects.flatMap((built) => built.panels.map(({ panel }) => panel))
  const pictures = [
    ...panels.map((panel) => ({
      name: `panel-${fileName(panel.name)}.svg`,
      picture: panelPicture(panel, say, 1, true),
    })),
    ...panels.flatMap((panel) =>
      panel.strain ? [{ name: `strain-${fileName(panel.name)}.svg`, picture: strainPicture(panel, panel.strain) }] : [],
    ),
    ...cuts.map(({ sheet, film, liner }) => ({
      name: `sheet-${sheet.number}.svg`,
      picture: sheetPicture(sheet, film, liner),
    })),
  ]
  const encoder = new TextEncoder()
  return pictures.map(({ name, picture }) => ({ name, bytes: encoder.encode(writeDrawing(picture)) }))
}

function summaryOf(job: Job, cuts: readonly Cut[], checks: readonly FileCheck[], say: Say): string[] {
  const used = cuts.reduce((sum, cut) => sum + cut.sheet.length, 0)
  const worst = checks.reduce((a, b) => (b.worst > a.worst ? b : a))
  const at = `x ${worst.at.x.toFixed(1)}, y ${worst.at.y.toFixed(1)} mm`
  return [
    `Material: ${say(used)} of ${job.film.name}, ${say(job.stock.width)} wide, on ${cuts.length} ${cuts.length === 1 ? 'sheet' : 'sheets'}.`,
    `Cut files read back: the largest distance from the line asked for is ${worst.worst.toFixed(3)} mm (${worst.file}, ${worst.stroke}, at ${at}).`,
  ]
}

function describe({ object, panels }: Built, say: Say): Made['panels'][number][] {
  return panels.map(({ panel, copies }) => {
    const box = boundsOf([panel.outline])
    return {
      name: panel.name,
      shape: object.shape,
      copies,
      width: say(boxWidth(box)),
      height: say(boxHeight(box)),
      ticks: panel.tickReason,
    }
  })
}

function reportOf(made: Made, objects: readonly Built[], machine: Machine): string {
  const report = {
    midtick: 1,
    title: made.title,
    machine,
    files: [...made.files.map((f) => f.name), 'report.json'],
    checks: made.checks,
    warnings: made.warnings,
    panels: objects.flatMap(({ object, panels }) =>
      panels.map(({ panel, copies }) => ({ ...panel, shape: object.shape, copies })),
    ),
  }
  return `${JSON.stringify(report, null, 1)}\n`
}
