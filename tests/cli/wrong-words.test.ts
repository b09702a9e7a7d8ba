import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { said } from './said.ts'

let folder = ''
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-words-'))
})
afterEach(() => rm(folder, { recursive: true, force: true }))

interface Known {
  readonly words: readonly string[]
  /** arguments that must be given */
  readonly args: number
  readonly options: readonly string[]
}

/** Every command there is by what the help shows, with its options that take a value. */
async function everyCommand(words: readonly string[] = []): Promise<Known[]> {
  const { out } = await said(...words, '--help')
  const usage = /^Usage: (.*)$/m.exec(out)?.[1] ?? ''
  const section = (name: string) => out.split(`\n${name}:\n`)[1]?.split('\n\n')[0]?.split('\n') ?? []
  const options = section('Options').flatMap((line) => /^ {2}(?:-\w, )?(--[\w-]+) </.exec(line)?.[1] ?? [])
  const below = section('Commands').flatMap((line) => /^ {2}([a-z]+)/.exec(line)?.[1] ?? [])
  const own = { words, args: [...usage.matchAll(/<\w+/g)].length, options }
  const more = await Promise.all(below.filter((word) => word !== 'help').map((word) => everyCommand([...words, word])))
  return [...(words.length > 0 ? [own] : []), ...more.flat()]
}

test('every command says in a sentence what it did not understand or cannot do, whatever option has a wrong value', async () => {
  const commands = await everyCommand()
  expect(commands.map(({ words }) => words.join(' '))).toEqual(
    expect.arrayContaining(['make', 'layout', 'send', 'shelf add', 'machines simulate', 'open']),
  )
  let tried = 0
  for (const { words, args, options } of commands) {
    // a job and a machine that are not there, so that nothing is made, served, sent or waited for whatever the option does
    const more = words[0] === 'open' ? ['nothing.yaml'] : words[1] === 'simulate' ? ['--machine', 'nothing'] : []
    const given = [...Array(args).fill(join(folder, 'nothing.yaml')), ...more]
    for (const option of options) {
      for (const value of ['', 'x', '-1', '1,,2', '9e99']) {
        const { code, out, err } = await said(...words, option, value, ...given)
        const what = `${words.join(' ')} ${option} ${JSON.stringify(value)}`
        tried++
        if (code === 0) expect(out, what).not.toBe('')
        else expect(err, what).toMatch(/\w{2,}.*\.\n/)
      }
    }
    if (args > 0)
      expect((await said(...words)).err, words.join(' ')).toMatch(/missing required argument|required option/)
  }
  expect(tried).toBeGreaterThan(200)
}, 120_000)

test('shelf add says what is wrong with a size, and that it takes one way to measure', async () => {
  const add = (...flags: string[]) => said('shelf', '--file', join(folder, 'shelf.yaml'), 'add', 'a', ...flags)
  expect(await add('--size', '610')).toEqual({
    code: 2,
    out: '',
    err: '610 is not 2 lengths with commas between them, such as 610,240.\n',
  })
  expect((await add('--sides', '1,2,3')).err).toContain('1,2,3 is not 5 or 6 lengths')
  expect(await add()).toMatchObject({ code: 2, err: expect.stringContaining('give one of --size') })
  expect((await add('--size', '610,x')).err).toMatch(/stays as it is\.\n {2}.* is x;/)
})
