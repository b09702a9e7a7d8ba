import { readFile } from 'node:fs/promises'
import { why } from './disk.ts'
import { Stop } from './stop.ts'

/** The bytes of a file, or an Error that says in words why there are none. */
export async function readBytes(file: string): Promise<Uint8Array> {
  try {
    return await readFile(file)
  } catch (error) {
    throw new Error(why(error))
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

/** The text of a file that a command was given; where there is none, or it is not UTF-8, the command ends. */
export async function textOfFile(file: string): Promise<string> {
  const [bytes, { notUtf8, utf8Text }] = await Promise.all([bytesOf(file), import('../job/text.ts')])
  const decoded = utf8Text(bytes)
  if ('text' in decoded) return decoded.text
  throw new Stop(`${file} ${notUtf8(decoded.line)}.`, 1)
}
