import { connect, createServer } from 'node:net'
import { polyline } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { openLink } from '../../src/link/open-link.ts'
import { runSend } from '../../src/link/run-send.ts'
import { readLinkAddress } from '../../src/machine/link-address.ts'
import { planSend } from '../../src/machine/send/plan.ts'
import { wholeFile } from '../../src/machine/send/resume.ts'
import type { Stroke } from '../../src/stroke/stroke.ts'
import { blockFor, lidBytes, lidPlan, lids, plainly } from '../machine/send/jobs.ts'
import { drained, everyHandshake, runOnWire } from '../machine/send/wire.ts'

/** Sending a file of some MB over a socket against the same bytes piped into one, and how busy a slow line is kept. */
export async function linkFigures(): Promise<void> {
  let ended: () => void = () => undefined
  const server = createServer((socket) => socket.on('data', () => undefined).on('end', () => ended()))
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const found = server.address()
  const port = typeof found === 'object' && found ? found.port : 0
  const rows = Array.from({ length: 40 }, (_, row): Stroke => {
    const points = Array.from({ length: 10_000 }, (_, i) => point(0.05 * i, 10 * row + (i % 2)))
    return { operation: 'kiss', name: `row ${row + 1}`, path: polyline(points, false) }
  })
  const plan = planSend('many.hpgl', lidBytes('strict', rows))
  const timed = async (work: () => Promise<unknown> | undefined) => {
    const start = performance.now()
    const whole = new Promise<void>((resolve) => {
      ended = resolve
    })
    await work()
    await whole
    return performance.now() - start
  }
  const times: { own: number[]; plain: number[] } = { own: [], plain: [] }
  for (let i = 0; i < 6; i++) {
    const own = await timed(async () => {
      const address = readLinkAddress(`tcp:127.0.0.1:${port}?ahead=86400`)
      if ('code' in address) throw new Error(address.limit)
      await runSend(await openLink(address, 'bench'), { plan, course: wholeFile, address }).finished
    })
    const plain = await timed(async () => {
      connect(port, '127.0.0.1').end(plan.bytes)
    })
    if (i === 0) continue
    times.own.push(own)
    times.plain.push(plain)
  }
  server.close()
  const middle = (all: number[]) => all.sort((a, b) => a - b)[2] ?? Number.NaN
  const megabytes = plan.bytes.length / 1e6
  console.log(
    `sending ${megabytes.toFixed(1)} MB over a socket: ${((megabytes * 1000) / middle(times.own)).toFixed(0)} MB/s, ${(middle(times.own) / middle(times.plain)).toFixed(1)} x the time of piping the same bytes`,
  )
  for (const kind of everyHandshake) {
    const options = { ...plainly(lidPlan()), handshake: { kind, block: blockFor(kind) } }
    const long = {
      ...options,
      plan: planSend('lids', lidBytes('strict', Array.from({ length: 12 }, () => lids).flat())),
    }
    const run = runOnWire(long, { buffer: 255, drain: 2000 }, { baud: 9600 })
    drained(run)
    console.log(`9600 baud, ${kind}: the line is busy ${((100 * run.busy) / run.seconds).toFixed(1)} % (aim: 95)`)
  }
}
