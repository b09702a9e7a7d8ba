import type { Operation } from '../stroke/stroke.ts'

/** What a person sets on the machine before a file is sent, because no file can tell it. */
export interface Setting {
  readonly to: Operation
  /** pen number of the tool that is set */
  readonly tool: number
  /** the file that must have been cut before, with the film left where it lies; none for the first */
  readonly after?: string
}

/** How the tool is then: behind "tool 1". */
export const settingWords: Readonly<Record<Operation, string>> = {
  pen: 'holding the pen',
  kiss: 'holding the blade, set to cut the film alone',
  through: 'holding the blade, set to cut film and liner',
  slit: 'holding the blade, set to cut the liner alone',
}

/** The order in which the files of a sheet are sent, and what is set before each; `files` are those of one sheet. */
export function settingLine(files: readonly { readonly file: string; readonly set: Setting }[]): string {
  const steps = files.map(({ file, set }, i) => {
    const then = i === 0 ? 'Send' : 'then, without moving the film, send'
    return `${then} ${file} with tool ${set.tool} ${settingWords[set.to]}`
  })
  return `The tool is set by hand between files. ${steps.join('; ')}.`
}
