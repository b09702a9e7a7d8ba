/** The door to a run, for whoever has had its file checked: all pure, without a clock or a port. */
export { type LinkAddress, readLinkAddress } from '../machine/link-address.ts'
export {
  type Ending,
  endingOf,
  type LineState,
  lineStates,
  newsOf,
  type Progress,
  progressOf,
  type Reach,
  type RunNews,
} from '../machine/send/account.ts'
export { formatMark, readMark } from '../machine/send/mark.ts'
export type { SendPlan } from '../machine/send/plan.ts'
export { type Course, courseFrom, framePlan, wholeFile } from '../machine/send/resume.ts'
export { Refusal } from '../measure/problem.ts'
export { timeWords } from '../stroke/pace.ts'
export { beginningLines, refusalLines, type SendCheck } from './send-check.ts'
