import type { Parts } from '../measure/fields.ts'

/**
 * Commands that mark the film or change what later coordinates mean; HP-GL and HP-GL/2 have these of both kinds.
 * Files are checked by reading them back against what was asked, so nothing may stand before that is not of the job.
 */
const ofTheJob: readonly string[] = [
  ...['PD', 'PE', 'AA', 'AR', 'AT', 'RT', 'BR', 'BZ', 'CI', 'EA', 'ER', 'EW', 'EP', 'FP', 'LB', 'RA', 'RR', 'SM', 'WG'],
  ...['PR', 'SC', 'IP', 'IR', 'RO', 'PM', 'IN', 'DF'],
]

/**
 * What is wrong with commands to be sent as they are, if anything. Printable ASCII alone gets through: a control byte
 * can end a label, and an escape sequence acts at once on a serial line and is printed or cut on any other link, so
 * settings of the line belong to the link and not into a file.
 */
export function commandProblem(text: string): Parts | undefined {
  const characters = [...text]
  const odd = characters.findIndex((c) => c < ' ' || c > '~')
  if (odd >= 0) {
    const code = characters[odd]?.codePointAt(0) ?? 0
    const name = code === 27 ? 'an escape byte' : code < 32 || code === 127 ? `control byte ${code}` : 'a letter'
    return {
      code: 'control_byte',
      value: `text with ${name} at character ${odd + 1}`,
      limit: 'commands are printable ASCII on one line',
      cure: 'Take it out; settings of a serial line are not part of a cut file.',
    }
  }
  if (text !== '' && !text.endsWith(';')) {
    return {
      code: 'open_command',
      value: `"${text.slice(-20)}" at its end`,
      limit: 'every command ends with ;',
      cure: 'Add a ; at the end.',
    }
  }
  // A machine reads letters by twos, whatever stands between them: SP1PD0,0 and P D 0,0 are drawn too.
  const found = text
    .replace(/ /g, '')
    .toUpperCase()
    .match(/[A-Z]{2}/g)
    ?.find((name) => ofTheJob.includes(name))
  if (found === undefined) return undefined
  return {
    code: 'job_command',
    value: `text with the command ${found}`,
    limit: 'only commands that neither mark the film nor change what coordinates mean can stand here',
    cure: `Take ${found} out; units, origin and axes have fields of their own.`,
  }
}
