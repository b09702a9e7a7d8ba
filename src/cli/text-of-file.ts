import { readFile } from 'node:fs/promises'
import { Stop } from './machines.ts'

/** The bytes of a file, or an Error that says in words why there are none. */
export async function readBytes(file: string): Promise<Uint8Array> {
  try {
    return await readFile(file)
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code
    throw new Error(code === 'ENOENT' ? 'there is no such file' : code === 'EISDIR' ? 'it is a folder' : String(code))
  }
}

/** The bytes of a file that a command was given; where there are none the command ends. */
export async function bytesOf(file: string): Promise<Uint8Array> {
  try {
    return await readBytes(file)
  } catch (error) {
    throw new Stop(`${file} cannot be read: ${error instanceof Error ? error.message : String(error)}.`, 3)
  }
}

export const textOfFile = async (file: string): Promise<string> => new TextDecoder().decode(await bytesOf(file))
