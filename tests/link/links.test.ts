import { type ChildProcess, execFileSync, spawn } from 'node:child_process'
import { constants, existsSync, openSync, writeSync } from 'node:fs'
import { chmod, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { createServer, type Server, Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { ReadStream } from 'node:tty'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { LinkError } from '../../src/link/link.ts'
import { openLink } from '../../src/link/open-link.ts'
import { cancelJob, queueNames, waitingJobs } from '../../src/link/queue.ts'
import { runSend } from '../../src/link/run-send.ts'
import { simulate } from '../../src/link/simulate.ts'
import { type LinkAddress, readLinkAddress } from '../../src/machine/link-address.ts'
import { settingUp } from '../../src/machine/send/handshake.ts'
import { planSend } from '../../src/machine/send/plan.ts'
import { wholeFile } from '../../src/machine/send/resume.ts'
import type { Misbehaviour } from '../../src/machine/simulated/options.ts'
import { usualSimulated } from '../../src/machine/simulated/options.ts'
import { lidBytes, lidPlan, star } from '../machine/send/jobs.ts'
import { haveParts } from './parts.ts'

const plan = lidPlan()
/** Some hundred kilobytes: more than a pipe holds. */
const many = planSend('many.hpgl', lidBytes('strict', Array.from({ length: 60 }, () => star).flat()))
const haveTerminals = haveParts({ socat: ['-V', 'socat'] }, 'serial lines')
const haveQueues = haveParts(
  { '/usr/sbin/cupsd': ['-h', 'cups'], lp: ['--help', 'cups-client'], lpadmin: ['--help', 'cups-client'] },
  'print queues',
)

let folder = ''
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-link-'))
})
afterEach(() => rm(folder, { recursive: true, force: true }))

function addressOf(text: string): LinkAddress {
  const read = readLinkAddress(text)
  if ('code' in read) throw new Error(read.limit)
  return read
}

/** The whole of a plan over the link of that name, and how it ended. */
async function sendTo(text: string, sent = plan) {
  const address = addressOf(text)
  const link = await openLink(address, 'lids.hpgl')
  return runSend(link, { plan: sent, course: wholeFile, address }).finished
}

const refusalOf = async (text: string): Promise<string> => {
  const error = await openLink(addressOf(text), 'lids.hpgl').then(
    () => undefined,
    (found: unknown) => found,
  )
  expect(error).toBeInstanceOf(LinkError)
  const { message } = error as LinkError
  expect(message).toMatch(/^The .+ cannot be used: .+\. [A-Z].+[.?]$/)
  return message
}

/** A port of this computer that keeps what comes, until the other side has ended. */
async function receiver(): Promise<{ port: number; server: Server; came: () => Buffer; ended: Promise<void> }> {
  const chunks: Buffer[] = []
  let end: () => void = () => undefined
  const ended = new Promise<void>((resolve) => {
    end = resolve
  })
  const server = createServer((socket) => {
    socket.on('data', (bytes) => chunks.push(bytes))
    socket.on('end', end)
    socket.on('error', end)
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const address = server.address()
  return {
    port: typeof address === 'object' && address ? address.port : 0,
    server,
    came: () => Buffer.concat(chunks),
    ended,
  }
}

describe('a socket', () => {
  test('brings every byte of a file, small or large, and no other', async () => {
    for (const sent of [plan, many]) {
      const { port, server, came, ended } = await receiver()
      const { sender } = await sendTo(`tcp:127.0.0.1:${port}?ahead=86400`, sent)
      await ended
      expect(sender.outcome?.how).toBe('done')
      expect(came().equals(sent.bytes)).toBe(true)
      server.close()
    }
    expect(many.bytes.length).toBeGreaterThan(100_000)
  })

  test('that is refused or not there says what to try', async () => {
    const { port, server } = await receiver()
    await new Promise((resolve) => server.close(resolve))
    expect(await refusalOf(`tcp:127.0.0.1:${port}`)).toContain('nothing listens there')
    expect(await refusalOf('tcp:no-such-name.invalid:9100')).toMatch(/no such name|looked up/)
  })

  test('that is closed by the machine is told at once', async () => {
    const server = createServer((socket) => {
      socket.on('error', () => undefined)
      socket.once('data', () => socket.resetAndDestroy())
    })
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    const address = server.address()
    const { sender } = await sendTo(`tcp:127.0.0.1:${typeof address === 'object' ? address?.port : 0}?answers=errors`)
    expect(sender.outcome?.how).toBe('broken')
    expect(sender.outcome?.detail).toMatch(/broke off|closed/)
    server.close()
  })
})

describe('a plain file', () => {
  test('holds the bytes of the job, and one that is there stays as it is', async () => {
    const file = join(folder, 'out.hpgl')
    const { note } = await sendTo(`file:${file}`)
    expect(note).toContain(file)
    expect((await readFile(file)).equals(plan.bytes)).toBe(true)
    expect(await refusalOf(`file:${file}`)).toContain('one of that name')
    expect(await refusalOf(`file:${join(folder, 'none', 'out.hpgl')}`)).toContain('its folder is not there')
  })
})

describe('a device file', () => {
  test('brings every byte, to one that reads slowly too', async () => {
    const path = join(folder, 'cutter')
    execFileSync('mkfifo', [path])
    const fd = openSync(path, constants.O_RDONLY | constants.O_NONBLOCK)
    const reader = new Socket({ fd, readable: true, writable: false })
    const chunks: Buffer[] = []
    reader.on('data', (bytes: Buffer) => {
      chunks.push(bytes)
      reader.pause()
      setTimeout(() => reader.resume(), 5)
    })
    const ended = new Promise<void>((resolve) => reader.once('end', resolve))
    const { sender } = await sendTo(`device:${path}?ahead=86400`, many)
    await ended
    expect(sender.outcome?.how).toBe('done')
    expect(Buffer.concat(chunks).equals(many.bytes)).toBe(true)
    reader.destroy()
  })

  test('that is none, or that nobody reads, is refused and never waited for', async () => {
    const path = join(folder, 'cutter')
    expect(await refusalOf(`device:${path}`)).toContain('none of that name')
    execFileSync('mkfifo', [path])
    expect(await refusalOf(`device:${path}`)).toContain('nobody reads from it')
    expect(await refusalOf(`device:${path}?answers=errors`)).toContain('only takes')
    await writeFile(join(folder, 'plain'), '')
    expect(await refusalOf(`device:${join(folder, 'plain')}`)).toContain('plain file')
    expect(await refusalOf(`device:${folder}`)).toContain('it is a folder')
    // Root may open everything.
    if (process.getuid?.() === 0) return
    await chmod(path, 0)
    expect(await refusalOf(`device:${path}`)).toContain('this user may not')
  })
})

/** Two ends of a line without a cable. */
async function pairOfTerminals(): Promise<{ host: string; machine: string; socat: ChildProcess }> {
  const [host, machine] = [join(folder, 'host'), join(folder, 'machine')]
  const socat = spawn('socat', [`PTY,link=${host},rawer,echo=0`, `PTY,link=${machine},rawer,echo=0`], {
    stdio: 'ignore',
  })
  await expect.poll(() => existsSync(host) && existsSync(machine)).toBe(true)
  return { host, machine, socat }
}

describe.runIf(haveTerminals)('a serial line', () => {
  for (const handshake of ['none', 'xon-xoff', 'hardwire', 'enq-ack', 'software'] as const) {
    test(`brings the set-up of the handshake and every byte of the file: ${handshake}`, async () => {
      const { host, machine, socat } = await pairOfTerminals()
      const fd = openSync(machine, constants.O_RDWR | constants.O_NOCTTY | constants.O_NONBLOCK)
      const end = new ReadStream(fd)
      const answer = (text: string) => writeSync(fd, text)
      let came = ''
      end.on('data', (bytes: Buffer) => {
        for (const c of bytes.toString('latin1')) {
          came += c
          // Answers as the book has them: room for a block, always the same.
          if (c === '\u0005') answer('\u0006')
          if (came.endsWith('\u001b.B')) answer('200\r')
          // Stops the host after every 100 bytes for a moment.
          if (handshake === 'xon-xoff' && came.length % 100 === 0) {
            answer('\u0013')
            setTimeout(() => !end.destroyed && answer('\u0011'), 20)
          }
        }
      })
      const { sender } = await sendTo(`serial:${host}?baud=38400&handshake=${handshake}`)
      expect(sender.outcome).toEqual({ how: 'done', detail: '' })
      const options = { kind: handshake, block: 80 }
      const text = () => came.split('\u0005').join('').split('\u001b.B').join('')
      await expect.poll(text).toBe(settingUp(options) + new TextDecoder().decode(plan.bytes))
      end.destroy()
      socat.kill()
    })
  }

  test('that is not there, or that another has open, is refused', async () => {
    expect(await refusalOf(`serial:${join(folder, 'none')}`)).toContain('there is none of that name')
    const { host, socat } = await pairOfTerminals()
    const first = await openLink(addressOf(`serial:${host}`), 'lids')
    expect(await refusalOf(`serial:${host}`)).toContain('another program uses it')
    await first.abandon()
    socat.kill()
  })

  test('that goes away in the middle is told', async () => {
    const { host, socat } = await pairOfTerminals()
    const address = addressOf(`serial:${host}?handshake=enq-ack&patience=5`)
    const running = runSend(await openLink(address, 'lids'), { plan, course: wholeFile, address })
    setTimeout(() => socat.kill(), 100)
    const { sender } = await running.finished
    expect(sender.outcome?.how).toMatch(/broken|stuck/)
  })
})

describe('a simulated machine', () => {
  const started = async (at: Parameters<typeof simulate>[0], misbehaviour: Misbehaviour = {}) =>
    simulate(at, { ...usualSimulated, buffer: 255, drain: 3000, misbehaviour })
  const asked = (bytes: Uint8Array) => new TextDecoder().decode(bytes).replace(/O[AEH];/g, '')
  const file = new TextDecoder().decode(plan.bytes)

  for (const settings of ['', '?answers=errors+position', '?handshake=software&answers=errors', '?handshake=enq-ack']) {
    test(`on a socket${settings} cuts the file`, async () => {
      const simulated = await started({ kind: 'socket', port: 0 })
      const { sender } = await sendTo(simulated.address + settings)
      expect(sender.outcome).toEqual({ how: 'done', detail: '' })
      await expect.poll(() => asked(simulated.machine.done)).toBe(file)
      expect(simulated.machine.lost).toBe(0)
      await simulated.close()
    })
  }

  test('with little room takes all of a job before the next', async () => {
    const simulated = await simulate({ kind: 'socket', port: 0 }, { ...usualSimulated, buffer: 64, drain: 4000 })
    for (let job = 0; job < 3; job++) {
      expect((await sendTo(`${simulated.address}?ahead=86400`)).sender.outcome?.how).toBe('done')
    }
    await expect.poll(() => asked(simulated.machine.done)).toBe(file + file + file)
    await simulated.close()
  })

  test('as a device cuts the file', async () => {
    const simulated = await started({ kind: 'device', path: join(folder, 'device') })
    expect((await sendTo(simulated.address)).sender.outcome?.how).toBe('done')
    await expect.poll(() => asked(simulated.machine.done)).toBe(file)
    await simulated.close()
  })

  for (const handshake of ['xon-xoff', 'hardwire', 'enq-ack', 'software']) {
    test.runIf(haveTerminals)(`at the end of a serial line cuts the file: ${handshake}`, async () => {
      const simulated = await started({ kind: 'terminal', path: join(folder, 'tty'), baud: 19_200 })
      const { sender } = await sendTo(`${simulated.address}&handshake=${handshake}&answers=errors+position`)
      expect(sender.outcome).toEqual({ how: 'done', detail: '' })
      expect(sender.confirmed).toBe(true)
      expect(asked(simulated.machine.done)).toBe(file)
      expect(simulated.machine.lost).toBe(0)
      await simulated.close()
    })
  }

  test('that hangs up once is told, and takes the rest after', async () => {
    const simulated = await started({ kind: 'socket', port: 0 }, { disappears: 200 })
    const broken = await sendTo(`${simulated.address}?answers=errors`)
    expect(broken.sender.outcome?.how).toBe('broken')
    expect((await sendTo(`${simulated.address}?answers=errors`)).sender.outcome?.how).toBe('done')
    await simulated.close()
  })
})

/** A print server of its own, with its own folder and port, and a raw queue that leads to a port of this computer. */
async function printServer(
  to: number,
): Promise<{ at: string; server: string; port: number; close: () => Promise<void> }> {
  const place = await mkdtemp(join(tmpdir(), 'midtick-cups-'))
  await chmod(place, 0o755)
  const probe = await receiver()
  await new Promise((resolve) => probe.server.close(resolve))
  const { port } = probe
  const conf = `LogLevel none
MaxLogSize 0
Listen 127.0.0.1:${port}
Browsing Off
WebInterface No
DefaultAuthType None
PreserveJobFiles No
<Location />
  Order allow,deny
  Allow all
</Location>
<Location /admin>
  Order allow,deny
  Allow all
</Location>
<Policy default>
  JobPrivateAccess all
  JobPrivateValues none
  <Limit All>
    Order deny,allow
    Allow all
  </Limit>
</Policy>
`
  const files = `ServerRoot ${place}
CacheDir ${place}/cache
StateDir ${place}/state
RequestRoot ${place}/spool
AccessLog ${place}/access_log
ErrorLog ${place}/error_log
PageLog ${place}/page_log
Printcap
ServerKeychain ${place}/ssl
SystemGroup root
FileDevice Yes
`
  await writeFile(join(place, 'cupsd.conf'), conf)
  await writeFile(join(place, 'cups-files.conf'), files)
  const daemon = spawn(
    '/usr/sbin/cupsd',
    ['-f', '-c', join(place, 'cupsd.conf'), '-s', join(place, 'cups-files.conf')],
    {
      stdio: 'ignore',
    },
  )
  const at = `127.0.0.1:${port}`
  const ended = new Promise<void>((resolve) => daemon.once('close', () => resolve()))
  const admin = (...args: string[]) => execFileSync('lpadmin', ['-h', at, ...args], { stdio: 'pipe' })
  for (let tries = 0; ; tries++) {
    try {
      admin('-p', 'cutter', '-v', `socket://127.0.0.1:${to}`, '-E', '-m', 'raw')
      break
    } catch (error) {
      if (tries > 200) throw error
      await pause(100)
    }
  }
  admin('-p', 'waiting', '-v', `socket://127.0.0.1:${to}`, '-m', 'raw')
  execFileSync('cupsaccept', ['-h', at, 'waiting'], { stdio: 'pipe' })
  return {
    at,
    server: '127.0.0.1',
    port,
    close: async () => {
      daemon.kill()
      await ended
      await rm(place, { recursive: true, force: true })
    },
  }
}

describe.runIf(haveQueues)('a print queue', () => {
  let machine: Awaited<ReturnType<typeof receiver>>
  let printing: Awaited<ReturnType<typeof printServer>>
  beforeAll(async () => {
    machine = await receiver()
    printing = await printServer(machine.port)
  }, 60_000)
  afterAll(async () => {
    await printing.close()
    machine.server.close()
  })

  test('brings every byte to the machine behind it', async () => {
    const { sender, note } = await sendTo(`queue:${printing.at}/cutter`)
    expect(sender.outcome?.how).toBe('done')
    expect(note).toMatch(/The queue has it as cutter-\d+\./)
    await expect.poll(() => machine.came().toString('latin1')).toBe(Buffer.from(plan.bytes).toString('latin1'))
  })

  test('is listed, shows what waits, and lets it be taken out', async () => {
    const server = { server: printing.server, port: printing.port }
    expect((await queueNames(server)).sort()).toEqual(['cutter', 'waiting'])
    expect(await refusalOf(`queue:${printing.at}/cuter`)).toContain('There are cutter, waiting.')
    const { note } = await sendTo(`queue:${printing.at}/waiting`)
    const id = /waiting-\d+/.exec(note ?? '')?.[0] ?? ''
    const waiting = async () => (await waitingJobs(server)).filter((job) => job.id === id)
    expect((await waiting())[0]?.bytes).toBeGreaterThanOrEqual(plan.bytes.length)
    await cancelJob(id, server)
    await expect.poll(waiting).toEqual([])
  })

  test('of no print server says so', async () => {
    const { port, server } = await receiver()
    await new Promise((resolve) => server.close(resolve))
    expect(await refusalOf(`queue:127.0.0.1:${port}/cutter`)).toContain('The print queue')
  })
})
