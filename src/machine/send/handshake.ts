/** Who keeps a plotter's buffer from running over (HP 07470-90001, pages 10-12 to 10-39). */
export const handshakes = ['none', 'hardwire', 'xon-xoff', 'enq-ack', 'software'] as const
export type HandshakeKind = (typeof handshakes)[number]

export interface HandshakeOptions {
  readonly kind: HandshakeKind
  /** bytes that are sent at once, 80 where a plotter cannot be asked */
  readonly block: number
}

/** How a handshake stands. Data that only `handshake` functions change. */
export interface Handshake extends HandshakeOptions {
  /** bytes that the plotter is known to have room for; Infinity where it stops the line itself */
  readonly room: number
  /** has it said to wait? */
  readonly held: boolean
  /** is an answer due? */
  readonly asked: boolean
  /** bytes heard that are no whole answer yet */
  readonly heard: string
  /** the most that was ever free in the buffer, as it said; bytes */
  readonly most: number
  /** the least of all bytes sent that it has carried out, counted from the last answer */
  readonly waiting: number
}

const xon = 17
const xoff = 19
const enq = 5
const ack = 6
const esc = '\u001b'
/** Free bytes at which a plotter is told to stop the host: a block and what is on its way. */
const stopsAt = 100
/** An answer that is longer is none. */
const longest = 40

const asks = (kind: HandshakeKind) => kind === 'enq-ack' || kind === 'software'

export const handshake = ({ kind, block }: HandshakeOptions): Handshake => ({
  kind,
  block,
  room: asks(kind) ? 0 : Number.POSITIVE_INFINITY,
  held: false,
  asked: false,
  heard: '',
  most: 0,
  waiting: 0,
})

/** What tells a plotter of the handshake before the first byte of a job; settings that it had before are undone. */
export function settingUp({ kind, block }: HandshakeOptions): string {
  const set: Record<HandshakeKind, string> = {
    none: '',
    hardwire: `${esc}.@;1:`,
    'xon-xoff': `${esc}.I${stopsAt};;${xon}:${esc}.N;${xoff}:`,
    'enq-ack': `${esc}.H${block};${enq};${ack}:`,
    software: '',
  }
  return set[kind] === '' ? '' : `${esc}.R${set[kind]}`
}

/** Bytes that may go now. */
export const allowed = ({ held, room, block }: Handshake): number => (held ? 0 : Math.min(room, block))

/** What is sent to be told of room, and how things stand then; nothing where an answer is due or none is given. */
export function asking(state: Handshake): { readonly state: Handshake; readonly send: string } | undefined {
  if (!asks(state.kind) || state.asked) return undefined
  const send = state.kind === 'enq-ack' ? String.fromCharCode(enq) : `${esc}.B`
  return { state: { ...state, asked: true, heard: '' }, send }
}

/** Bytes of the job, or others that a plotter keeps in its buffer, have gone. */
export const gone = (state: Handshake, count: number): Handshake => ({
  ...state,
  room: state.room - count,
  waiting: state.waiting + count,
})

/** What was heard: how things stand, bytes that answer other questions, and what makes no sense. */
export interface Heard {
  readonly state: Handshake
  readonly rest: string
  readonly rubbish?: string
}

export function hear(state: Handshake, bytes: string): Heard {
  if (state.kind === 'xon-xoff') {
    const last = [...bytes].reduce(
      (held, c) => (c.charCodeAt(0) === xoff ? true : c.charCodeAt(0) === xon ? false : held),
      state.held,
    )
    const rest = [...bytes].filter((c) => c.charCodeAt(0) !== xon && c.charCodeAt(0) !== xoff).join('')
    return { state: { ...state, held: last }, rest }
  }
  if (!state.asked) return { state, rest: bytes }
  return state.kind === 'enq-ack' ? hearAck(state, bytes) : hearFree(state, bytes)
}

function hearAck(state: Handshake, bytes: string): Heard {
  const at = bytes.indexOf(String.fromCharCode(ack))
  if (at === -1) {
    const odd = state.heard + bytes.replace(/[\d,.\r\n-]/g, '')
    if (odd.length > longest) return { state, rest: '', rubbish: odd }
    return { state: { ...state, heard: odd }, rest: bytes }
  }
  const rest = bytes.slice(0, at) + bytes.slice(at + 1)
  return { state: { ...state, asked: false, heard: '', room: state.block }, rest }
}

/** A number of free bytes and a carriage return. An answer of several numbers was asked for by others. */
function hearFree(state: Handshake, bytes: string): Heard {
  const all = state.heard + bytes
  const end = all.indexOf('\r')
  if (end === -1) {
    if (all.length > longest) return { state, rest: '', rubbish: all }
    return { state: { ...state, heard: all }, rest: '' }
  }
  const text = all.slice(0, end).trim()
  if (/^-?[\d.]+,/.test(text)) {
    const others = hearFree({ ...state, heard: '' }, all.slice(end + 1))
    return { ...others, rest: `${text}\r${others.rest}` }
  }
  if (!/^\d{1,8}$/.test(text)) return { state, rest: '', rubbish: all }
  const room = Number(text)
  const most = Math.max(state.most, room)
  return {
    state: { ...state, asked: false, heard: '', room, most, waiting: most - room },
    rest: all.slice(end + 1),
  }
}
