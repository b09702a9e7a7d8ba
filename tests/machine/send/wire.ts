import type { HandshakeKind } from '../../../src/machine/send/handshake.ts'
import { type SendEvent, type Sender, type SendOptions, sender, step } from '../../../src/machine/send/sender.ts'
import { SimulatedMachine } from '../../../src/machine/simulated/machine.ts'
import { type SimulatedOptions, usualSimulated } from '../../../src/machine/simulated/options.ts'

export interface Run {
  readonly sender: Sender
  readonly machine: SimulatedMachine
  /** s from the first byte to the end, and of these the s in which a byte was on the way to the machine */
  readonly seconds: number
  readonly busy: number
  readonly events: number
}

export interface Wire {
  /** bits a second; ten for a byte */
  readonly baud: number
  /** what the person does, and when, s */
  readonly person?: readonly { readonly at: number; readonly event: SendEvent }[]
  /** s: a run that goes on for longer hangs */
  readonly longest?: number
}

/**
 * A sender and a simulated machine on a serial line in a time of their own: a byte after the other at the line's speed,
 * answers at once. The machine's own line stops the host between bytes, where that is the handshake.
 */
export function runOnWire(options: SendOptions, simulated: Partial<SimulatedOptions>, wire: Wire): Run {
  const machine = new SimulatedMachine({ ...usualSimulated, ...simulated })
  const perByte = 10 / wire.baud
  const person = [...(wire.person ?? [])]
  const longest = wire.longest ?? 100_000
  let now = 0
  let state = sender(options, now)
  let wake: number | undefined
  let out: Uint8Array = new Uint8Array(0)
  let sentOf = 0
  let nextByteAt = 0
  let busy = 0
  let events = 0
  const tell = (event: SendEvent) => {
    events++
    const done = step(state, event, now)
    state = done.sender
    wake = done.wake
    if (done.write) {
      out = done.write
      sentOf = 0
      nextByteAt = Math.max(nextByteAt, now + perByte)
    }
  }
  const hears = () => {
    const said = machine.replies()
    if (said.length > 0) tell({ kind: 'heard', bytes: said })
  }
  const isStopped = () => options.handshake.kind === 'hardwire' && !machine.ready
  tell({ kind: 'time' })
  while (state.phase !== 'ended') {
    const byteAt = sentOf < out.length && !isStopped() ? Math.max(nextByteAt, now) : undefined
    const next = Math.min(
      byteAt ?? Number.POSITIVE_INFINITY,
      machine.wakes ?? Number.POSITIVE_INFINITY,
      wake ?? Number.POSITIVE_INFINITY,
      person[0]?.at ?? Number.POSITIVE_INFINITY,
    )
    if (next === Number.POSITIVE_INFINITY) throw new Error(`nothing more happens at ${now} s in ${state.phase}`)
    if (next > longest) throw new Error(`still ${state.phase} after ${longest} s`)
    now = Math.max(now, next)
    machine.advance(now)
    hears()
    if (person[0] && person[0].at <= now) tell((person.shift() as { event: SendEvent }).event)
    else if (byteAt !== undefined && byteAt <= now) {
      machine.hear(out.subarray(sentOf, sentOf + 1), now)
      busy += perByte
      sentOf++
      nextByteAt = now + perByte
      hears()
      if (machine.gone) tell({ kind: 'broken', why: 'the machine hung up' })
      else if (sentOf === out.length) tell({ kind: 'written' })
    } else if (wake !== undefined && wake <= now) tell({ kind: 'time' })
  }
  return { sender: state, machine, seconds: now, busy, events }
}

/** Lets the machine carry out what it has. */
export function drained({ machine }: Run): SimulatedMachine {
  machine.advance(Number.POSITIVE_INFINITY)
  return machine
}

export const everyHandshake: readonly HandshakeKind[] = ['none', 'hardwire', 'xon-xoff', 'enq-ack', 'software']
