import type { FileToSend } from '../../job/preview-data.ts'
import type { RunOrder } from './run.ts'

export type Sending = typeof import('../../job/send-run.ts')

/** What is sent where, from a place of the job on, or only its outline with the tool up. */
export function orderOf(
  file: string,
  { courseFrom, framePlan, readLinkAddress, readMark, refusalLines, Refusal, wholeFile }: Sending,
  { plan }: FileToSend,
  to: string,
  from: string | undefined,
  isFrame: boolean,
): RunOrder | { readonly problems: readonly string[] } {
  const address = readLinkAddress(to)
  if ('code' in address) return { problems: refusalLines(new Refusal([address])) }
  if (isFrame) return { file, plan: framePlan(plan), course: wholeFile, address }
  if (from === undefined) return { file, plan, course: wholeFile, address }
  try {
    const mark = readMark(from, plan)
    if ('code' in mark) return { problems: refusalLines(new Refusal([mark])) }
    return { file, plan, course: courseFrom(plan, mark), address }
  } catch (error) {
    return { problems: refusalLines(error) }
  }
}
