import { chmod, mkdir, mkdtemp, readdir, readFile, rm, stat, symlink, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { makeFolder, why } from '../../src/cli/disk.ts'
import { run } from '../../src/cli/run.ts'

let top = ''
const at = (...parts: string[]) => join(top, ...parts)
beforeEach(async () => {
  top = await mkdtemp(join(tmpdir(), 'midtick-disk-'))
  await writeFile(at('file'), 'of my own')
})
afterEach(() => rm(top, { recursive: true, force: true }))

const refused = async (folder: string) => why(await makeFolder(folder).catch((error: unknown) => error))
const isRoot = process.getuid?.() === 0
const isLinux = process.platform === 'linux'

describe('makeFolder', () => {
  test('makes a folder with those above it, and leaves one that is there', async () => {
    await makeFolder(at('a', 'b', 'c'))
    expect((await stat(at('a', 'b', 'c'))).isDirectory()).toBe(true)
    await writeFile(at('a', 'b', 'kept'), '')
    await Promise.all([
      makeFolder(at('a', 'b', 'd', 'e')),
      makeFolder(at('a', 'b', 'd', 'f')),
      makeFolder(at('a', 'b')),
    ])
    expect((await readdir(at('a', 'b'))).sort()).toEqual(['c', 'd', 'kept'])
  })

  test('says which file stands in the way, in its place or above it', async () => {
    expect(await refused(at('file'))).toBe(`${at('file')} is a file, not a folder`)
    expect(await refused(at('file', 'a', 'b'))).toBe(`${at('file')} is a file, not a folder`)
    await symlink('nowhere', at('link'))
    expect(await refused(at('link', 'a'))).toBe('something of that name is there already')
    expect(await readFile(at('file'), 'utf8')).toBe('of my own')
  })

  test.skipIf(!isLinux)('ends at once where no folder can be made', { timeout: 5000 }, async () => {
    expect(await refused('/proc/midtick/out')).toBe('no folder can be made in /proc')
    expect(await refused('/proc/self/fd/midtick/a/b')).toMatch(/^no folder can be made in |^this user may not$/)
  })

  test.skipIf(isRoot)('says where this user may not', async () => {
    await mkdir(at('locked'))
    await chmod(at('locked'), 0o500)
    expect(await refused(at('locked', 'a', 'b'))).toBe('this user may not')
    await chmod(at('locked'), 0o700)
  })
})

/** A command that must end with 3 and a sentence; what it said. */
async function unwritten(...argv: string[]): Promise<string> {
  let err = ''
  const voice = {
    out: () => undefined,
    err: (text: string) => {
      err += text
    },
    colour: false,
    live: false,
  }
  expect(await run(argv, voice)).toBe(3)
  expect(err).not.toMatch(/\bE[A-Z]{3,}\b|undefined|\n {4}at /)
  expect(err).toMatch(/^\S.*[.]\n$/)
  return err
}

describe('a command that cannot write', () => {
  const job = async () => {
    const file = at('job.yaml')
    await writeFile(
      file,
      'version: 1\ntitle: A\nunit: mm\nobjects: [{ name: a, shape: flat-panel, width: 50, height: 50 }]\n',
    )
    return file
  }

  test('says so where make is to write into a file, or below one', async () => {
    expect(await unwritten('make', await job(), '--out', at('file'))).toContain('it is a file, and a folder is written')
    expect(await unwritten('make', await job(), '--out', at('file', 'out'))).toContain('is a file, not a folder')
    expect((await readdir(top)).sort()).toEqual(['file', 'job.yaml'])
  })

  test.skipIf(!isLinux)('says so where no folder can be made', { timeout: 30_000 }, async () => {
    expect(await unwritten('make', await job(), '--out', '/proc/midtick/out')).toContain(
      'no folder can be made in /proc',
    )
    expect(await unwritten('machines', 'test', 'plain-roll', '--out', '/proc/midtick')).toContain(
      'no folder can be made',
    )
    expect(await unwritten('machines', 'copy', 'plain-roll', '/proc/midtick/a.yaml')).toContain('no folder can be made')
  })

  test('says so of a shelf in no folder, or where a folder is', async () => {
    const add = (file: string) => unwritten('shelf', '--file', file, 'add', 'a', '--size', '300,200')
    expect(await add(at('nowhere', 'shelf.yaml'))).toContain('its folder is not there')
    expect(await add(at('file', 'shelf.yaml'))).toContain('a part of its path is a file')
    await mkdir(at('folder'))
    expect(await add(at('folder'))).toContain('it is a folder')
  })
})
