import { timeWords } from '../../stroke/pace.ts'
import { amountAt, lastIndex, type Piece, type SendPlan } from './plan.ts'
import { formatMark, markBehind } from './resume.ts'
import type { Sender } from './sender.ts'

/** Where a run is, for a person who watches; by the estimate where the machine does not say. */
export interface Progress {
  readonly state: 'opening' | 'sending' | 'pausing' | 'paused' | 'stopping' | 'finishing' | 'ended'
  /** the piece under the tool, from 1 */
  readonly piece: number
  readonly pieces: number
  readonly name: string | undefined
  /** mm cut or drawn, and of how much */
  readonly down: number
  readonly ofDown: number
  /** s */
  readonly left: number
  /** bytes handed over, and of how many */
  readonly sent: number
  readonly ofSent: number
}

export function progressOf(s: Sender, now: number): Progress {
  const { plan } = s.options
  const at = reachedBy(s, now)
  const { down, seconds } = amountAt(plan, at)
  const piece = pieceAt(plan, at)
  return {
    state: stateOf(s),
    piece: piece?.number ?? 1,
    pieces: plan.pieces.length,
    name: piece?.name,
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

/** The piece that has begun last when the file is carried out up to a byte. */
function pieceAt(plan: SendPlan, offset: number): Piece | undefined {
  const index = lastIndex(plan.lines, ({ from }) => from < offset)
  return plan.pieces.find((piece) => index < piece.end)
}

/** What was cut when a run has ended, as far as it is known. */
export interface Account {
  /** pieces that are cut whole for certain, or were before this run */
  readonly cut: number
  /** the first that may not be cut whole and the last of which anything was handed over; equal where one was under way */
  readonly underWay: { readonly first: Piece; readonly last: Piece } | undefined
  /** where a new run goes on, where it is known to a point */
  readonly goOn: string | undefined
}

export function accountOf(s: Sender): Account {
  const { plan, course } = s.options
  const cut = lastIndex(plan.pieces, ({ end }) => (plan.lines[end - 1]?.to ?? 0) <= s.surely) + 1
  // Was nothing of the file handed over?
  const last = s.at > course.from ? pieceAt(plan, s.at) : undefined
  const first = plan.pieces[cut]
  const isExact = s.outcome?.how === 'stopped'
  const mark = isExact ? markBehind(plan, s.at) : undefined
  return {
    cut,
    underWay: first && last && first.number <= last.number ? { first, last } : undefined,
    goOn: mark && formatMark(mark),
  }
}

/** How a new run is begun at a place, in the words of whoever shows it; as the command has it. */
const byOption = (place: string): string => `--from ${place}`

/**
 * How a run ended, in plain sentences: what happened, what is cut, and how to go on.
 * @param goingOn how a person is told to begin at a place, such as 4 or 4.2; as behind a colon
 */
export function endingWords(s: Sender, now: number, goingOn = byOption): readonly string[] {
  const { plan } = s.options
  const { how, detail } = s.outcome ?? { how: 'left', detail: '' }
  const of = plan.pieces.length
  const errors = s.errors.map(
    (n) => `It reports error ${n}: ${plotterErrors[n] ?? 'not in its manuals'}. Look at the film.`,
  )
  const all = of === 1 ? 'The piece is' : `All ${of} pieces are`
  switch (how) {
    case 'done': {
      if (of === 0) return ['The outline of the job was traced with the tool up.']
      if (s.confirmed) return [`Done. ${all} cut, and the machine says that it is through.`, ...errors]
      const { left } = progressOf(s, now)
      const wait = left >= 1 ? ` By the estimate the machine goes on for ${timeWords(left)}.` : ''
      return [`All is sent.${wait} It does not say when it is through.`]
    }
    case 'stopped': {
      const { goOn } = accountOf(s)
      const rest = s.confirmed ? '' : ' once the machine has done what it had been given'
      if (goOn === undefined) return [`Stopped behind the last line. The tool is up and parked${rest}.`, ...errors]
      const [piece = goOn] = goOn.split('.')
      const anew = piece === goOn ? '' : `; to cut that piece anew: ${goingOn(piece)}`
      const there = `To go on from there: ${goingOn(goOn)}${anew}.`
      return [`Stopped ${stoppedAt(s, goOn)}. The tool is up and parked${rest}.`, there, ...errors]
    }
    case 'too far':
      return [`Nothing was cut: the machine says that it reaches only ${detail}, and the job lies outside of that.`]
    default:
      return [`${reason(how, detail)}`, ...whereabouts(s, goingOn)]
  }
}

/** @param goOn the place behind the last byte of the file that was handed over */
function stoppedAt({ at, options: { plan, course } }: Sender, goOn: string): string {
  const of = plan.pieces.length
  const next = plan.pieces.findIndex(({ number }) => `${number}` === goOn)
  // Was it at the end of a piece, or before the first?
  const before = plan.pieces[next - 1]
  const piece = next === -1 ? pieceAt(plan, at) : before
  if (!piece || at <= course.from) return 'before a line was begun'
  return `${next === -1 ? 'at' : 'behind'} ${pieceWords(piece, of)}`
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

function whereabouts(s: Sender, goingOn: (place: string) => string): string[] {
  const { plan, course } = s.options
  const of = plan.pieces.length
  const { cut, underWay } = accountOf(s)
  if (s.at <= course.from) return ['Nothing of the job was sent.']
  const done =
    cut === 0 ? 'No piece is cut for certain.' : `${cut === 1 ? 'Piece 1 is' : `Pieces 1 to ${cut} are`} cut.`
  if (!underWay) return [done]
  const { first, last } = underWay
  const between =
    first === last
      ? `${capital(pieceWords(first, of))} was under way.`
      : `${capital(pieceWords(first, of))} was under way, or one as far as piece ${last.number}.`
  const after = last.number < of ? ` Nothing of piece ${last.number + 1} and later was sent.` : ''
  return [
    `${done} ${between}${after}`,
    `Look at the film, and begin again with the first that is not cut whole: ${goingOn(`${first.number}`)}.`,
  ]
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)

export const pieceWords = ({ number, name, operation, pen }: Piece, of: number): string =>
  `piece ${number} of ${of} (${name === undefined ? '' : `${name}, `}${operation ?? `pen ${pen}`})`

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
