import { point } from '../../geometry/point.ts'
import { toMachine } from '../axes.ts'
import {
  allowed,
  asking,
  gone,
  type Handshake,
  type HandshakeOptions,
  handshake,
  hear,
  settingUp,
} from './handshake.ts'
import { amountAt, lastIndex, type SendPlan } from './plan.ts'
import { type Course, lifting, lowering, parking } from './resume.ts'

/** What a machine can be asked: where its tool is, how far it reaches, and what it could not do. */
export const answerKinds = ['position', 'limits', 'errors'] as const
export type AnswerKind = (typeof answerKinds)[number]

export interface SendOptions {
  readonly plan: SendPlan
  readonly course: Course
  readonly handshake: HandshakeOptions
  /** is the machine told of the handshake first? */
  readonly setUp: boolean
  /** bytes that the machine's buffer holds, where it is known */
  readonly buffer?: number | undefined
  /** what it answers */
  readonly answers: readonly AnswerKind[]
  /** does it know the escape sequences of a serial line? */
  readonly asksLine: boolean
  /** does a finished write mean that the bytes are on the line, and wait nowhere else? */
  readonly drains: boolean
  /** s without any progress before a run is given up, beside three times what the machine has to do meanwhile */
  readonly patience: number
  /** s of cutting, by the estimate, that may be handed over ahead of the clock; Infinity where the line is slow itself */
  readonly ahead: number
}

type Ending = 'done' | 'stopped' | 'left' | 'broken' | 'stuck' | 'silent' | 'rubbish' | 'machine error' | 'too far'

/** How a run ended, and why as far as more is known. */
export interface Outcome {
  readonly how: Ending
  readonly detail: string
}

export interface Sender {
  readonly options: SendOptions
  readonly phase: 'opening' | 'sending' | 'parking' | 'confirming' | 'ended'
  readonly hold: 'going' | 'pausing' | 'paused'
  readonly stopping: boolean
  /** bytes of the file that were handed to the link, from the file's start */
  readonly at: number
  /** bytes of the file, from its start, that the machine has carried out for certain */
  readonly surely: number
  /** the same, when the machine last said that its line was without faults */
  readonly clean: number
  readonly shake: Handshake
  /** commands of our own that come before anything else, and what is awaited when they are gone */
  readonly inserts: readonly Insert[]
  /** is the last byte handed over inside a command? */
  readonly inside: boolean
  /** was the tool lifted for a pause, to be lowered after it? */
  readonly lifted: boolean
  /** is a write under way, and of what? */
  readonly busy: 'data' | 'control' | undefined
  /** the byte behind which the machine was asked where it is, while it has not answered, and behind which it last was */
  readonly placeDue: number | undefined
  readonly placeAt: number
  /** answers that are due, in order, and until when */
  readonly wants: readonly Wanted[]
  readonly wantsBy: number
  readonly heard: string
  /** s: when there last was progress, and when the first byte went; time of pauses is taken out */
  readonly since: number
  readonly clock: number
  readonly pausedAt: number
  /** when the machine may be asked for room again, and when it was asked last, s */
  readonly askAt: number
  readonly askedAt: number
  readonly asks: number
  readonly confirmed: boolean
  readonly errors: readonly number[]
  readonly place: string | undefined
  readonly outcome: Outcome | undefined
}

interface Insert {
  readonly bytes: Uint8Array
  readonly wants: readonly Wanted[]
}

type Wanted = AnswerKind | 'old errors' | 'serial'

export type SendEvent =
  | { readonly kind: 'time' | 'written' | 'pause' | 'resume' | 'stop' | 'leave' }
  | { readonly kind: 'heard'; readonly bytes: Uint8Array }
  | { readonly kind: 'broken'; readonly why: string }

/** What comes of an event: bytes to write, of which one lot is under way at a time, and when to look again, s. */
export interface Step {
  readonly sender: Sender
  readonly write?: Uint8Array
  readonly wake?: number
}

/** s: for an answer that comes at once, and between two questions for room. */
const answersWithin = 10
const askAgain = 0.05
/** A machine is asked for errors of its line with every so many questions for room. */
const errorsEvery = 8
/** A machine is taken to be up to a quarter faster than its profile says, so that it need not wait for data. */
const fastest = 1.25
/** s of cutting, at most and as a part of what may be ahead, after which a machine that answers is asked where it is. */
const placeEvery = 2.5
const placePart = 0.25
/** Longest answer, bytes. */
const longestAnswer = 120

const semicolon = 0x3b
const ascii = (text: string) => new TextEncoder().encode(text)
const esc = '\u001b'

export function sender(options: SendOptions, now: number): Sender {
  const { course } = options
  return {
    options,
    phase: 'opening',
    hold: 'going',
    stopping: false,
    at: course.from,
    surely: course.from,
    clean: course.from,
    shake: handshake(options.handshake),
    inserts: [],
    inside: course.head.length > 0 && course.head.at(-1) !== semicolon,
    lifted: false,
    busy: undefined,
    placeDue: undefined,
    placeAt: course.from,
    wants: [],
    wantsBy: 0,
    heard: '',
    since: now,
    clock: now,
    pausedAt: 0,
    askAt: now,
    askedAt: now,
    asks: 0,
    confirmed: false,
    errors: [],
    place: undefined,
    outcome: undefined,
  }
}

/** One event at a time, seconds of any clock that does not go back. */
export function step(before: Sender, event: SendEvent, now: number): Step {
  if (before.phase === 'ended') return { sender: before }
  return next(taken(before, event, now), now)
}

function taken(s: Sender, event: SendEvent, now: number): Sender {
  switch (event.kind) {
    case 'time':
      return s
    case 'written':
      return surer({ ...s, busy: undefined, since: s.busy === 'data' ? now : s.since })
    case 'heard':
      return heard(s, new TextDecoder('latin1').decode(event.bytes), now)
    case 'pause':
      return s.hold === 'going' && s.phase === 'sending' ? { ...s, hold: 'pausing' } : s
    case 'resume':
      return resumed(s, now)
    case 'stop':
      return { ...s, stopping: true, since: now }
    case 'leave':
      return ended(s, 'left', 'it was left at once')
    case 'broken':
      return ended(s, 'broken', event.why)
  }
}

function resumed(s: Sender, now: number): Sender {
  if (s.hold === 'going') return s
  const waited = s.hold === 'paused' ? now - s.pausedAt : 0
  const going = { ...s, hold: 'going' as const, lifted: false, since: now, clock: s.clock + waited }
  return s.lifted ? { ...going, inserts: [...s.inserts, { bytes: lowering, wants: [] }] } : going
}

/** What a line's own answers tell of bytes carried out. */
function surer(s: Sender): Sender {
  const { handshake: by, buffer, drains } = s.options
  if (by.kind === 'software' || by.kind === 'enq-ack' || buffer === undefined || !drains) return s
  return { ...s, surely: Math.max(s.surely, s.at - buffer) }
}

function heard(s: Sender, bytes: string, now: number): Sender {
  const { state, rest, rubbish } = hear(s.shake, bytes)
  if (rubbish !== undefined) return ended(s, 'rubbish', shown(rubbish))
  const told = s.shake.asked && !state.asked
  let after: Sender = { ...s, shake: state }
  if (told) {
    const { buffer } = s.options
    const waiting =
      state.kind === 'software'
        ? Math.max(state.waiting, (buffer ?? 0) - state.room)
        : buffer === undefined
          ? Number.POSITIVE_INFINITY
          : Math.max(0, buffer - state.block)
    after = { ...after, surely: Math.max(s.surely, s.at - waiting) }
  }
  if (s.wants.length === 0 && s.placeDue === undefined) return after
  return answered({ ...after, heard: s.heard + rest }, now)
}

/** Whole answers, each ended by a carriage return. */
function answered(s: Sender, now: number): Sender {
  const end = s.heard.search(/[\r\n]/)
  if (s.wants.length === 0 && s.placeDue === undefined) return { ...s, heard: '' }
  if (end === -1) return s.heard.length > longestAnswer ? ended(s, 'rubbish', shown(s.heard)) : s
  const text = s.heard.slice(0, end).trim()
  const rest = { ...s, heard: s.heard.slice(end + 1) }
  if (text === '') return answered(rest, now)
  const numbers = text.split(',').map(Number)
  const isNumbers = numbers.every(Number.isFinite)
  // Asked while the job went on: it comes before any later answer of its kind.
  if (s.placeDue !== undefined && isNumbers && numbers.length === 3) return answered(placed(rest, s.placeDue, now), now)
  const [want, ...others] = s.wants
  if (want === undefined || !isNumbers || numbers.length !== counts[want]) return ended(s, 'rubbish', shown(text))
  // That its line is in order does not mean that it goes on.
  const after: Sender = { ...rest, wants: others, since: want === 'serial' ? s.since : now }
  return answered(believed(after, want, numbers), now)
}

const counts: Readonly<Record<Wanted, number>> = { position: 3, limits: 4, errors: 1, 'old errors': 1, serial: 1 }

/** The machine has come to a byte: what is handed over is counted from there on. */
function placed(s: Sender, at: number, now: number): Sender {
  const { plan, course } = s.options
  const clock = now - (amountAt(plan, at).seconds - amountAt(plan, course.from).seconds)
  return { ...s, placeDue: undefined, surely: Math.max(s.surely, at), clock, since: now }
}

function believed(s: Sender, want: Wanted, numbers: readonly number[]): Sender {
  const [n = 0] = numbers
  if (want === 'serial') {
    if (n === 0) return { ...s, clean: s.surely }
    return ended({ ...s, surely: s.clean }, 'machine error', serialErrors[n] ?? `it reports error ${n} of its line`)
  }
  if (want === 'limits') return insideLimits(s, numbers)
  if (want === 'old errors') return s
  // An answer that was queued behind the last command shows that all before it is done.
  const after = { ...s, confirmed: true, surely: s.at }
  if (want === 'position') return { ...after, place: `${numbers[0]}, ${numbers[1]}` }
  return n === 0 ? after : { ...after, errors: [...s.errors, n] }
}

/** Refuses a job that lies outside what the machine itself says it reaches; a unit is let through for rounding. */
function insideLimits(s: Sender, [left = 0, low = 0, right = 0, high = 0]: readonly number[]): Sender {
  const { box, machine } = s.options.plan
  const corners = [box.low, box.high].map((p) => (machine ? toMachine(machine, p) : point(p.x * 40, p.y * 40)))
  const out = corners.some(({ x, y }) => x < left - 1 || x > right + 1 || y < low - 1 || y > high + 1)
  if (!out) return s
  return ended(s, 'too far', `from ${left}, ${low} to ${right}, ${high} units`)
}

/** HP 07470-90001 and its kin; 15 and 16 mean that data is lost. */
const serialErrors: Readonly<Record<number, string>> = {
  10: 'it was asked while it still answered',
  11: 'it got an escape sequence that it does not know',
  12: 'it got an escape sequence with a bad byte',
  13: 'it got an escape sequence with a number out of range',
  14: 'it got an escape sequence with too many numbers',
  15: 'it got bytes that were garbled on the line',
  16: 'its buffer ran over and data was lost',
}

const ended = (s: Sender, how: Ending, detail: string): Sender => ({ ...s, phase: 'ended', outcome: { how, detail } })

/** What is to be done now. */
function next(s: Sender, now: number): Step {
  if (s.phase === 'ended') return { sender: s }
  if (s.busy) return waiting(s, now)
  if (s.wants.length > 0) return awaited(s, now)
  if (s.inserts.length > 0) return inserted(s, now)
  switch (s.phase) {
    case 'opening':
      return opened(s, now)
    case 'sending':
      return sent(s, now)
    case 'parking':
      return confirming(s, now)
    case 'confirming':
      return { sender: done(s) }
  }
}

/** How long nothing may happen, s: what the machine has in its buffer takes its time. */
function patienceOf(s: Sender): number {
  const { plan, patience, buffer } = s.options
  const from = Math.max(s.surely, s.at - (buffer ?? 1 << 14))
  return patience + 3 * (amountAt(plan, s.at).seconds - amountAt(plan, from).seconds)
}

/** Nothing can be done until something is heard or a write is done, or patience is at its end. */
function waiting(s: Sender, now: number): Step {
  const isAnswerDue = s.shake.asked && s.shake.kind === 'software'
  const until = isAnswerDue ? s.askedAt + answersWithin : s.since + patienceOf(s)
  if (now < until) return { sender: s, wake: until }
  if (isAnswerDue) return { sender: ended(s, 'silent', 'it did not say how much room it has') }
  return { sender: ended(s, 'stuck', `it took nothing for ${Math.round(now - s.since)} s`) }
}

function awaited(s: Sender, now: number): Step {
  if (now < s.wantsBy) return { sender: s, wake: s.wantsBy }
  // At the end an answer is welcome and not needed.
  if (s.phase === 'confirming') return { sender: done(s) }
  return { sender: ended(s, 'silent', 'it did not answer') }
}

const done = (s: Sender): Sender =>
  ended({ ...s, wants: [] }, s.stopping && s.at < s.options.plan.bytes.length ? 'stopped' : 'done', '')

function write(s: Sender, bytes: Uint8Array, busy: 'data' | 'control', now: number): Step {
  const sender = { ...s, busy, since: busy === 'data' ? now : s.since }
  return { sender, write: bytes, wake: now + patienceOf(sender) }
}

function opened(s: Sender, now: number): Step {
  const { setUp, answers, handshake: by, course } = s.options
  const wants: Wanted[] = []
  if (answers.includes('errors')) wants.push('old errors')
  if (answers.includes('limits')) wants.push('limits')
  const inserts = [asksFor(wants), { bytes: course.head, wants: [] }].filter(({ bytes }) => bytes.length > 0)
  const after: Sender = { ...s, phase: 'sending', inserts }
  const control = setUp ? settingUp(by) : ''
  return control === '' ? next(after, now) : write(after, ascii(control), 'control', now)
}

const commandFor: Readonly<Record<Wanted, string>> = {
  'old errors': 'OE;',
  errors: 'OE;',
  limits: 'OH;',
  position: 'OA;',
  serial: `${esc}.E`,
}

const asksFor = (wants: readonly Wanted[], waits = true): Insert => ({
  bytes: ascii(wants.map((want) => commandFor[want]).join('')),
  wants: waits ? wants : [],
})

/** As much of the first insert as there is room for. */
function inserted(s: Sender, now: number): Step {
  const [first, ...others] = s.inserts
  if (!first) return { sender: s }
  const count = Math.min(allowed(s.shake), first.bytes.length)
  if (count <= 0) return roomAsked(s, now)
  // A question goes whole, so that its answer cannot come before it is awaited.
  if (first.wants.length > 0 && count < first.bytes.length) {
    return roomAsked({ ...s, shake: { ...s.shake, room: 0 }, askAt: now + askAgain }, now)
  }
  const rest = first.bytes.subarray(count)
  const shake = gone(s.shake, count)
  const inserts = rest.length > 0 ? [{ ...first, bytes: rest }, ...others] : others
  const wants = rest.length > 0 ? [] : first.wants
  const after = { ...s, shake, inserts, wants, wantsBy: now + patienceOf(s) }
  return write(after, first.bytes.subarray(0, count), 'data', now)
}

function sent(s: Sender, now: number): Step {
  const { plan, course, ahead } = s.options
  if (!s.inside && s.stopping) {
    return next({ ...s, phase: 'parking', inserts: [{ bytes: parking(plan), wants: [] }] }, now)
  }
  if (!s.inside && s.hold === 'pausing') return paused(s, now)
  if (s.hold === 'paused') return { sender: s }
  if (s.at >= plan.bytes.length) return confirming(s, now)
  const isAsked = s.options.answers.includes('position')
  const handed = amountAt(plan, s.at).seconds
  const every = Math.min(placeEvery, placePart * ahead)
  if (isAsked && !s.inside && s.placeDue === undefined && handed - amountAt(plan, s.placeAt).seconds > every) {
    return next({ ...s, placeDue: s.at, placeAt: s.at, inserts: [asksFor(['position'], false)] }, now)
  }
  const until = isAsked
    ? amountAt(plan, s.surely).seconds + ahead
    : amountAt(plan, course.from).seconds + ahead + (now - s.clock) * fastest
  if (handed > until && !s.inside) {
    if (isAsked) return waiting(s, now)
    return { sender: { ...s, since: now }, wake: now + (handed - until) / fastest }
  }
  return fileSent(s, until, now)
}

function paused(s: Sender, now: number): Step {
  const { plan } = s.options
  const lifted = plan.downAt[lastIndex(plan.ends, (end) => end <= s.at)] === 1
  const inserts = lifted ? [{ bytes: lifting, wants: [] }] : []
  return next({ ...s, hold: 'paused', pausedAt: now, lifted, inserts }, now)
}

/**
 * Whole commands as far as there is room for them and time, by the estimate, `until` s; a part of one only where it is
 * longer than there can be room for.
 */
function fileSent(s: Sender, until: number, now: number): Step {
  const { plan, buffer } = s.options
  const { shake } = s
  const count = allowed(shake)
  if (count <= 0) return roomAsked(s, now)
  const last = lastIndex(plan.ends, (end) => end <= s.at)
  const length = plan.bytes.length
  const end = plan.ends[last + 1] ?? length
  const fits = (each: number) => each <= s.at + count && (each <= end || amountAt(plan, each).seconds <= until)
  const most = s.at + count >= length && fits(length) ? length : (plan.ends[lastIndex(plan.ends, fits)] ?? 0)
  const isShort = s.hold === 'pausing' || s.stopping
  let to = isShort ? Math.min(end, s.at + count) : most
  if (to <= s.at || (isShort && to < end)) {
    const roomAtMost = shake.kind === 'software' ? Math.max(buffer ?? 0, shake.most) : shake.block
    if (end - s.at <= roomAtMost) {
      // Not enough room for the command yet: it is asked again at once where something was sent since, else a little later.
      const askAt = s.since > s.askedAt ? now : now + askAgain
      return roomAsked({ ...s, shake: { ...shake, room: 0 }, askAt }, now)
    }
    to = Math.min(end, s.at + count)
  }
  const after = { ...s, at: to, inside: to < end, shake: gone(shake, to - s.at) }
  return write(after, plan.bytes.subarray(s.at, to), 'data', now)
}

function roomAsked(s: Sender, now: number): Step {
  if (now - s.since > patienceOf(s)) return waiting(s, now)
  if (s.shake.kind === 'software' && now < s.askAt && !s.shake.asked) return { sender: s, wake: s.askAt }
  if (s.shake.kind === 'software' && s.options.answers.includes('errors') && s.asks % errorsEvery === errorsEvery - 1) {
    return lineAsked({ ...s, asks: s.asks + 1 }, now)
  }
  const asked = asking(s.shake)
  if (!asked) return waiting(s, now)
  const after = { ...s, shake: asked.state, asks: s.asks + 1, askedAt: now, askAt: now + askAgain }
  return write(after, ascii(asked.send), 'control', now)
}

/** All is handed over: what the machine answers now comes when it is through with it. */
function confirming(s: Sender, now: number): Step {
  const { answers } = s.options
  const wants = (['position', 'errors'] as const).filter((want) => answers.includes(want))
  if (wants.length === 0) return { sender: done(s) }
  const after: Sender = { ...s, phase: 'confirming', inserts: [asksFor(wants)] }
  return answers.includes('errors') && s.options.asksLine ? lineAsked(after, now) : next(after, now)
}

/** Asks for faults of the line, which the machine answers at once. */
function lineAsked(s: Sender, now: number): Step {
  return write({ ...s, wants: ['serial'], wantsBy: now + answersWithin }, ascii(commandFor.serial), 'control', now)
}

/** A few bytes as text, with what cannot be seen by number. */
const shown = (text: string): string => JSON.stringify(text.slice(0, 24))
