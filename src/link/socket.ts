import { connect, type Socket } from 'node:net'
import type { LinkAddress } from '../machine/link-address.ts'
import { codeOf, type Link, LinkError, messageOf, Teller, within } from './link.ts'

/** ms: to be answered at all, and for the last bytes to leave. */
const connectsWithin = 10_000
const leavesWithin = 30_000

/** A raw TCP socket, as network ports of machines and print servers have. */
export async function openSocket({ to, port = 9100 }: LinkAddress): Promise<Link> {
  const socket = await connected(to, port)
  const teller = new Teller()
  const closed = new Promise<void>((resolve) => socket.on('close', () => resolve()))
  socket.on('data', (bytes) => teller.heard(bytes))
  socket.on('error', (error) => teller.broken(`${to}:${port} ${wordsFor(error)}`))
  socket.on('close', () => teller.broken(`${to}:${port} closed the connection`))
  return {
    answers: true,
    drains: false,
    listen: (listener) => teller.listen(listener),
    write: (bytes) =>
      new Promise((resolve) => {
        socket.write(bytes, (error) => {
          if (error) teller.broken(`${to}:${port} ${wordsFor(error)}`)
          else resolve()
        })
      }),
    finish: async () => {
      let why: string | undefined
      socket.on('error', (error) => {
        why = wordsFor(error)
      })
      teller.quiet()
      socket.end()
      await within(leavesWithin, closed)
      socket.destroy()
      return why === undefined ? undefined : `At the end ${to}:${port} ${why}: the last bytes may not have arrived.`
    },
    abandon: async () => {
      teller.quiet()
      socket.destroy()
      await within(1000, closed)
    },
  }
}

function connected(host: string, port: number): Promise<Socket> {
  return new Promise((resolve, reject) => {
    const socket = connect({ host, port, noDelay: true })
    const what = `The socket ${host}:${port}`
    const timer = setTimeout(() => {
      socket.destroy()
      reject(new LinkError(what, 'it does not answer', 'Is the machine on, and is this its address? Try ping.'))
    }, connectsWithin)
    socket.once('connect', () => {
      clearTimeout(timer)
      socket.removeAllListeners('error')
      resolve(socket)
    })
    socket.once('error', (error) => {
      clearTimeout(timer)
      const [why, cure] = refusals[codeOf(error)] ?? [messageOf(error), 'Look at the address and the network.']
      reject(new LinkError(what, why, cure))
    })
  })
}

const refusals: Readonly<Record<string, readonly [string, string]>> = {
  ECONNREFUSED: ['nothing listens there', 'Is the machine on, and is the port right? Many take jobs at 9100.'],
  ENOTFOUND: ['there is no such name', 'Correct the name, or give the address in numbers.'],
  EAI_AGAIN: ['the name cannot be looked up now', 'Give the address in numbers, or look at the network.'],
  EHOSTUNREACH: ['there is no way to it', 'Is the machine on, and on the same network?'],
  ENETUNREACH: ['there is no network to it', 'Connect this computer to the network of the machine.'],
  EACCES: ['this user may not', 'Ask who looks after this computer.'],
}

const wordsFor = (error: unknown): string => {
  const said: Readonly<Record<string, string>> = {
    ECONNRESET: 'broke off the connection',
    EPIPE: 'closed the connection',
    ETIMEDOUT: 'does not answer any more',
  }
  return said[codeOf(error)] ?? `failed (${messageOf(error)})`
}
