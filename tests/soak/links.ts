/** Ten thousand jobs through simulated machines on sockets: none is lost, and memory stays flat. `npm run soak:links`. */
import { openLink } from '../../src/link/open-link.ts'
import { runSend } from '../../src/link/run-send.ts'
import { simulate } from '../../src/link/simulate.ts'
import { readLinkAddress } from '../../src/machine/link-address.ts'
import { wholeFile } from '../../src/machine/send/resume.ts'
import { usualSimulated } from '../../src/machine/simulated/options.ts'
import { lidPlan } from '../machine/send/jobs.ts'

const jobs = Number(process.env.JOBS ?? 10_000)
const perMachine = 100
const plan = lidPlan('encoded')
/** Without the usual holding back by the clock: the machine here is a thousand times faster than its pace. */
const settings = ['handshake=software', 'handshake=enq-ack', 'handshake=none', 'handshake=software&answers=errors']
const expected = Buffer.concat(Array.from({ length: perMachine }, () => plan.bytes))
/** Heap, and what lies in buffers beside it, MB. */
const heap: number[] = []
const start = performance.now()

function look(done: number): void {
  globalThis.gc?.()
  const { heapUsed, arrayBuffers, rss } = process.memoryUsage()
  heap.push((heapUsed + arrayBuffers) / 1e6)
  if (done % (jobs / 10) !== 0 && heap.length > 1) return
  const seconds = ((performance.now() - start) / 1000).toFixed(0)
  console.log(`${done} jobs, ${seconds} s: ${heap.at(-1)?.toFixed(2)} MB used, process ${(rss / 1e6).toFixed(0)} MB`)
}

for (let done = 0; done < jobs; done += perMachine) {
  // What a machine has carried out is kept for its drawing, so each has its share of the jobs.
  const simulated = await simulate({ kind: 'socket', port: 0 }, { ...usualSimulated, drain: 1e6 })
  const setting = settings[(done / perMachine) % settings.length]
  const address = readLinkAddress(`${simulated.address}?${setting}&ahead=86400&patience=5`)
  if ('code' in address) throw new Error(address.limit)
  for (let i = 0; i < perMachine; i++) {
    const { sender } = await runSend(await openLink(address, 'soak'), { plan, course: wholeFile, address }).finished
    if (sender.outcome?.how !== 'done')
      throw new Error(`job ${done + i}, ${setting}: ${sender.outcome?.how} ${sender.outcome?.detail}`)
  }
  const { machine } = simulated
  const came = () => Buffer.from(new TextDecoder('latin1').decode(machine.done).replace(/OE;/g, ''), 'latin1')
  for (let tries = 0; !came().equals(expected) && tries < 1000; tries++) {
    await new Promise((resolve) => setTimeout(resolve, 5))
  }
  if (machine.lost > 0 || !came().equals(expected)) {
    throw new Error(`${setting}: ${machine.lost} bytes lost, ${came().length} of ${expected.length} arrived`)
  }
  await simulated.close()
  look(done + perMachine)
}
const part = Math.max(1, Math.floor(heap.length / 4))
const mean = (all: readonly number[]) => all.reduce((a, b) => a + b, 0) / all.length
const [early, late] = [mean(heap.slice(part, 2 * part)), mean(heap.slice(-part))]
console.log(`${jobs} jobs in ${((performance.now() - start) / 1000).toFixed(0)} s, none lost`)
console.log(`memory in the second quarter ${early.toFixed(2)} MB, in the last ${late.toFixed(2)} MB`)
if (late > 1.1 * early + 1) throw new Error('memory grows')
