import { crc32 } from '../file/crc32.ts'
import type { Path } from '../geometry/path.ts'
import type { Machine } from '../machine/profile.ts'
import { reachProblems } from '../machine/reach.ts'
import { pieceNames, toolOf } from '../machine/send/parts.ts'
import { planAndTips, type SendPlan } from '../machine/send/plan.ts'
import type { Course } from '../machine/send/resume.ts'
import { formatProblem, type Problem, Refusal } from '../measure/problem.ts'
import { timeWords } from '../stroke/pace.ts'
import type { FilmSide } from './as-planned.ts'
import type { SendReport } from './send-report.ts'
import { settingWords } from './setting.ts'

type SentSetting = NonNullable<NonNullable<SendReport['checks'][number]['sent']>['set']>

export interface SendAsked {
  /** as the person named it; without folders it is looked up in the report */
  readonly file: string
  readonly bytes: Uint8Array
  /** the side of the sheet that faces the tool; the film unless said */
  readonly side?: FilmSide | undefined
  /** that it is sent to, where it is known */
  readonly machine?: Machine | undefined
  /** of the run that wrote the file, where there is one beside it */
  readonly report?: SendReport | undefined
}

/** What a person is shown before a job is sent. */
export interface SendCheck {
  readonly plan: SendPlan
  /** the way of the tool's tip in each of its lines, mm on the sheet as it lies under the tool */
  readonly tips: readonly Path[]
  /** undefined where nothing tells */
  readonly side: FilmSide | undefined
  readonly lines: readonly string[]
  /** what is asked before it begins at the start, and before it goes on in the middle */
  readonly question: string
  readonly onward: string
  /** what is sent behind it, with the tool set anew and the film left where it lies; none for the last file of a sheet */
  readonly next?: NextFile
}

/** The file that follows on one sheet. */
export interface NextFile {
  readonly file: string
  /** a sentence that names it, and how the tool must be set for it */
  readonly words: string
}

const makeAnew = 'Send it to a bigger machine, or make the job anew with --machine for this one.'

/** Looks at a file that is to be sent. Refuses, with every reason, what the machine or the film does not fit. */
export function checkSend({ file, bytes, side = 'film', machine, report }: SendAsked): SendCheck {
  const name = file.replace(/^.*[\\/]/, '')
  const own = report?.checks.find((check) => check.file === name && check.sent !== undefined)
  const { plan, tips } = planAndTips(file, bytes, { machine, names: own?.sent?.lines })
  const told = own?.sent?.side ?? (/\.liner-up\.[^.]+$/.test(name) ? 'liner' : undefined)
  const problems = [
    ...changedProblems(file, bytes, own),
    ...sideProblems(file, told, side),
    ...(machine ? otherMachine(file, own && report?.machine, machine) : []),
    ...(machine ? reachProblems(file, plan.box, machine, makeAnew) : []),
    ...(machine ? toolProblems(file, plan.lines, machine, side) : []),
  ]
  if (problems.length > 0) throw new Refusal(problems)
  const set = own?.sent?.set
  const next = report?.checks.find((check) => check.sent?.set?.after === name)
  return {
    plan,
    tips,
    side: told,
    lines: linesOf(plan, told, own),
    question: questionOf(told, set),
    onward: onwardOf(told, set),
    ...(next?.sent?.set ? { next: nextFile(next.file, next.sent.set) } : {}),
  }
}

const nextFile = (file: string, set: SentSetting): NextFile => {
  const words = `Not all of this sheet is done: send ${file} next, without moving the film, with ${toolWords(set)}.`
  return { file, words }
}

/** What a person should know of a run that does not begin at the start. */
export function beginningLines({ lines, machine }: SendPlan, { from }: Course): readonly string[] {
  if (machine?.blade.compensate !== 'file' || machine.blade.offset === 0) return []
  // The file counts on a trailing blade that points where the cuts before have left it.
  const isTurned = lines.some((line) => line.from < from && line.pen !== machine.tools.pen?.number)
  if (!isTurned) return []
  return ['The blade may stand askew for the first millimetre: no cut has turned it yet. Look at the line there.']
}

/** All that stands against it in sentences, for a page. */
export const refusalLines = (error: unknown): readonly string[] =>
  error instanceof Refusal
    ? error.problems.map(formatProblem)
    : [error instanceof Error ? error.message : String(error)]

/** A file that is not to the byte what its run wrote: the report beside it tells of another. */
function changedProblems(file: string, bytes: Uint8Array, own: SendReport['checks'][number] | undefined): Problem[] {
  const isSame = !own || (own.sent?.bytes === bytes.length && (own.crc32 ?? crc32(bytes)) === crc32(bytes))
  if (isSame) return []
  const value = 'not what its run wrote'
  const limit = 'its length or CRC-32 is another than in the report beside it'
  const cure = 'Make the job anew. If you changed it yourself, put it into a folder of its own, without the report.'
  return [{ code: 'changed_file', field: file, value, limit, cure }]
}

function sideProblems(file: string, told: FilmSide | undefined, side: FilmSide): Problem[] {
  if (told === undefined || told === side) return []
  const up = { film: 'film side up', liner: 'liner up, turned over like a page' }
  const limit = `the sheet is said to lie ${up[side]}`
  const cure = `Lay it ${up[told]} and say --side ${told}, or send the file for the other side.`
  return [{ code: 'other_side', field: file, value: `a job for the sheet ${up[told]}`, limit, cure }]
}

/** A file is written for the axes, units and blade of one machine, and comes out wrong on another. */
function otherMachine(file: string, written: SendReport['machine'] | undefined, machine: Machine): Problem[] {
  if (!written) return []
  const differs: string[] = []
  const add = (what: string, a: unknown, b: unknown) => {
    if (JSON.stringify(a) !== JSON.stringify(b)) differs.push(what)
  }
  const pair = ({ x, y }: { readonly x: number; readonly y: number }) => [x, y]
  add('units in a mm', pair(written.unitsPerMm), pair(machine.unitsPerMm))
  add('origin', written.axes.origin, machine.axes.origin)
  add('direction of X', written.axes.swap, machine.axes.swap)
  add('skew', written.skew, machine.skew)
  // Far origins are counted from the end of the area.
  if (machine.axes.origin !== 'low left') add('area', pair(written.area), pair(machine.area))
  const held = ({ blade }: { readonly blade: { readonly offset: number; readonly compensate: string } }) =>
    blade.compensate === 'file' ? blade.offset : 'machine'
  add('blade', held(written), held(machine))
  if (differs.length === 0) return []
  return [
    {
      code: 'other_machine',
      field: file,
      value: `written for ${written.name}`,
      limit: `${machine.name} has another ${differs.join(', another ')}`,
      cure: 'Make the job anew with --machine for the one it is cut on.',
    },
  ]
}

/** Pens of a file that the machine has no tool for on that side. */
export function toolProblems(
  file: string,
  lines: readonly { readonly pen: number }[],
  { name, tools }: Machine,
  side: FilmSide,
): Problem[] {
  const known = Object.entries(tools).flatMap(([operation, tool]) =>
    tool && (operation === 'slit') === (side === 'liner') ? [tool.number] : [],
  )
  // The crosses to line up by are cut from either side.
  const through = side === 'liner' ? [tools.through?.number, tools.kiss?.number] : []
  const pens = [...new Set(lines.map((line) => line.pen))].filter((pen) => ![...known, ...through].includes(pen))
  return pens.map((pen) => ({
    code: 'no_tool',
    field: file,
    value: pen === 0 ? 'without a pen number' : `done in part by pen ${pen}`,
    limit: `${name} has ${known.length > 0 ? `pen ${[...new Set(known)].join(' and ')}` : 'no tool'} for this side`,
    cure: 'Correct tools in its profile, or make the job anew with --machine.',
  }))
}

function linesOf(
  { parts, lines, travel, box, machine }: SendPlan,
  side: FilmSide | undefined,
  own: SendReport['checks'][number] | undefined,
): string[] {
  const closed = lines.filter((line) => line.closed).length
  const says: string[] = []
  const by = new Map<string, number>()
  for (const part of parts) {
    const what = part.operation === undefined ? toolOf(part) : `${toolOf(part)} by pen ${part.pen}`
    by.set(what, (by.get(what) ?? 0) + part.lines.length)
  }
  const facing = { film: 'film side up', liner: 'liner up, turned over like a page' }
  says.push(`${side === undefined ? 'which side is up is not told' : facing[side]}`)
  if (own?.sent?.film !== undefined) {
    const { film, stock } = own.sent
    says.push(`film: ${film}${stock === undefined || stock === film ? '' : `, ${stock}`}`)
  }
  says.push([...by].map(([what, count]) => `${what}: ${count} ${count === 1 ? 'line' : 'lines'}`).join(', '))
  const count = pieceNames(parts).length
  says.push(`${count} ${count === 1 ? 'piece' : 'pieces'}, ${closed} of ${lines.length} lines closed`)
  says.push(`${metres(travel.down)} down and ${metres(travel.up)} up, about ${timeWords(travel.seconds)}`)
  const at = ({ x, y }: { readonly x: number; readonly y: number }) => `${x.toFixed(1)}, ${y.toFixed(1)}`
  const inside = machine
    ? `, inside what ${machine.name} reaches`
    : '; no machine is named, so nothing tells if it fits'
  says.push(`from ${at(box.low)} to ${at(box.high)} mm${inside}`)
  if (own) says.push(`the tip strays at most ${own.worst.toFixed(3)} mm from the line asked for`)
  return says
}

const metres = (mm: number) => `${(mm / 1000).toFixed(2)} m`

const toolWords = ({ tool, to }: SentSetting) => `tool ${tool} ${settingWords[to]}`

function questionOf(side: FilmSide | undefined, set: SentSetting | undefined): string {
  if (side === 'liner') return 'Does the sheet lie liner up, lined up by its crosses, with the blade set for the liner?'
  const tool = set && toolWords(set)
  if (set?.after !== undefined) return `Does the film still lie as ${set.after} has left it, with ${tool}?`
  const lies = `Does the film lie${side === undefined ? ' with the right side' : ' film side'} up, with the tool at its start`
  return tool ? `${lies}, and ${tool}?` : `${lies}?`
}

function onwardOf(side: FilmSide | undefined, set: SentSetting | undefined): string {
  const [what, up] = side === 'liner' ? ['sheet', ', liner up'] : ['film', '']
  const tool = set ? `, with ${toolWords(set)}` : ''
  return `Does the ${what} still lie as the run before has left it${up}${tool}? New film is begun at the beginning.`
}
