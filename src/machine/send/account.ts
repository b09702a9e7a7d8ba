import { timeWords } from '../../stroke/pace.ts'
import { formatMark } from './mark.ts'
import { outlinedNames, type Part, partWords } from './parts.ts'
import { amountAt, type Line, lastIndex, type SendPlan } from './plan.ts'
import { markBehind, markNotBefore } from './resume.ts'
import type { Sender } from './sender.ts'

/** Where a run is, for a person who watches; by the estimate where the machine does not say. */
export interface Progress {
  readonly state: 'opening' | 'sending' | 'pausing' | 'paused' | 'stopping' | 'finishing' | 'ended'
  /** what is under the tool, in words; undefined where only the outline of the job is traced */
  readonly under: string | undefined
  readonly reach: Reach
  /** mm cut or drawn, and of how much */
  readonly down: number
  readonly ofDown: number
  /** s */
  readonly left: number
  /** bytes handed over, and of how many */
  readonly sent: number
  readonly ofSent: number
}

/** How far a run has come, bytes from the file's start: what it began with, what is cut, and what may be begun. */
export interface Reach {
  readonly from: number
  readonly cut: number
  readonly begun: number
}

export function progressOf(s: Sender, now: number): Progress {
  const { plan } = s.options
  const at = reachedBy(s, now)
  const { down, seconds } = amountAt(plan, at)
  const part = partAt(plan, at) ?? plan.parts[0]
  return {
    state: stateOf(s),
    under: part && partWords(part),
    reach: reachOf(s, at),
    down,
    ofDown: plan.travel.down,
    left: Math.max(0, plan.travel.seconds - seconds),
    sent: s.at,
    ofSent: plan.bytes.length,
  }
}

function stateOf(s: Sender): Progress['state'] {
  if (s.phase === 'ended') return 'ended'
  if (s.phase === 'confirming' && s.at >= s.options.plan.bytes.length) return 'finishing'
  if (s.stopping || s.phase === 'parking') return 'stopping'
  if (s.hold === 'paused') return s.inserts.length > 0 || s.busy ? 'pausing' : 'paused'
  if (s.hold === 'pausing') return 'pausing'
  return s.phase === 'opening' ? 'opening' : 'sending'
}

/** The byte that the machine has come to: between what it has for certain and what was handed over, by the clock. */
function reachedBy(s: Sender, now: number): number {
  const { plan, course } = s.options
  if (s.confirmed) return s.at
  const until = s.hold === 'paused' ? s.pausedAt : now
  const seconds = amountAt(plan, course.from).seconds + Math.max(0, until - s.clock)
  const line = plan.lines[lastIndex(plan.lines, ({ secondsBefore }) => secondsBefore <= seconds)]
  const part = line ? Math.min(1, (seconds - line.secondsBefore) / (line.seconds || 1)) : 0
  const byClock = line ? line.from + part * (line.to - line.from) : 0
  return Math.min(s.at, Math.max(s.surely, byClock))
}

/** @param reached the byte that the machine has come to */
function reachOf(s: Sender, reached: number): Reach {
  const { from } = s.options.course
  if (s.phase !== 'ended') return { from, cut: reached, begun: reached }
  // What was handed over before the tool was parked is cut; whatever ended otherwise may have gone astray.
  if (s.outcome?.how === 'stopped') return { from, cut: s.at, begun: s.at }
  return { from, cut: s.outcome?.how === 'done' ? reached : s.surely, begun: s.at }
}

/** Lines that are cut, may be cut in part, and are left. */
export type LineState = 'cut' | 'begun' | 'left'

/** How each line of a file stands after runs that each did a part of it. */
export function lineStates({ lines }: Pick<SendPlan, 'lines'>, reaches: readonly Reach[]): readonly LineState[] {
  const spans: { from: number; cut: number }[] = []
  for (const { from, cut } of reaches.toSorted((a, b) => a.from - b.from)) {
    const last = spans.at(-1)
    if (last && from <= last.cut) last.cut = Math.max(last.cut, cut)
    else spans.push({ from, cut })
  }
  return lines.map((line): LineState => {
    if (spans.some(({ from, cut }) => from <= line.from && line.to <= cut)) return 'cut'
    return reaches.some(({ from, begun }) => from < line.to && line.from < begun) ? 'begun' : 'left'
  })
}

/** How a run stands, as it is told to a page. */
export interface RunNews {
  readonly progress: Progress
  /** what it and the runs that it goes on from have done */
  readonly reaches: readonly Reach[]
  readonly ended?: Ending
}

/** @param before how the run of the same file before it ended, if there was one; what begins at the start begins anew */
export function newsOf(s: Sender, now: number, before: RunNews | undefined): RunNews {
  const progress = progressOf(s, now)
  const isNew = progress.reach.from === 0 || before?.ended?.how === 'done'
  return { progress, reaches: [...(isNew ? [] : (before?.reaches ?? [])), progress.reach] }
}

/** The part that has begun last when the file is carried out up to a byte. */
function partAt({ lines, parts }: SendPlan, offset: number): Part | undefined {
  const line = lines[lastIndex(lines, ({ from }) => from < offset)]
  return line && parts[line.part]
}

/** What was cut when a run has ended, as far as it is known. */
export interface Account {
  /** names of the pieces that are cut whole for certain, or were before this run */
  readonly cut: readonly string[]
  /** lines of which something was handed over and that may not be cut whole: the first and the last */
  readonly underWay: { readonly first: Line; readonly last: Line } | undefined
  /** where a new run goes on */
  readonly goOn: string | undefined
  /** the start of the line that it was stopped in */
  readonly lineAnew: string | undefined
}

export function accountOf(s: Sender): Account {
  const { plan, course } = s.options
  const isCut = (line: Line | undefined) => line !== undefined && line.to <= s.surely
  const open = new Set(plan.parts.filter(({ lines }) => !isCut(plan.lines[lines.at(-1) ?? -1])).map(({ name }) => name))
  const last = s.at > course.from ? plan.lines[lastIndex(plan.lines, ({ from }) => from < s.at)] : undefined
  const first = plan.lines.find((line) => !isCut(line))
  const how = s.outcome?.how
  const isExact = how === 'stopped'
  const mark = isExact ? markBehind(plan, s.at) : markNotBefore(plan, s.surely, course)
  const isPast = how === 'done' || mark === undefined
  return {
    cut: outlinedNames(plan.parts).filter((name) => !open.has(name)),
    underWay: first && last && first.from <= last.from ? { first, last } : undefined,
    goOn: isPast ? undefined : formatMark(plan, mark),
    lineAnew: isPast || mark.point === 1 ? undefined : formatMark(plan, { ...mark, point: 1 }),
  }
}

/** How a run ended: in plain sentences what happened, what is cut, and how to go on; and where that is. */
export interface Ending extends Pick<Account, 'goOn' | 'lineAnew'> {
  readonly how: string
  readonly words: readonly string[]
}

/**
 * @param goingOn how a person is told to begin at a place, such as `pail lid, kiss`; as behind a colon
 * @param note what the link has to add
 */
export function endingOf(s: Sender, now: number, goingOn: (place: string) => string, note?: string): Ending {
  const { goOn, lineAnew } = accountOf(s)
  const words = endingWords(s, now, goingOn)
  return { how: s.outcome?.how ?? 'left', words: note === undefined ? words : [...words, note], goOn, lineAnew }
}

function endingWords(s: Sender, now: number, goingOn: (place: string) => string): readonly string[] {
  const { plan } = s.options
  const { how, detail } = s.outcome ?? { how: 'left', detail: '' }
  const errors = s.errors.map(
    (n) => `It reports error ${n}: ${plotterErrors[n] ?? 'not in its manuals'}. Look at the film.`,
  )
  switch (how) {
    case 'done': {
      if (plan.lines.length === 0) return ['The outline of the job was traced with the tool up.']
      if (s.confirmed) return [`Done. ${allWords(plan)}, and the machine says that it is through.`, ...errors]
      const { left } = progressOf(s, now)
      const wait = left >= 1 ? ` By the estimate the machine goes on for ${timeWords(left)}.` : ''
      return [`All is sent.${wait} It does not say when it is through.`]
    }
    case 'stopped': {
      const { goOn, lineAnew } = accountOf(s)
      const rest = s.confirmed ? '' : ' once the machine has done what it had been given'
      if (goOn === undefined) return [`Stopped behind the last line. The tool is up and parked${rest}.`, ...errors]
      const anew = lineAnew === undefined ? '' : ` To cut that line anew: ${goingOn(lineAnew)}.`
      const there = `To go on from there: ${goingOn(goOn)}.${anew}`
      return [`Stopped ${stoppedAt(s)}. The tool is up and parked${rest}.`, there, ...errors]
    }
    case 'too far':
      return [`Nothing was cut: the machine says that it reaches only ${detail}, and the job lies outside of that.`]
    default:
      return [`${reason(how, detail)}`, ...whereabouts(s, goingOn)]
  }
}

/** What is done: pieces only where their outlines are in the file, since another may have to follow that cuts them. */
function allWords({ parts, lines }: SendPlan): string {
  const [first, ...others] = outlinedNames(parts)
  if (first === undefined)
    return lines.length === 1 ? 'The line of this file is done' : `All ${lines.length} lines of this file are done`
  return others.length === 0 ? `The piece ${first} is cut` : `All ${others.length + 1} pieces are cut`
}

function stoppedAt({ at, options: { plan, course } }: Sender): string {
  const begun = lastIndex(plan.lines, ({ from }) => from < at)
  const line = plan.lines[begun]
  const part = line && plan.parts[line.part]
  if (!line || !part || at <= course.from) return 'before a line was begun'
  if (line.to <= at) return `behind ${lineWords(plan, line)}`
  return `in ${lineWords(plan, line)}`
}

/** A line as it is shown: `line 2 of pail lid, copy 2 of 3 (kiss)`. */
function lineWords({ parts, lines }: SendPlan, line: Line): string {
  const part = parts[line.part]
  if (!part) return ''
  const count = part.lines.length
  return count === 1 ? partWords(part) : `line ${part.lines.indexOf(lines.indexOf(line)) + 1} of ${partWords(part)}`
}

function reason(how: string, detail: string): string {
  const said: Readonly<Record<string, string>> = {
    left: 'Left at once. The tool may be down, and the machine goes on with what it has.',
    broken: `The link broke: ${detail}.`,
    stuck: `The machine takes no more: ${detail}. Is it paused, out of film, or set to another handshake?`,
    silent: `The machine is silent: ${detail}. Look at its cable, speed and parity, or leave answers and handshake out.`,
    rubbish: `The machine answers ${detail}, which makes no sense. Look at speed, bits and parity.`,
    'machine error': `The machine stopped the run: ${detail}. Look at speed, parity and handshake.`,
  }
  return said[how] ?? how
}

/** Names of pieces that are told; more are only counted. */
const mostTold = 4

function whereabouts(s: Sender, goingOn: (place: string) => string): string[] {
  const { plan, course } = s.options
  const { cut, underWay, goOn } = accountOf(s)
  if (s.at <= course.from) return ['Nothing of the job was sent.']
  const all = outlinedNames(plan.parts).length
  const named = cut.length > mostTold ? `${cut.length} of ${all} pieces` : cut.join('; ')
  const done = cut.length === 0 ? 'No piece is cut whole for certain.' : `Cut whole for certain: ${named}.`
  if (!underWay) return [done]
  const { first, last } = underWay
  const [begun, ended] = [lineWords(plan, first), lineWords(plan, last)]
  const between = begun === ended ? `Under way: ${begun}.` : `Under way: ${begun}, or what comes as far as ${ended}.`
  const after = plan.lines.indexOf(last) < plan.lines.length - 1 ? ' Nothing behind that was sent.' : ''
  const again = goOn === undefined ? '' : ` and begin again with the first line that may not be whole: ${goingOn(goOn)}`
  return [`${done} ${between}${after}`, `Look at the film,${again}.`]
}

/** HP 07470-90001, chapter 7. */
const plotterErrors: Readonly<Record<number, string>> = {
  1: 'a command that it does not know',
  2: 'a wrong count of numbers',
  3: 'a number out of range',
  4: 'a character that may not stand there',
  5: 'an unknown character set',
  6: 'a place out of range',
  7: 'a buffer that ran over',
  8: 'a stroke with the film not held',
}
