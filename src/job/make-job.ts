import { crc32 } from '../file/crc32.ts'
import { writeDrawing } from '../file/svg/draw.ts'
import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import type { Machine } from '../machine/profile.ts'
import type { Problem } from '../measure/problem.ts'
import type { Warning } from '../measure/warning.ts'
import type { Say, Template } from '../panel/template.ts'
import { panelPicture } from '../picture/panel-picture.ts'
import { sheetPicture } from '../picture/sheet-picture.ts'
import { strainPicture } from '../picture/strain-picture.ts'
import { type Travel, timeWords } from '../stroke/pace.ts'
import { cutFiles } from './cut-files.ts'
import { machineLine, profileReport } from './machine-words.ts'
import { materialLines, materialReport } from './material.ts'
import type { OutFile } from './out-file.ts'
import type { Built } from './panels.ts'
import { paperFiles, withoutPaper } from './paper-files.ts'
import { type Plan, type Planned, type PlanOptions, planJob } from './plan-job.ts'
import type { FileCheck } from './read-back.ts'
import { fileName } from './read-job.ts'
import { settingLine } from './setting.ts'

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
  readonly warnings: readonly Warning[]
  readonly summary: readonly string[]
}

export interface Outcome {
  readonly made?: Made
  readonly problems: readonly Problem[]
  readonly warnings: readonly Warning[]
}

export interface MakeOptions extends PlanOptions {
  /** told of each step, for a progress line */
  readonly onStep?: (step: string) => void
  /** the job as it was planned before, from this very text and these shapes */
  readonly planned?: Planned
}

/** The whole line: a job file's text in, every file out, read back and checked. Nothing is written here. */
export async function makeJob(
  text: string,
  templates: readonly Template[],
  { onStep = () => {}, planned, ...options }: MakeOptions = {},
): Promise<Outcome> {
  onStep('panels')
  const { plan, problems, warnings } = planned ?? (await planJob(text, templates, options))
  if (!plan) return { problems, warnings }
  const { job, machine, found, objects, material, say } = plan
  onStep('cut files')
  const written = machine.byHand ? { files: [], checks: [] } : cutFiles(plan)
  if ('problems' in written) return { problems: written.problems, warnings }
  const { files, checks } = written
  const noPaper = withoutPaper(plan)
  const told = [...warnings, ...unturnedWarnings(checks), ...bladeWarnings(checks), ...(noPaper ? [noPaper] : [])]
  files.push(...drawings(plan))
  const summary = [
    machineLine(found),
    ...materialLines(job.film.name, material, say, job.unit),
    ...settingLines(checks),
    ...(machine.byHand ? [handLine(noPaper === undefined)] : summaryOf(checks, objects, machine)),
  ]
  onStep('paper')
  files.push(...(await paperFiles(plan, summary, told, noPaper === undefined)))
  const made: Made = {
    title: job.title,
    files,
    checks,
    panels: objects.flatMap((built) => describe(built, say)),
    warnings: told,
    summary,
  }
  files.push({ name: 'report.json', bytes: new TextEncoder().encode(reportOf(made, plan)) })
  return { made, problems: [], warnings: told }
}

/** A picture of every panel, of what a film must give where it does not lie of itself, and of every sheet. */
function drawings({ objects, cuts, material, say }: Plan): OutFile[] {
  const panels = objects.flatMap((built) => built.panels.map(({ panel }) => panel))
  const pictures = [
    ...panels.map((panel) => ({
      name: `panel-${fileName(panel.name)}.svg`,
      picture: panelPicture(panel, say, 1, true),
    })),
    ...panels.flatMap((panel) =>
      panel.strain ? [{ name: `strain-${fileName(panel.name)}.svg`, picture: strainPicture(panel, panel.strain) }] : [],
    ),
    ...cuts.map(({ sheet, film, liner }, i) => ({
      name: `sheet-${sheet.number}.svg`,
      picture: sheetPicture(sheet, film.strokes, liner.strokes, { keep: material.sheets[i]?.keep ?? [] }),
    })),
  ]
  const encoder = new TextEncoder()
  return pictures.map(({ name, picture }) => ({ name, bytes: encoder.encode(writeDrawing(picture)) }))
}

const handLine = (withPaper: boolean) =>
  `Cut by hand: job-sheet.pdf has the steps to mark each panel out${withPaper ? ', paper.pdf its template at true size' : ''}. No cut files are written.`

/** Sheets of which a person must set the tool between two files: told of the first of them. */
function settingLines(checks: readonly FileCheck[]): string[] {
  const set = checks.flatMap(({ file, sent }) => (sent?.set ? [{ file, set: sent.set }] : []))
  const end = set.findIndex(({ set: { after } }, i) => i > 0 && after === undefined)
  const first = end < 0 ? set : set.slice(0, end)
  if (first.length === 0) return []
  return [`${settingLine(first)}${end < 0 ? '' : ' The same goes for the other sheets.'}`]
}

function summaryOf(checks: readonly FileCheck[], objects: readonly Built[], machine: Machine): string[] {
  const worst = checks.reduce((a, b) => (b.worst > a.worst ? b : a))
  const at = `x ${worst.at.x.toFixed(1)}, y ${worst.at.y.toFixed(1)} mm`
  const travels = checks.flatMap(({ travel }) => (travel ? [travel] : []))
  const sum = (of: (travel: Travel) => number) => travels.reduce((total, travel) => total + of(travel), 0)
  return [
    `Cut files read back: the tip of the tool strays at most ${worst.worst.toFixed(3)} mm from the line asked for (${worst.file}, ${worst.stroke}, at ${at}).`,
    comparedWords(checks, objects),
    `Way of the tool: ${metres(sum(({ down }) => down))} down and ${metres(sum(({ up }) => up))} up, about ${timeWords(sum(({ seconds }) => seconds))} at the pace stated for the machine, without waiting and changing tools.`,
    ...changeLines(checks, machine),
  ]
}

/** Tools that come again and again because a roll is done section by section, which is much for a person who changes them. */
function changeLines(checks: readonly FileCheck[], { tools }: Machine): string[] {
  const changes = checks.map(({ sent }) => {
    const taken = sent?.lines.map(({ operation }) => tools[operation]?.number) ?? []
    const selected = taken.filter((tool, i) => i === 0 || tool !== taken[i - 1])
    return { again: selected.length - new Set(selected).size, count: Math.max(0, selected.length - 1) }
  })
  if (changes.every(({ again }) => again === 0)) return []
  const count = changes.reduce((sum, each) => sum + each.count, 0)
  return [
    `The tool is changed ${count} times, because a roll is done section by section. Where a person has to change it, write changedByHand: true into the profile of the machine.`,
  ]
}

/** What was held against what was asked for beside places; a job in which any of it differs is refused before. */
function comparedWords(checks: readonly FileCheck[], objects: readonly Built[]): string {
  const strokes = checks.reduce((sum, check) => sum + (check.sent ? check.strokes : 0), 0)
  const pieces = objects.reduce((sum, { panels }) => panels.reduce((own, { copies }) => own + copies, sum), 0)
  const all = `${strokes} ${strokes === 1 ? 'stroke' : 'strokes'} of ${pieces} ${pieces === 1 ? 'piece' : 'pieces'}`
  return `Compared with what was asked for as well: operation, pen, force, speed, passes, side and order of ${all}; none is left out, added or cut twice.`
}

const metres = (mm: number) => `${(mm / 1000).toFixed(1)} m`

/** Places that the blade is too big for. */
function bladeWarnings(checks: readonly FileCheck[]): Warning[] {
  return checks.flatMap(({ file, forbidden }) => {
    const [first] = forbidden
    if (!first) return []
    const places = forbidden.length === 1 ? 'one place is' : `${forbidden.length} places are`
    const at = `x ${first.at.x.toFixed(1)}, y ${first.at.y.toFixed(1)} mm`
    const text = `${file}: ${places} smaller than the blade and will not come out true, such as a ${first.kind} of ${first.size.toFixed(2)} mm in ${first.stroke} at ${at}.`
    return [{ text }]
  })
}

/** Cuts for which the blade comes down as it happens to stand. */
function unturnedWarnings(checks: readonly FileCheck[]): Warning[] {
  return checks.flatMap(({ file, unturned = [] }) =>
    unturned.map(({ stroke, astray, uncut }) => ({
      text: `${file}: there is no room on the film beside the pieces to bring the blade round before ${stroke}. As it may stand, that cut strays up to ${astray.toFixed(2)} mm and leaves up to ${uncut.toFixed(2)} mm of its line uncut. Give more margin or gap, or turn the blade by a cut on scrap just before.`,
    })),
  )
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

function reportOf(made: Made, { objects, machine, found, material }: Plan): string {
  const sums = new Map(made.files.map(({ name, bytes }) => [name, crc32(bytes)]))
  const report = {
    midtick: 1,
    title: made.title,
    machine,
    machineFrom: profileReport(found),
    files: [...made.files.map((f) => f.name), 'report.json'],
    checks: made.checks.map((check) => ({ ...check, crc32: sums.get(check.file) })),
    warnings: made.warnings.map(({ text }) => text),
    material: materialReport(material),
    panels: objects.flatMap(({ object, panels }) =>
      panels.map(({ panel, copies }) => ({ ...panel, shape: object.shape, copies })),
    ),
  }
  return `${JSON.stringify(report, null, 1)}\n`
}
