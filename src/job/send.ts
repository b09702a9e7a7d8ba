/** The one door to sending for the command, its server and a page: all pure, without a clock or a port. */
export { addressForms, type LinkAddress, linkWords, readLinkAddress } from '../machine/link-address.ts'
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
export { partWords } from '../machine/send/parts.ts'
export type { SendPlan } from '../machine/send/plan.ts'
export { type Course, courseFrom, framePlan, wholeFile } from '../machine/send/resume.ts'
export { type SendEvent, type Sender, type SendOptions, sender, step } from '../machine/send/sender.ts'
export { type Misbehaviour, type SimulatedOptions, usualSimulated } from '../machine/simulated/options.ts'
export { Refusal } from '../measure/problem.ts'
export { timeWords } from '../stroke/pace.ts'
export type { FilmSide } from './as-planned.ts'
export { machineLine } from './machine-words.ts'
export { beginningLines, checkSend, refusalLines, type SendCheck } from './send-check.ts'
export { readSendReport, type SendReport } from './send-report.ts'
