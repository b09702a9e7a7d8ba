/** Ten thousand jobs through one simulated machine on a socket: none is lost, and memory stays flat. `npm run soak:links`. */
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
const heap: number[] = []
const start = performance.now()
for (let done = 0; done < jobs; done += perMachine) {
  // What a machine has carried out is kept for its drawing, so each has its share of the jobs.
  const simulated = await simulate({ kind: 'socket', port: 0 }, { ...usualSimulated, drain: 1e6 })
  const address = readLinkAddress(
    `${simulated.address}?handshake=${done % 200 === 0 ? 'software' : 'enq-ack'}&patience=5`,
  )
  if ('code' in address) throw new Error(address.limit)
  for (let i = 0; i < perMachine; i++) {
    const { sender } = await runSend(await openLink(address, 'soak'), { plan, course: wholeFile, address }).finished
    if (sender.outcome?.how !== 'done')
      throw new Error(`job ${done + i}: ${sender.outcome?.how} ${sender.outcome?.detail}`)
  }
  const { machine } = simulated
  for (let tries = 0; machine.done.length < perMachine * plan.bytes.length && tries < 1000; tries++) {
    await new Promise((resolve) => setTimeout(resolve, 5))
  }
  if (machine.lost > 0 || machine.done.length !== perMachine * plan.bytes.length) {
    throw new Error(`${machine.done.length} of ${perMachine * plan.bytes.length} bytes arrived`)
  }
  await simulated.close()
  globalThis.gc?.()
  heap.push(process.memoryUsage().heapUsed / 1e6)
}
const part = Math.max(1, Math.floor(heap.length / 4))
const mean = (all: readonly number[]) => all.reduce((a, b) => a + b, 0) / all.length
const [early, late] = [mean(heap.slice(part, 2 * part)), mean(heap.slice(-part))]
console.log(`${jobs} jobs in ${((performance.now() - start) / 1000).toFixed(0)} s, none lost`)
console.log(`heap in the second quarter ${early.toFixed(1)} MB, in the last ${late.toFixed(1)} MB`)
if (late > 1.1 * early + 1) throw new Error('memory grows')
