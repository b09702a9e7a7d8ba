import { nearestWord } from '../measure/nearest.ts'
import type { Problem } from '../measure/problem.ts'
import { type HandshakeKind, handshakes } from './send/handshake.ts'
import { type AnswerKind, answerKinds } from './send/sender.ts'

const linkKinds = ['serial', 'tcp', 'device', 'queue', 'file'] as const
export type LinkKind = (typeof linkKinds)[number]

/** Where a job is sent and how the line to it behaves. */
export interface LinkAddress {
  readonly kind: LinkKind
  /** path, host, or name of the queue */
  readonly to: string
  /** of a socket, and of a print server that is named */
  readonly port: number | undefined
  /** print server, where it is not this computer's own */
  readonly server: string | undefined
  readonly baud: number
  readonly bits: 7 | 8
  readonly parity: 'none' | 'even' | 'odd'
  readonly stop: 1 | 2
  readonly handshake: HandshakeKind
  /** is the machine told of the handshake before the job? */
  readonly setUp: boolean
  readonly block: number
  readonly buffer: number | undefined
  readonly answers: readonly AnswerKind[]
  /** s */
  readonly patience: number
  readonly ahead: number
}

/** How a link is written, for helps and refusals. */
export const addressForms: readonly string[] = [
  'serial:/dev/ttyUSB0?baud=9600&handshake=xon-xoff',
  'tcp:192.168.1.20:9100',
  'device:/dev/usb/lp0',
  'queue:NAME',
  'file:PATH',
]

/**
 * Longest part of a file that one write hands over where nothing else bounds it, bytes: with a smaller one a socket waits
 * more for the end of each write than it carries. What a stop cannot call back is bounded by `ahead`.
 */
const bigBlock = 65_536
/** The smallest input block a plotter is known to take (HP 07470-90001, page 10-29). */
const plotterBlock = 80

interface Field {
  readonly limit: string
  readonly read: (text: string) => unknown
}

const wholeFrom = (low: number, high: number): Field => ({
  limit: `a whole number from ${low} to ${high}`,
  read: (text) => (/^\d{1,9}$/.test(text) && Number(text) >= low && Number(text) <= high ? Number(text) : undefined),
})
const oneOf = (words: readonly string[]): Field => ({
  limit: words.length > 2 ? `one of ${words.join(', ')}` : words.join(' or '),
  read: (text) => words.find((word) => word === text),
})

const fields: Readonly<Record<string, Field>> = {
  baud: wholeFrom(50, 4_000_000),
  bits: wholeFrom(7, 8),
  parity: oneOf(['none', 'even', 'odd']),
  stop: wholeFrom(1, 2),
  handshake: oneOf(handshakes),
  setup: oneOf(['yes', 'no']),
  block: wholeFrom(16, 1_000_000),
  buffer: wholeFrom(1, 1_000_000_000),
  answers: {
    limit: `some of ${answerKinds.join(', ')}, with + between`,
    read: (text) => {
      const words = text.split('+').map((word) => answerKinds.find((kind) => kind === word))
      return words.includes(undefined) ? undefined : words
    },
  },
  patience: wholeFrom(1, 86_400),
  ahead: wholeFrom(1, 86_400),
}
const ofSerial: readonly string[] = ['baud', 'bits', 'parity', 'stop']

/** Reads `KIND:PLACE?NAME=VALUE&...`. */
export function readLinkAddress(text: string): LinkAddress | Problem {
  const refused = (value: string, limit: string, cure: string): Problem => ({
    code: 'link_address',
    field: 'the link',
    value,
    limit,
    cure,
  })
  const [, kindText = '', rest = ''] = /^([a-z]+):(.*)$/s.exec(text.trim()) ?? []
  const kind = linkKinds.find((each) => each === kindText)
  if (!kind) {
    const near = nearestWord(kindText || text, [...linkKinds])
    const cure = near ? `Did you mean ${near}:?` : `Write it like ${addressForms.join(', ')}.`
    return refused(`"${text}"`, `links are ${linkKinds.join(', ')}, each with : and its place`, cure)
  }
  const mark = rest.indexOf('?')
  const place = mark === -1 ? rest : rest.slice(0, mark)
  const form = addressForms[linkKinds.indexOf(kind)] ?? ''
  if (place === '') return refused(`"${text}"`, 'its place is left out', `Write it like ${form}.`)
  if (/\p{Cc}/u.test(place)) {
    return refused(JSON.stringify(text), 'a place has no line breaks and control characters', 'Take them out.')
  }
  const given: Record<string, unknown> = {}
  for (const pair of mark === -1 ? [] : rest.slice(mark + 1).split('&')) {
    const [name = '', value = ''] = pair.split('=')
    const field = fields[name]
    if (!field) {
      const near = nearestWord(name, Object.keys(fields))
      const cure = near ? `Did you mean ${near}?` : 'Leave it out.'
      return refused(`"${pair}"`, `settings are ${Object.keys(fields).join(', ')}`, cure)
    }
    if (ofSerial.includes(name) && kind !== 'serial') {
      return refused(`"${pair}"`, `only a serial line has a ${name}`, 'Leave it out.')
    }
    given[name] = field.read(value)
    if (given[name] === undefined)
      return refused(`"${pair}"`, `${name} is ${field.limit}`, 'Correct it, or leave it out.')
  }
  const located = locate(kind, place)
  if (!located) return refused(`"${text}"`, 'its place is not one', `Write it like ${form}.`)
  const handshake = (given.handshake as HandshakeKind | undefined) ?? (kind === 'serial' ? 'xon-xoff' : 'none')
  if ((kind === 'queue' || kind === 'file') && (handshake !== 'none' || given.answers !== undefined)) {
    return refused(`"${text}"`, `a ${kind} neither answers nor stops anybody`, 'Leave handshake and answers out.')
  }
  if (handshake === 'hardwire' && kind !== 'serial') {
    return refused(`"${text}"`, 'only a serial line has a wire for it', 'Leave the handshake out.')
  }
  const baud = (given.baud as number | undefined) ?? 9600
  return {
    kind,
    ...located,
    baud,
    bits: (given.bits as 7 | 8 | undefined) ?? 8,
    parity: (given.parity as LinkAddress['parity'] | undefined) ?? 'none',
    stop: (given.stop as 1 | 2 | undefined) ?? 1,
    handshake,
    setUp: given.setup !== 'no',
    block: (given.block as number | undefined) ?? usualBlock(kind, handshake, baud),
    buffer: given.buffer as number | undefined,
    answers: (given.answers as AnswerKind[] | undefined) ?? [],
    patience: (given.patience as number | undefined) ?? 60,
    ahead: (given.ahead as number | undefined) ?? (kind === 'tcp' || kind === 'device' ? 5 : Number.POSITIVE_INFINITY),
  }
}

/**
 * What one write hands over. Where a plotter gives leave, a block of its own; where the line is stopped below us, half a
 * second of it, so that little is left in this computer after a stop.
 */
function usualBlock(kind: LinkKind, handshake: HandshakeKind, baud: number): number {
  if (handshake === 'software') return 1_000_000
  if (handshake === 'enq-ack') return plotterBlock
  return kind === 'serial' ? Math.max(plotterBlock, Math.round(baud / 20)) : bigBlock
}

function locate(kind: LinkKind, place: string): Pick<LinkAddress, 'to' | 'port' | 'server'> | undefined {
  if (kind === 'tcp') {
    const found = /^(\[[\da-fA-F:]+\]|[^\s:/[\]]+):(\d{1,5})$/.exec(place)
    const port = Number(found?.[2])
    if (!found?.[1] || port < 1 || port > 65_535) return undefined
    return { to: found[1].replace(/^\[|\]$/g, ''), port, server: undefined }
  }
  if (kind === 'queue') {
    const found = /^(?:([^\s/:]+)(?::(\d{1,5}))?\/)?([^\s/?#-][^\s/?#]{0,126})$/.exec(place)
    if (!found?.[3] || Number(found[2] ?? 1) < 1 || Number(found[2] ?? 1) > 65_535) return undefined
    return { to: found[3], port: found[2] === undefined ? undefined : Number(found[2]), server: found[1] }
  }
  return { to: place, port: undefined, server: undefined }
}

/** A link in words. */
export function linkWords(link: LinkAddress): string {
  const { kind, to, port, server, baud, bits, parity, stop, handshake } = link
  const hands = handshake === 'none' ? 'no handshake' : `${handshake} handshake`
  switch (kind) {
    case 'serial':
      return `serial line ${to}, ${baud} baud, ${bits} bits, parity ${parity}, ${stop} stop ${stop === 1 ? 'bit' : 'bits'}, ${hands}`
    case 'tcp':
      return `socket ${to}:${port}${handshake === 'none' ? '' : `, ${hands}`}`
    case 'device':
      return `device ${to}${handshake === 'none' ? '' : `, ${hands}`}`
    case 'queue':
      return `print queue ${to}${server === undefined ? '' : ` of ${server}${port === undefined ? '' : `:${port}`}`}`
    case 'file':
      return `file ${to}`
  }
}
