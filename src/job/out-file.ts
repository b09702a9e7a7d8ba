/** A file to be written, under its own name in the folder of the result. */
export interface OutFile {
  readonly name: string
  readonly bytes: Uint8Array
}
