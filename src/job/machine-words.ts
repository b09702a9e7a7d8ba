import type { FoundMachine } from './machine-lookup.ts'

/**
 * Where a machine's profile is from: it comes with midtick, the job itself tells it, or a file has it. The file lies in
 * `machines` beside the job, in a folder that was named or stands where the command is run, in the user's configuration
 * folder, or was named itself; or it is the one that the report beside a cut file has.
 */
export interface MachineFrom {
  readonly where: 'shipped' | 'job' | 'beside' | 'folder' | 'configuration' | 'file' | 'report'
  /** as a person would name it: from the job's folder, from the configuration folder, or as it was given */
  readonly file?: string
}

/** A sentence that names the machine and says where its profile is from, and which other one it stands before. */
export function machineLine({ machine, name, from, before, isStandard }: FoundMachine): string {
  const called = name === undefined ? machine.name : `${machine.name} (${name})`
  const instead = before ? `, in place of the ${name} that ${fromWords(before)}` : ''
  return `Machine: ${called}, whose profile ${fromWords(from)}${instead}${isStandard ? '; none is named' : ''}.`
}

const places: Readonly<Record<MachineFrom['where'], string>> = {
  shipped: 'comes with midtick',
  job: 'is told by the job itself',
  report: 'is in report.json beside the file',
  beside: ' beside the job',
  configuration: ' in your configuration folder',
  folder: '',
  file: '',
}

/** What a profile does: comes along, is told, or is a file. */
const fromWords = ({ where, file }: MachineFrom): string =>
  file === undefined ? places[where] : `is ${file}${places[where]}`

/** The same for a list. */
export const placeWords = ({ where, file = '' }: MachineFrom): string => `${file}${places[where]}`

/** The same as plain data for the report. */
export const profileReport = ({ name, from, before }: FoundMachine): unknown => ({
  ...(name === undefined ? {} : { name }),
  ...from,
  ...(before ? { inPlaceOf: before } : {}),
})
