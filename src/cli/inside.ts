import { constants, open, realpath } from 'node:fs/promises'
import { isAbsolute, join, relative, sep } from 'node:path'
import { HTTPException } from 'hono/http-exception'

/**
 * The bytes of a plain file below a folder. Names that lead out of it, by dots or by links, hidden files, and what is no
 * file are refused, as is more than `most` bytes.
 * @param name parts with / between them
 */
export async function readInside(folder: string, name: string, most: number): Promise<Uint8Array> {
  if (!isPlainName(name)) {
    throw new HTTPException(403, {
      message: `The name ${shown(name)} is refused: only files in ${folder} and its folders are read, named from there with /, without .. and nothing hidden. Move the file there and name it so.`,
    })
  }
  const [top, file] = await Promise.all([realpath(folder), realpath(join(folder, name))]).catch((error) => {
    throw unreadable(name, error)
  })
  if (!isBelow(top, file)) {
    throw new HTTPException(403, {
      message: `${shown(name)} is refused: it is a link out of its folder, and only files in there are read. Put a copy there.`,
    })
  }
  // Never wait for the other end of a pipe, nor follow a link that was put there just now.
  const flags = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0)
  const handle = await open(file, flags).catch((error) => {
    throw unreadable(name, error)
  })
  try {
    const found = await handle.stat()
    if (!found.isFile()) {
      throw new HTTPException(404, { message: `${shown(name)} is not a file; only files are read. Name a file.` })
    }
    if (found.size > most) {
      throw new HTTPException(422, {
        message: `${shown(name)} holds ${found.size} bytes; the most is ${most}. Choose a smaller file.`,
      })
    }
    return await handle.readFile()
  } finally {
    await handle.close()
  }
}

function isPlainName(name: string): boolean {
  const parts = name.split('/')
  const isPlainPart = (part: string) => part === '.' || /^[^.]/u.test(part)
  return name.length <= 1000 && !/[\\\p{Cc}]/u.test(name) && parts.every(isPlainPart) && parts.at(-1) !== '.'
}

function isBelow(folder: string, file: string): boolean {
  const way = relative(folder, file)
  return way !== '' && way !== '..' && !way.startsWith(`..${sep}`) && !isAbsolute(way)
}

function unreadable(name: string, error: unknown): HTTPException {
  const code = error instanceof Error && 'code' in error ? String(error.code) : String(error)
  return code === 'ENOENT' || code === 'ENOTDIR'
    ? new HTTPException(404, { message: `${shown(name)} cannot be read: there is no such file. Check its name.` })
    : new HTTPException(403, {
        message: `${shown(name)} cannot be read (${code}); it must be a file that you may read. Look at it on the disk.`,
      })
}

/** A name as a sentence can bear it. */
const shown = (name: string) => JSON.stringify(name.length > 80 ? `${name.slice(0, 80)}…` : name)
