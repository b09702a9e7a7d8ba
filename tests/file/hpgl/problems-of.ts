import { Refusal } from '../../../src/measure/problem.ts'

/** Each problem that a run is refused for, in one line; none where it is not refused. */
export function problemsOf(run: () => unknown): readonly string[] {
  try {
    run()
  } catch (error) {
    if (error instanceof Refusal) return error.problems.map((p) => `${p.code}: ${p.field} is ${p.value}; ${p.limit}`)
    throw error
  }
  return []
}
