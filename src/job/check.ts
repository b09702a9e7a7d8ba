/** The one door to reading cut files back for the command. */
export { readLength } from '../measure/length.ts'
export { checkFile } from './check-file.ts'
export { machineLine } from './machine-words.ts'
