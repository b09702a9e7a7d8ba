import type { Box } from '../geometry/bounds.ts'
import type { Problem } from '../measure/problem.ts'
import { type Machine, reachOf } from './profile.ts'

/** A place may lie this far outside for rounding, mm. */
const slack = 0.02

/** What leaves the machine's reach, or nothing. `box` is round all of it, mm on the sheet. */
export function reachProblems(field: string, { low, high }: Box, machine: Machine, cure: string): Problem[] {
  const { low: least, high: most } = reachOf(machine)
  const fits =
    low.x >= least.x - slack && low.y >= least.y - slack && high.x <= most.x + slack && high.y <= most.y + slack
  if (fits) return []
  const mm = (x: number, y: number) => `${x.toFixed(1)}, ${y.toFixed(1)}`
  const value = `from ${mm(low.x, low.y)} to ${mm(high.x, high.y)} mm`
  const limit = `${machine.name} reaches from ${mm(least.x, least.y)} to ${mm(most.x, most.y)} mm`
  return [{ code: 'beyond_reach', field, value, limit, cure }]
}
