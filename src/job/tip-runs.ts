import type { Machine } from '../machine/profile.ts'
import type { Side } from '../stroke/side.ts'
import type { Operation, Stroke } from '../stroke/stroke.ts'
import { checkTip, type Drive, type TipReport } from '../stroke/tip-check.ts'

/** Strokes that one tool does without another between them. */
export interface TipRun {
  readonly operation: Operation
  readonly report: TipReport
  /** does a blade come down for the first of them that nothing has brought round? */
  readonly unturned: boolean
}

interface Run {
  readonly operation: Operation
  readonly asked: Stroke[]
  readonly drives: Drive[]
}

/**
 * What the tip does on the drives of a file, as they were read back. How a blade stands is not known at first, nor after
 * another tool had its turn; then it is taken to stand as does the most harm.
 */
export function tipRuns({ tip, driven }: Side, drives: readonly Drive[], { tools, blade }: Machine): TipRun[] {
  const runs: Run[] = []
  const asked = tip.values()
  driven.forEach(({ operation, leadIn }, i) => {
    const last = runs.at(-1)
    const goesOn = !leadIn && last && tools[last.operation]?.number === tools[operation]?.number
    const run = goesOn ? last : { operation, asked: [], drives: [] }
    if (run !== last) runs.push(run)
    run.drives.push({ ...(drives[i] as Drive), ...(leadIn ? { leadIn } : {}) })
    if (!leadIn) run.asked.push(asked.next().value as Stroke)
  })
  const trailing = blade.compensate === 'file' ? blade.offset : 0
  return runs.map((run) => {
    const offset = run.operation === 'pen' ? 0 : trailing
    const report = checkTip(run.asked, run.drives, { offset, leastTurn: blade.leastTurn })
    return { operation: run.operation, report, unturned: offset > 0 && run.drives[0]?.leadIn !== true }
  })
}
