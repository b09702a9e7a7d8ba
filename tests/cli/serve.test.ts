import { execFile } from 'node:child_process'
import { createHash } from 'node:crypto'
import {
  chmod,
  lstat,
  mkdir,
  mkdtemp,
  readdir,
  readFile,
  readlink,
  realpath,
  rm,
  stat,
  symlink,
  writeFile,
} from 'node:fs/promises'
import { type OutgoingHttpHeaders, request } from 'node:http'
import { connect } from 'node:net'
import { networkInterfaces, tmpdir } from 'node:os'
import { join, relative } from 'node:path'
import { promisify } from 'node:util'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { type Listening, listen } from '../../src/cli/listen.ts'
import { serveApp } from '../../src/cli/serve.ts'

const tin = '# the small tin\nversion: 1\ntitle: Tin\n'
const fontBytes = new Uint8Array([0, 1, 255, 128])
const hashOf = (text: string) => createHash('sha256').update(text).digest('hex')

/** A folder with the page, a job's folder, and beside them what must never be told or changed. */
let top = ''
const at = (...parts: string[]) => join(top, ...parts)
const job = () => at('job', 'tin.yaml')
beforeEach(async () => {
  top = await realpath(await mkdtemp(join(tmpdir(), 'midtick-serve-')))
  const files: Record<string, string | Uint8Array> = {
    'secret.txt': 'a secret',
    'page/index.html': '<!doctype html><title>page</title>',
    'page/assets/app.js': 'export {}',
    'job/tin.yaml': tin,
    'job/.hidden': 'a secret',
    'job/fonts/plain.ttf': fontBytes,
    'job/shapes/lid/template.mjs': 'export default 1\n',
    'job/shapes/none/readme.txt': '',
    'elsewhere/template.mjs': 'a secret',
  }
  for (const [name, content] of Object.entries(files)) {
    await mkdir(join(at(name), '..'), { recursive: true })
    await writeFile(at(name), content)
  }
  await symlink('../secret.txt', at('job', 'link.txt'))
  await symlink('..', at('job', 'up'))
  await symlink('round', at('job', 'round'))
  await symlink('fonts/plain.ttf', at('job', 'inner.ttf'))
  await symlink('../../elsewhere', at('job', 'shapes', 'linked'))
  await mkdir(at('job', 'shapes', 'sly'))
  await symlink('../../../secret.txt', at('job', 'shapes', 'sly', 'template.mjs'))
  await symlink('../secret.txt', at('page', 'secret.txt'))
  await symlink('../elsewhere', at('page', 'linked'))
  await promisify(execFile)('mkfifo', [at('job', 'pipe')])
})
afterEach(() => rm(top, { recursive: true, force: true }))

/** All that is there: names, modes, contents and where links lead. */
async function listing(): Promise<Record<string, string>> {
  const all: Record<string, string> = {}
  for (const entry of await readdir(top, { recursive: true, withFileTypes: true })) {
    const name = join(entry.parentPath, entry.name)
    const content = entry.isSymbolicLink() ? await readlink(name) : entry.isFile() ? await readFile(name) : ''
    all[relative(top, name)] = `${(await lstat(name)).mode.toString(8)} ${Buffer.from(content).toString('base64')}`
  }
  return all
}

const port = 4321
const token = 'the-token'

interface Asked {
  readonly method?: string
  readonly headers?: Record<string, string>
  readonly body?: string
  readonly with?: Partial<Parameters<typeof serveApp>[0]>
}

const served = () => ({
  page: at('page'),
  job: job(),
  own: at('job', 'shapes'),
  port: () => port,
  token,
  ticket: 'once',
})

const known = { Host: `127.0.0.1:${port}`, 'X-Midtick-Token': token }

async function ask(path: string, { method = 'GET', headers = known, body, with: other = {} }: Asked = {}) {
  const app = await serveApp({ ...served(), ...other })
  return app.request(`http://127.0.0.1:${port}${path}`, { method, headers, ...(body === undefined ? {} : { body }) })
}

const json = { 'Content-Type': 'application/json' }
const put = (text: unknown, basedOn: unknown, headers: Record<string, string> = {}): Asked => ({
  method: 'PUT',
  headers: { ...known, ...json, ...headers },
  body: JSON.stringify({ text, basedOn }),
})

/** The refusal of an answer: a sentence that says what to do. */
async function refusal(answer: Response, status: number): Promise<string> {
  expect(answer.status).toBe(status)
  const told = (await answer.json()) as { error: string }
  expect(told.error).toMatch(/^.+[;:(,.].+\. [A-Z].+\.$/)
  expect(told.error).not.toMatch(/undefined|\[object|a secret/)
  return told.error
}

describe('the page', () => {
  test('is given to anybody on this computer, with its own files only', async () => {
    const headers = { Host: `localhost:${port}` }
    for (const path of ['/', '/index.html', '/?stage=film']) {
      const answer = await ask(path, { headers })
      expect(answer.status).toBe(200)
      expect(answer.headers.get('Content-Type')).toMatch(/^text\/html/)
      expect(await answer.text()).toContain('<title>page')
    }
    expect((await ask('/assets/app.js', { headers })).headers.get('Content-Type')).toMatch(/^text\/javascript/)
    for (const path of [
      '/secret.txt',
      '/linked/template.mjs',
      '/assets',
      '/assets/',
      '/nothing',
      '/tin.yaml',
      '/api',
      '/api/',
      '/own/lid',
    ]) {
      await refusal(await ask(path), 404)
    }
  })

  test('comes with headers that keep strangers out, and so does every refusal', async () => {
    for (const path of ['/', '/api/job', '/nothing', '/?token=wrong']) {
      const { headers } = await ask(path)
      expect(headers.get('Content-Security-Policy')).toContain("default-src 'self'; worker-src 'self' blob:")
      expect(headers.get('Content-Security-Policy')).toContain("frame-ancestors 'none'")
      expect(headers.get('X-Content-Type-Options')).toBe('nosniff')
      expect(headers.get('Referrer-Policy')).toBe('no-referrer')
      expect([...headers.keys()].filter((name) => name.startsWith('access-control'))).toEqual([])
    }
    expect((await ask('/api/job')).headers.get('Cache-Control')).toBe('no-store')
  })

  test('cannot put a worker in the place of the server, which would swallow the token of the next start', async () => {
    await refusal(await ask('/assets/app.js', { headers: { ...known, 'Service-Worker': 'script' } }), 403)
  })

  test('that was never built is told at the start', async () => {
    await expect(serveApp({ ...served(), page: at('elsewhere') })).rejects.toThrow(
      /must hold index\.html.*npm run build/,
    )
  })
})

describe('the token', () => {
  const host = { Host: known.Host }
  const reads = ['/api/job', '/api/file?name=fonts/plain.ttf', '/api/shapes', '/own/lid/template.mjs']

  test.each(reads)('is needed for %s', async (path) => {
    const before = await listing()
    await refusal(await ask(path, { headers: host }), 403)
    await refusal(await ask(path, { headers: { ...host, 'X-Midtick-Token': 'the-tokem' } }), 403)
    await refusal(await ask(path, { headers: { ...host, 'X-Midtick-Token': '' } }), 403)
    await refusal(await ask(path, { headers: { ...host, Cookie: `midtick-${port}=wrong` } }), 403)
    await refusal(await ask(path, { headers: { ...host, Cookie: `midtick-${port + 1}=${token}` } }), 403)
    await refusal(await ask(`${path}${path.includes('?') ? '&' : '?'}token=${token}`, { headers: host }), 403)
    expect((await ask(path)).status).toBe(200)
    expect((await ask(path, { headers: { ...host, Cookie: `midtick-${port}=${token}` } })).status).toBe(200)
    expect(await listing()).toEqual(before)
  })

  test('is needed to save', async () => {
    const before = await listing()
    await refusal(await ask('/api/job', put('x', hashOf(tin), { 'X-Midtick-Token': 'wrong' })), 403)
    expect(await listing()).toEqual(before)
  })

  test('in the address becomes a cookie that scripts and other sites cannot use', async () => {
    const answer = await ask(`/?token=${token}`, { headers: host })
    expect(answer.status).toBe(303)
    expect(answer.headers.get('Location')).toBe('/')
    expect(answer.headers.get('Set-Cookie')).toBe(`midtick-${port}=${token}; Path=/; HttpOnly; SameSite=Strict`)
    const wrong = await ask('/?token=wrong', { headers: host })
    expect(wrong.headers.get('Set-Cookie')).toBeNull()
    await refusal(wrong, 403)
  })

  test('can be had once by the ticket', async () => {
    const app = await serveApp(served())
    const open = () => app.request(`http://127.0.0.1:${port}/?token=once`, { headers: host })
    expect((await open()).headers.get('Set-Cookie')).toContain(token)
    await refusal(await open(), 403)
    const again = { headers: { ...host, Cookie: `midtick-${port}=${token}` } }
    expect((await app.request(`http://127.0.0.1:${port}/?token=once`, again)).status).toBe(303)
    await refusal(await ask('/api/job', { headers: { ...host, 'X-Midtick-Token': 'once' } }), 403)
  })
})

describe('strangers', () => {
  const hosts = [
    'evil.example',
    `evil.example:${port}`,
    `127.0.0.1:${port + 1}`,
    '127.0.0.1',
    `127.0.0.1.evil.example:${port}`,
  ]
  test.each([...hosts, `localhost.:${port}`, `user@127.0.0.1:${port}`, '', `[::1]:${port}`])(
    'host %j',
    async (Host) => {
      await refusal(await ask('/api/job', { headers: { ...known, Host } }), 403)
      await refusal(await ask('/', { headers: { Host } }), 403)
    },
  )

  test('no host at all', async () => {
    await refusal(await ask('/', { headers: {} }), 403)
  })

  test.each([
    'http://evil.example',
    'null',
    `https://127.0.0.1:${port}`,
    `http://127.0.0.1:${port + 1}`,
    `http://localhost:${port}`,
  ])('origin %s', async (Origin) => {
    const before = await listing()
    await refusal(await ask('/api/job', { headers: { ...known, Origin } }), 403)
    await refusal(await ask('/api/job', put('x', hashOf(tin), { Origin })), 403)
    const { headers } = await ask('/api/job', { method: 'OPTIONS', headers: { ...known, Origin } })
    expect(headers.get('Access-Control-Allow-Origin')).toBeNull()
    expect(await listing()).toEqual(before)
  })

  test.each(['cross-site', 'same-site'])('a picture or script tag of a page that is %s', async (site) => {
    await refusal(await ask('/own/lid/template.mjs', { headers: { ...known, 'Sec-Fetch-Site': site } }), 403)
  })

  test('the page itself is none', async () => {
    for (const name of ['127.0.0.1', 'localhost', 'LOCALHOST']) {
      const Host = `${name}:${port}`
      const headers = { ...known, Host, Origin: `http://${Host.toLowerCase()}`, 'Sec-Fetch-Site': 'same-origin' }
      expect((await ask('/api/job', { headers })).status).toBe(200)
    }
  })
})

describe('methods', () => {
  test.each([
    ['/', ['POST', 'PUT', 'DELETE', 'OPTIONS', 'HEAD', 'PATCH'], 'GET'],
    ['/api/job', ['POST', 'DELETE', 'PATCH', 'OPTIONS', 'HEAD'], 'GET, PUT'],
    ['/api/file?name=tin.yaml', ['PUT', 'POST', 'DELETE'], 'GET'],
    ['/own/lid/template.mjs', ['PUT', 'POST'], 'GET'],
  ])('%s takes none of %j', async (path, methods, allowed) => {
    const before = await listing()
    for (const method of methods) {
      const answer = await ask(path, { method })
      expect(answer.status).toBe(405)
      expect(answer.headers.get('Allow')).toBe(allowed)
      if (method !== 'HEAD') await refusal(answer, 405)
    }
    expect(await listing()).toEqual(before)
  })
})

describe('the job', () => {
  test('is read with the hash of its bytes', async () => {
    expect(await (await ask('/api/job')).json()).toEqual({ name: 'tin.yaml', text: tin, saved: hashOf(tin) })
  })

  test('is null where none was named, and then nothing is saved or read', async () => {
    const none = { with: { job: undefined } }
    expect(await (await ask('/api/job', none)).json()).toBeNull()
    expect(await refusal(await ask('/api/job', { ...put('x', null), ...none }), 404)).toContain('midtick open JOB')
    await refusal(await ask('/api/file?name=tin.yaml', none), 404)
  })

  test('is saved to the same file, which keeps its mode, and nothing else changes', async () => {
    await chmod(job(), 0o640)
    const before = await listing()
    const text = `${tin}# Größe ⌀ 12\n`
    const answer = await ask('/api/job', put(text, hashOf(tin)))
    expect(await answer.json()).toEqual({ saved: hashOf(text) })
    expect(answer.status).toBe(200)
    expect(await readFile(job(), 'utf8')).toBe(text)
    expect((await stat(job())).mode & 0o7777).toBe(0o640)
    const after = await listing()
    expect(Object.keys(after)).toEqual(Object.keys(before))
    expect({ ...after, 'job/tin.yaml': '' }).toEqual({ ...before, 'job/tin.yaml': '' })
  })

  test('keeps a byte-order mark and line ends of another system', async () => {
    const text = '\uFEFFversion: 1\r\ntitle: Tin\r\n'
    await writeFile(job(), text)
    const read = (await (await ask('/api/job')).json()) as { text: string; saved: string }
    expect(read).toMatchObject({ text, saved: hashOf(text) })
    expect((await ask('/api/job', put(read.text, read.saved))).status).toBe(200)
    expect(await readFile(job(), 'utf8')).toBe(text)
  })

  test('is not overwritten when it was changed meanwhile, nor when it is gone', async () => {
    await writeFile(job(), 'from the editor')
    const before = await listing()
    const answer = await ask('/api/job', put('from the page', hashOf(tin)))
    expect(await answer.clone().json()).toMatchObject({ saved: hashOf('from the editor') })
    expect(await refusal(answer, 409)).toContain('changed on the disk')
    await refusal(await ask('/api/job', put('from the page', null)), 409)
    expect(await listing()).toEqual(before)
  })

  test('that was removed meanwhile is only written again by a save that knows it', async () => {
    const app = await serveApp(served())
    const to = (asked: Asked) =>
      app.request(`http://127.0.0.1:${port}/api/job`, { headers: known, ...asked } as RequestInit)
    await rm(job())
    await refusal(await to({}), 404)
    const gone = await to(put('from the page', hashOf(tin)))
    expect(await gone.clone().json()).toMatchObject({ saved: null })
    await refusal(gone, 409)
    expect((await to(put('from the page', null))).status).toBe(200)
    expect(await readFile(job(), 'utf8')).toBe('from the page')
  })

  test('takes one of many saves based on the same text', async () => {
    const before = await listing()
    const app = await serveApp(served())
    const saves = Array.from({ length: 40 }, (_, i) => {
      const { method = '', headers = {}, body = '' } = put(`version ${i}`, hashOf(tin))
      return app.request(`http://127.0.0.1:${port}/api/job`, { method, headers, body })
    })
    const statuses = (await Promise.all(saves)).map(({ status }) => status)
    expect(statuses.filter((status) => status === 200)).toHaveLength(1)
    expect(statuses.filter((status) => status === 409)).toHaveLength(39)
    expect(Object.keys(await listing())).toEqual(Object.keys(before))
  })

  test('that an editor changes while a save is under way is left as it is, with nothing beside it', async () => {
    const app = await serveApp(served())
    const before = await listing()
    const statuses: number[] = []
    for (let i = 0; i < 20; i++) {
      const { method = '', headers = {}, body = '' } = put('x'.repeat(1_500_000), hashOf(await readFile(job(), 'utf8')))
      const answer = Promise.resolve(app.request(`http://127.0.0.1:${port}/api/job`, { method, headers, body }))
      const begun = async () => (await readdir(at('job'))).some((name) => name.endsWith('.new'))
      while (!(await Promise.race([answer.then(() => true), begun()])));
      await writeFile(job(), `from the editor ${i}`)
      const { status } = await answer
      statuses.push(status)
      if (status === 409) expect(await readFile(job(), 'utf8')).toBe(`from the editor ${i}`)
    }
    expect(statuses).toContain(409)
    expect(Object.keys(await listing())).toEqual(Object.keys(before))
  })

  test('that is read-only, or no text, is refused', async () => {
    await chmod(job(), 0o444)
    expect(await refusal(await ask('/api/job', put('x', hashOf(tin))), 403)).toContain('read-only')
    expect(await readFile(job(), 'utf8')).toBe(tin)
    await chmod(job(), 0o644)
    await writeFile(job(), new Uint8Array([0x74, 0xff]))
    expect(await refusal(await ask('/api/job'), 422)).toContain('UTF-8')
  })

  test('that is a link is written where it leads, and stays a link', async () => {
    await symlink('tin.yaml', at('job', 'today.yaml'))
    const asked = { ...put('new', hashOf(tin)), with: { job: at('job', 'today.yaml') } }
    expect((await ask('/api/job', asked)).status).toBe(200)
    expect(await readlink(at('job', 'today.yaml'))).toBe('tin.yaml')
    expect(await readFile(job(), 'utf8')).toBe('new')
  })

  test.each([
    ['no JSON', '{'],
    ['nothing', ''],
    ['a list', '[]'],
    ['null', 'null'],
    ['no text', JSON.stringify({ basedOn: null })],
    ['a text that is none', JSON.stringify({ text: 3, basedOn: hashOf(tin) })],
    ['no hash', JSON.stringify({ text: 'x' })],
    ['half a character', `{"text":"\\ud800","basedOn":"${hashOf(tin)}"}`],
  ])('is not changed by a body that holds %s', async (_, body) => {
    const before = await listing()
    await refusal(await ask('/api/job', { ...put('', ''), body }), 400)
    expect(await listing()).toEqual(before)
  })

  test('is only changed by what is called JSON, as a form of another page cannot', async () => {
    const before = await listing()
    await refusal(await ask('/api/job', put('x', hashOf(tin), { 'Content-Type': 'text/plain' })), 415)
    expect(await listing()).toEqual(before)
  })
})

describe('files of the job', () => {
  test('are given as bytes that no browser shows', async () => {
    for (const name of ['fonts/plain.ttf', './fonts/plain.ttf', 'fonts%2Fplain.ttf', 'inner.ttf']) {
      const answer = await ask(`/api/file?name=${name}`)
      expect(new Uint8Array(await answer.arrayBuffer())).toEqual(fontBytes)
      expect(answer.headers.get('Content-Type')).toBe('application/octet-stream')
      expect(answer.headers.get('Content-Disposition')).toBe('attachment')
    }
  })

  test.each([
    ['../secret.txt', 403],
    ['fonts/../../secret.txt', 403],
    ['..%2fsecret.txt', 403],
    ['%2e%2e/secret.txt', 403],
    ['%252e%252e/secret.txt', 404],
    ['..%5csecret.txt', 403],
    ['fonts%5c..%5c..%5csecret.txt', 403],
    ['/etc/passwd', 403],
    ['//etc/passwd', 403],
    ['fonts//plain.ttf', 403],
    ['tin.yaml%00.ttf', 403],
    ['link.txt', 403],
    ['up/secret.txt', 403],
    ['up/job/fonts/plain.ttf', 200],
    ['up', 403],
    ['round', 403],
    ['.hidden', 403],
    ['.', 403],
    ['./', 403],
    ['', 403],
    ['fonts', 404],
    ['fonts/', 403],
    ['tin.yaml/x', 404],
    ['pipe', 404],
    ['nothing.ttf', 404],
    ['a'.repeat(300), 403],
    ['a/'.repeat(2000), 403],
    ['%F0%9F%A5%AB'.repeat(100), 403],
  ])('%s gives %i', async (name, status) => {
    const answer = await ask(`/api/file?name=${name}`)
    if (status === 200) expect(answer.status).toBe(200)
    else await refusal(answer, status)
  })

  test('are refused when larger than any font', async () => {
    await promisify(execFile)('truncate', ['-s', '30000001', at('job', 'big.ttf')])
    expect(await refusal(await ask('/api/file?name=big.ttf'), 422)).toContain('30000001')
  })
})

describe("the shop's own shapes", () => {
  test('are given as text from the folders themselves, and as modules', async () => {
    const { shapes, refused } = (await (await ask('/api/shapes')).json()) as { shapes: unknown[]; refused: string[] }
    expect(shapes).toEqual([{ name: 'lid', module: '/own/lid/template.mjs', source: 'export default 1\n' }])
    expect(refused).toEqual([
      expect.stringMatching(/^"none\/template\.mjs" cannot be read/),
      expect.stringMatching(/^"sly\/template\.mjs" is refused: it is a link out of/),
    ])
    const module = await ask('/own/lid/template.mjs')
    expect(module.headers.get('Content-Type')).toBe('text/javascript; charset=utf-8')
    expect(await module.text()).toBe('export default 1\n')
  })

  test.each(['none', 'linked', 'nobody', '%2e%2e', 'lid%2f..', '%00', 'lid%5c'])('%s is no shape', async (name) => {
    expect((await ask(`/own/${name}/template.mjs`)).status).toBeGreaterThanOrEqual(400)
  })

  test('that link out are refused', async () => {
    await refusal(await ask('/own/sly/template.mjs'), 403)
  })

  test('need not be there', async () => {
    const answer = await ask('/api/shapes', { with: { own: at('nowhere') } })
    expect(await answer.json()).toEqual({ shapes: [], refused: [] })
  })
})

describe('a listening server', () => {
  let server: Listening
  let where = { port: 0, token: '' }
  const begin = async (patience = 10_000) => {
    server = await listen({ page: at('page'), job: job(), own: at('job', 'shapes'), patience })
    const { port, searchParams } = new URL(server.address)
    where = { port: Number(port), token: searchParams.get('token') ?? '' }
  }
  afterEach(() => server.close())

  interface Heard {
    /** undefined where the connection was cut without an answer */
    readonly status: number | undefined
    readonly text: string
    readonly headers: NodeJS.Dict<string | string[]>
  }

  /** One request on a connection of its own, its path sent as it stands. */
  function hear(path: string, method = 'GET', headers: OutgoingHttpHeaders = {}, body?: string): Promise<Heard> {
    return new Promise((resolve) => {
      const all = { 'X-Midtick-Token': where.token, ...headers }
      const asked = request({ host: '127.0.0.1', port: where.port, path, method, headers: all, agent: false })
      asked.on('error', () => resolve({ status: undefined, text: '', headers: {} }))
      asked.on('response', (answer) => {
        let text = ''
        answer.setEncoding('utf8').on('data', (part: string) => {
          text += part
        })
        answer.on('close', () => resolve({ status: answer.statusCode, text, headers: answer.headers }))
      })
      asked.end(body)
    })
  }

  /** What comes back for bytes sent as they are, until the server closes the connection. */
  function raw(...parts: string[]): Promise<string> {
    return new Promise((resolve) => {
      let text = ''
      const socket = connect(where.port, '127.0.0.1', () => {
        for (const part of parts) socket.write(part, 'latin1')
      })
      socket.setEncoding('utf8').on('data', (part: string) => {
        text += part
      })
      socket.on('error', () => undefined)
      socket.on('close', () => resolve(text))
    })
  }

  const save = (text: string, basedOn = hashOf(tin), headers: OutgoingHttpHeaders = {}) =>
    hear('/api/job', 'PUT', { ...json, ...headers }, JSON.stringify({ text, basedOn }))

  const stillServes = async () => expect(await hear('/api/job')).toMatchObject({ status: 200 })

  test('shows the page, job and files to who holds its token, which is new for each start', async () => {
    await begin()
    const first = where.token
    expect(first.length).toBeGreaterThanOrEqual(32)
    expect(await hear('/')).toMatchObject({ status: 200, text: expect.stringContaining('<title>page') })
    expect(JSON.parse((await hear('/api/job')).text)).toMatchObject({ text: tin })
    expect(await save('new')).toMatchObject({ status: 200 })
    expect(await readFile(job(), 'utf8')).toBe('new')
    const opened = await hear(new URL(server.addressOnce).search.replace('?', '/?'), 'GET', { 'X-Midtick-Token': '' })
    const [cookie = ''] = opened.headers['set-cookie'] ?? []
    expect(cookie).toMatch(/^midtick-\d+=/)
    const Cookie = cookie.split(';')[0]
    expect(await hear('/api/job', 'GET', { 'X-Midtick-Token': [], Cookie })).toMatchObject({ status: 200 })
    await server.close()
    await begin()
    expect(where.token).not.toBe(first)
  })

  test('is not there for other computers', async () => {
    await begin()
    const outside = Object.values(networkInterfaces()).flatMap((all = []) =>
      all.filter((one) => !one.internal && one.family === 'IPv4'),
    )
    for (const { address } of [...outside, { address: '127.0.0.2' }]) {
      const reached = await new Promise((resolve) => {
        const socket = connect(where.port, address, () => resolve(true))
        socket.on('error', () => resolve(false))
      })
      expect(reached).toBe(false)
    }
  })

  test('refuses foreign hosts and origins, and missing and wrong tokens', async () => {
    await begin()
    const before = await listing()
    const foreign: OutgoingHttpHeaders[] = [
      { Host: 'evil.example' },
      { Host: `evil.example:${where.port}` },
      { Origin: 'http://evil.example' },
      { Origin: 'null' },
      { 'X-Midtick-Token': 'wrong' },
      { 'X-Midtick-Token': '' },
      { 'X-Midtick-Token': [] },
      { 'X-Midtick-Token': where.token.slice(1) },
      { 'X-Midtick-Token': [], Cookie: `midtick-${where.port}=${where.token.toLowerCase()}x` },
    ]
    for (const headers of foreign) {
      expect(await hear('/api/job', 'GET', headers)).toMatchObject({
        status: 403,
        text: expect.not.stringContaining('tin'),
      })
      expect(await save('x', hashOf(tin), headers)).toMatchObject({ status: 403 })
    }
    expect(await raw('GET /api/job HTTP/1.0\r\n\r\n')).toMatch(/^HTTP\/1\.1 4\d\d /)
    expect(await raw('GET /api/job HTTP/1.1\r\nConnection: close\r\n\r\n')).toMatch(/^HTTP\/1\.1 400 /)
    await stillServes()
    expect(await listing()).toEqual(before)
  })

  test('refuses path tricks, sent as they stand', async () => {
    await begin()
    const before = await listing()
    const paths = [
      '/../secret.txt',
      '/assets/../../secret.txt',
      '/%2e%2e/secret.txt',
      '/.%2E/secret.txt',
      '/assets/..%2f..%2fsecret.txt',
      '/..\\secret.txt',
      '/assets\\..\\..\\secret.txt',
      '/%5c..%5csecret.txt',
      '/index.html%00.js',
      '//secret.txt',
      '//evil.example/%2f..',
      '/secret.txt',
      '/own/../secret.txt',
      '/own/%2e%2e/template.mjs',
      '/own/..%2f..%2felsewhere/template.mjs',
      '/own/linked/template.mjs',
      '/own/sly/template.mjs',
      '/api/file?name=../secret.txt',
      '/api/file?name=link.txt',
      '/api/file?name=up/secret.txt',
      '/api/file?name=%00',
      '/api/../../secret.txt',
      '/%ff%fe',
      `/${'a'.repeat(10_000)}`,
      `/own/${'a'.repeat(10_000)}/template.mjs`,
      'http://evil.example/api/job',
      `http://127.0.0.1:${where.port}/api/job`,
      '*',
      'secret.txt',
    ]
    for (const path of paths) {
      const said = await raw(
        `GET ${path} HTTP/1.1\r\nHost: 127.0.0.1:${where.port}\r\nX-Midtick-Token: ${where.token}\r\nConnection: close\r\n\r\n`,
      )
      expect(said, path).toMatch(/^HTTP\/1\.1 4\d\d [\s\S]*\{"error":".+"\}$/)
      expect(said, path).not.toContain('a secret')
    }
    await stillServes()
    expect(await listing()).toEqual(before)
  })

  test('refuses bodies above 2 MB, told beforehand or not, and takes one just below', async () => {
    await begin()
    const before = await listing()
    const text = 'x'.repeat(2_000_000)
    expect(await save(text)).toMatchObject({ status: 413, text: expect.stringContaining('2000000') })
    const chunked = { 'Transfer-Encoding': 'chunked' }
    expect(await save(text, hashOf(tin), chunked)).toMatchObject({
      status: 413,
      text: expect.stringContaining('2000000'),
    })
    const cut = /^HTTP\/1\.1 413 [\s\S]*\r\nconnection: close\r\n/i
    expect(await raw(head('PUT', 'Content-Length: 2000001'))).toMatch(cut)
    expect(await raw(head('PUT', 'Content-Length: 99999999999999999999'))).toMatch(/^HTTP\/1\.1 4\d\d /)
    const length = { 'Content-Length': text.length }
    expect(await hear('/', 'GET', length, text)).toMatchObject({ status: 200 })
    expect(await hear('/', 'POST', length, text)).toMatchObject({ status: 405 })
    await stillServes()
    expect(await listing()).toEqual(before)
    expect(await save(text.slice(200))).toMatchObject({ status: 200 })
  })

  const head = (method: string, ...more: string[]) =>
    [
      `${method} /api/job HTTP/1.1`,
      `Host: 127.0.0.1:${where.port}`,
      `X-Midtick-Token: ${where.token}`,
      'Content-Type: application/json',
      ...more,
      '\r\n',
    ].join('\r\n')

  test('does not wait for bodies, headers or requests that never end', async () => {
    await begin(300)
    const before = await listing()
    const told = 'Content-Length: 1000'
    expect(await raw(head('PUT', told), '{"text":')).toMatch(/^HTTP\/1\.1 408 [\s\S]*\{"error":".+"\}$/)
    expect(await raw(head('PUT', 'Transfer-Encoding: chunked'), '2\r\n{"\r\n')).toMatch(/^HTTP\/1\.1 408 /)
    expect(await raw(head('GET', told))).toMatch(/^HTTP\/1\.1 200 /)
    expect(await raw('GET / HTTP/1.1\r\nHost: ')).toMatch(/^HTTP\/1\.1 408 /)
    expect(await raw()).toMatch(/^(HTTP\/1\.1 408 |$)/)
    await stillServes()
    expect(await listing()).toEqual(before)
  })

  test('bears bodies that break off, headers without end, and what is no HTTP', async () => {
    await begin()
    const before = await listing()
    await new Promise((resolve) => {
      const socket = connect(where.port, '127.0.0.1', () => {
        socket.write(`${head('PUT', 'Content-Length: 1000')}{"text":`, () => socket.destroy())
      })
      socket.on('close', resolve)
    })
    expect(await raw(head('GET', `X-Long: ${'a'.repeat(20_000)}`))).toMatch(/^HTTP\/1\.1 431 [\s\S]*\{"error":".+"\}$/)
    for (const bytes of [
      '\u0016\u0003\u0001\u0002\u0000',
      'GET / HTTP/9.9\r\n\r\n',
      'HELLO\r\n\r\n',
      'GET /\0 HTTP/1.1\r\n\r\n',
    ]) {
      expect(await raw(bytes)).toMatch(/^HTTP\/1\.1 4\d\d [\s\S]*\{"error":".+"\}$/)
    }
    const both = ['Content-Length: 4', 'Transfer-Encoding: chunked']
    expect(await raw(head('PUT', ...both), '0\r\n\r\n')).toMatch(/^HTTP\/1\.1 400 /)
    for (const method of ['TRACE', 'CONNECT', 'OPTIONS', 'PROPFIND']) {
      expect(await raw(head(method, 'Connection: close'))).toMatch(/^(HTTP\/1\.1 4\d\d |$)/)
    }
    await stillServes()
    expect(await listing()).toEqual(before)
  })

  test('holds 256 connections and cuts others off, until there is room again', async () => {
    await begin()
    const sockets = Array.from({ length: 300 }, () => connect(where.port, '127.0.0.1').on('error', () => undefined))
    let silent = 0
    await new Promise<void>((resolve) => {
      for (const socket of sockets) {
        let text = ''
        socket.on('data', (part) => {
          text += part
        })
        socket.on('close', () => {
          if (text === '' && ++silent === 300 - 256) resolve()
        })
      }
    })
    for (const socket of sockets) socket.destroy()
    await expect.poll(async () => (await hear('/api/job')).status).toBe(200)
  })

  test('answers or refuses 1,000 requests at a time, and writes one of the saves among them', {
    timeout: 60_000,
  }, async () => {
    await begin()
    const before = await listing()
    const kinds = [
      () => hear('/api/job'),
      () => hear('/'),
      (i: number) => save(`version ${i}`),
      () => hear('/api/file?name=up/secret.txt'),
      () => save('x', hashOf(tin), { 'X-Midtick-Token': 'wrong' }),
    ]
    const heard = await Promise.all(
      Array.from({ length: 1000 }, (_, i) => (kinds[i % kinds.length] ?? expect.fail())(i)),
    )
    const statuses = heard.map(({ status }) => status)
    expect(new Set(statuses.filter((status) => status !== undefined))).toEqual(new Set([200, 403, 409]))
    const saved = heard.filter(({ text }) => /^\{"saved":"\w{64}"\}$/.test(text))
    expect(saved).toHaveLength(1)
    expect(JSON.parse(saved[0]?.text ?? '').saved).toBe(hashOf(await readFile(job(), 'utf8')))
    await stillServes()
    const after = await listing()
    expect({ ...after, 'job/tin.yaml': '' }).toEqual({ ...before, 'job/tin.yaml': '' })
  })
})
