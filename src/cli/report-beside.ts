import { readFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'

/** The report of a run in the folder of a cut file; undefined where there is none that can be read. */
export async function reportBeside(file: string) {
  const { readSendReport } = await import('../job/send.ts')
  return readSendReport(await readFile(join(dirname(file), 'report.json'), 'utf8').catch(() => ''))
}
