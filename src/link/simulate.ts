import { execFile, spawn } from 'node:child_process'
import { constants, openSync } from 'node:fs'
import { rm } from 'node:fs/promises'
import { createServer, Socket } from 'node:net'
import { promisify } from 'node:util'
import { SimulatedMachine } from '../machine/simulated/machine.ts'
import type { SimulatedOptions } from '../machine/simulated/options.ts'
import { codeOf, LinkError, messageOf } from './link.ts'

/** Where a simulated machine can be reached. */
export type SimulatedAt =
  | { readonly kind: 'socket'; readonly port: number }
  /** a serial line without a cable: a pseudo-terminal at a path */
  | { readonly kind: 'terminal'; readonly path: string; readonly baud: number }
  /** a named pipe at a path, which like a device file only takes */
  | { readonly kind: 'device'; readonly path: string }

export interface Simulated {
  readonly machine: SimulatedMachine
  /** what `send` is told after --to */
  readonly address: string
  readonly close: () => Promise<void>
}

/** The machine's end of a line. */
interface Port {
  readonly say: (bytes: Uint8Array) => void
  readonly pause: () => void
  readonly go: () => void
  readonly hangUp: () => void
}

/** Starts a simulated machine in the time of the clock. `onQuiet` is called when it has carried out all that it has. */
export async function simulate(
  at: SimulatedAt,
  options: SimulatedOptions,
  onQuiet: (machine: SimulatedMachine) => void = () => undefined,
): Promise<Simulated> {
  const machine = new SimulatedMachine(options)
  const line = new Line(machine, at.kind === 'terminal' ? at.baud : Number.POSITIVE_INFINITY, onQuiet)
  const opened = await openings[at.kind](at as never, line)
  return {
    machine,
    address: opened.address,
    close: async () => {
      line.close()
      await opened.close()
    },
  }
}

/** Bytes on their way to the machine, at the line's speed and no further than it has room and lets them come. */
class Line {
  readonly #machine: SimulatedMachine
  readonly #perByte: number
  readonly #onQuiet: (machine: SimulatedMachine) => void
  #port: Port | undefined
  #waiting: Uint8Array[] = []
  #nextAt = 0
  #timer: NodeJS.Timeout | undefined
  #isBusy = false
  #isClosed = false

  constructor(machine: SimulatedMachine, baud: number, onQuiet: (machine: SimulatedMachine) => void) {
    this.#machine = machine
    this.#perByte = 10 / baud
    this.#onQuiet = onQuiet
  }

  /** A host is there, perhaps another one: what the last has brought is still taken, and first. */
  connect(port: Port): void {
    this.#port = port
    this.#machine.connected()
  }

  come(bytes: Uint8Array): void {
    if (this.#isClosed || bytes.length === 0) return
    this.#waiting.push(bytes)
    this.#port?.pause()
    this.#go()
  }

  close(): void {
    this.#isClosed = true
    clearTimeout(this.#timer)
  }

  #go(): void {
    clearTimeout(this.#timer)
    const machine = this.#machine
    const now = performance.now() / 1000
    machine.advance(now)
    for (let first = this.#waiting[0]; first && !machine.gone && !machine.stopsHost; first = this.#waiting[0]) {
      const count = this.#count(first, now)
      if (count === 0) break
      machine.hear(first.subarray(0, count), now)
      this.#isBusy = true
      if (count < first.length) this.#waiting[0] = first.subarray(count)
      else this.#waiting.shift()
    }
    const said = machine.replies()
    if (said.length > 0) this.#port?.say(said)
    if (machine.gone) {
      this.#waiting = []
      this.#port?.hangUp()
    } else if (this.#waiting.length === 0) this.#port?.go()
    if (machine.stored === 0 && this.#isBusy && this.#waiting.length === 0) {
      this.#isBusy = false
      this.#onQuiet(machine)
    }
    this.#look(now)
  }

  /** How many of some bytes have come by now: a slow line brings one after the other, a fast one as many as there is room. */
  #count(bytes: Uint8Array, now: number): number {
    if (this.#perByte === 0) return Math.min(bytes.length, this.#machine.free)
    this.#nextAt = Math.max(this.#nextAt, now - 0.05)
    if (this.#nextAt > now) return 0
    this.#nextAt += this.#perByte
    return 1
  }

  #look(now: number): void {
    if (this.#isClosed) return
    const comes = this.#waiting.length > 0 && this.#perByte > 0 && !this.#machine.stopsHost ? this.#nextAt : undefined
    const at = Math.min(comes ?? Number.POSITIVE_INFINITY, this.#machine.wakes ?? Number.POSITIVE_INFINITY)
    if (at === Number.POSITIVE_INFINITY) return
    this.#timer = setTimeout(() => this.#go(), Math.max(1, (at - now) * 1000))
  }
}

interface Opened {
  readonly address: string
  readonly close: () => Promise<void>
}

const openings = { socket: onSocket, terminal: onTerminal, device: onDevice }

async function onSocket({ port }: { readonly port: number }, line: Line): Promise<Opened> {
  const sockets = new Set<Socket>()
  const server = createServer({ noDelay: true }, (socket) => {
    sockets.add(socket)
    socket.on('close', () => sockets.delete(socket))
    socket.on('error', () => undefined)
    // One host at a time, as at a machine; the last is gone when all that it has sent is read.
    if ([...sockets].some((other) => other !== socket && !other.readableEnded)) return socket.destroy()
    line.connect(portOf(socket, () => socket.resetAndDestroy()))
    socket.on('data', (bytes) => line.come(bytes))
  })
  await new Promise<void>((resolve, reject) => {
    server.once('error', (error) => {
      const why = codeOf(error) === 'EADDRINUSE' ? 'another program uses it' : messageOf(error)
      reject(new LinkError(`The port ${port}`, why, 'Give another, or 0 for a free one.'))
    })
    server.listen(port, '127.0.0.1', resolve)
  })
  const address = server.address()
  const own = typeof address === 'object' && address ? address.port : port
  return {
    address: `tcp:127.0.0.1:${own}`,
    close: async () => {
      for (const socket of sockets) socket.destroy()
      await new Promise((resolve) => server.close(resolve))
    },
  }
}

const portOf = (socket: Socket, hangUp: () => void): Port => ({
  say: (bytes) => socket.write(bytes),
  pause: () => socket.pause(),
  go: () => socket.resume(),
  hangUp,
})

/** A pseudo-terminal whose other end is a child's standard input and output. */
async function onTerminal(
  { path, baud }: { readonly path: string; readonly baud: number },
  line: Line,
): Promise<Opened> {
  const child = spawn('socat', ['-d', '-d', `PTY,link=${path},rawer,echo=0`, 'STDIO'], { stdio: 'pipe' })
  const ended = new Promise<void>((resolve) => child.once('close', () => resolve()))
  await new Promise<void>((resolve, reject) => {
    let said = ''
    child.once('error', (error) => {
      const isMissing = codeOf(error) === 'ENOENT'
      const why = isMissing ? 'socat is not installed' : messageOf(error)
      reject(new LinkError(`The terminal ${path}`, why, 'Install socat, or simulate a socket.'))
    })
    child.once('close', () =>
      reject(new LinkError(`The terminal ${path}`, said.trim() || 'socat ended', 'Name another path.')),
    )
    child.stderr.on('data', (bytes) => {
      said = (said + String(bytes)).slice(-2000)
      if (said.includes('starting data transfer loop')) resolve()
    })
  })
  child.stdin.on('error', () => undefined)
  line.connect({
    say: (bytes) => child.stdin.write(bytes),
    pause: () => undefined,
    go: () => undefined,
    hangUp: () => child.kill(),
  })
  child.stdout.on('data', (bytes: Uint8Array) => line.come(bytes))
  return {
    address: `serial:${path}?baud=${baud}`,
    close: async () => {
      child.kill()
      await ended
      await rm(path, { force: true })
    },
  }
}

async function onDevice({ path }: { readonly path: string }, line: Line): Promise<Opened> {
  await promisify(execFile)('mkfifo', [path]).catch((error) => {
    throw new LinkError(
      `The device ${path}`,
      messageOf(error).split('\n').at(-2) ?? 'mkfifo failed',
      'Name another path.',
    )
  })
  // Open for both, so that it does not end with the first that writes.
  const fd = openSync(path, constants.O_RDWR | constants.O_NONBLOCK)
  const socket = new Socket({ fd, readable: true, writable: false })
  socket.on('error', () => undefined)
  line.connect({ ...portOf(socket, () => socket.destroy()), say: () => undefined })
  socket.on('data', (bytes) => line.come(bytes))
  return {
    address: `device:${path}`,
    close: async () => {
      socket.destroy()
      await rm(path, { force: true })
    },
  }
}
