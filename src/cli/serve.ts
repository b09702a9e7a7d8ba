import { createHash, timingSafeEqual } from 'node:crypto'
import { readdir, readFile, realpath } from 'node:fs/promises'
import { basename, dirname, join, relative, sep } from 'node:path'
import type { HttpBindings } from '@hono/node-server'
import { type Context, Hono } from 'hono'
import { getCookie, setCookie } from 'hono/cookie'
import { HTTPException } from 'hono/http-exception'
import { getMimeType } from 'hono/utils/mime'
import { readBody } from './body.ts'
import { readInside } from './inside.ts'
import { jobFile } from './job-file.ts'
import { besideJob, inFolder, profilesIn } from './machine-profiles.ts'
import { subfolders } from './own-shapes.ts'
import { addSendRoutes, sendPaths } from './send-routes.ts'
import { addShelfRoutes, shelfPaths } from './shelf-routes.ts'
import { Stop } from './stop.ts'

/** What one start of the page's server may show, and to whom. */
export interface Served {
  /** folder of the static page */
  readonly page: string
  /** the job file edited in place; files that it names are read from its folder */
  readonly job?: string | undefined
  /** folder of shapes of the shop's own; it need not be there */
  readonly own: string
  readonly port: () => number
  /** opens all that reads or writes the person's files */
  readonly token: string
  /** opens the page once, for an address that others on the machine may see */
  readonly ticket?: string
  /** longest time that a body may take, ms */
  readonly patience?: number
}

type Env = { Bindings: Partial<HttpBindings> }

/** Bytes of a body and of a shape. */
const mostText = 2_000_000
/** Bytes of a cut file with its report. */
const mostSent = 60_000_000
/** Bytes of a font or the like, as in `make`. */
const mostFile = 30_000_000

const shapeFile = 'template.mjs'

const safeHeaders = {
  'Content-Security-Policy':
    "default-src 'self'; worker-src 'self' blob:; img-src 'self' blob: data:; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
}

/**
 * The page and the person's job over HTTP, for one person on this computer: foreign hosts and origins are refused, and
 * without the token of this start only the page itself is given out. Every refusal is JSON, `{ error: sentence }`.
 */
export async function serveApp({ page, job, own, port, token, ticket, patience = 10_000 }: Served): Promise<Hono<Env>> {
  const files = await pageFiles(page)
  const edited =
    job === undefined
      ? undefined
      : { ...jobFile(await realpath(job)), path: job, name: basename(job), folder: dirname(job) }
  const cookie = () => `midtick-${port()}`
  const holdsToken = (c: Context<Env>) => same(c.req.header('X-Midtick-Token') ?? getCookie(c, cookie()) ?? '', token)
  let unused = ticket

  const app = new Hono<Env>()
  app.onError((error, c) => {
    const { status, message } = error instanceof HTTPException ? error : unforeseen(error)
    // What is left of a body that was refused is not waited for.
    if (status === 408 || status === 413) c.header('Connection', 'close')
    return c.json({ error: message }, status)
  })
  app.use(async (c, next) => {
    await next()
    for (const [name, value] of Object.entries(safeHeaders)) c.header(name, value)
    c.header('Cache-Control', isPrivate(c.req.path) || c.res.status >= 300 ? 'no-store' : 'no-cache')
  })
  app.use(async (c, next) => {
    refuseStrangers(c, port())
    refusePathTricks(c)
    refuseStandIn(c)
    const allowed = methodsAt(c.req.path, files)
    if (allowed.length === 0) throw nothingAt(c)
    if (!allowed.includes(c.req.method)) {
      c.header('Allow', allowed.join(', '))
      const message = `${c.req.method} is refused; ${c.req.path} takes ${allowed.join(' and ')}. Use one of these.`
      throw new HTTPException(405, { message })
    }
    if (isPrivate(c.req.path) && !holdsToken(c)) throw locked()
    await next()
  })

  app.get('/api/job', async (c) => {
    if (!edited) return c.json(null)
    return c.json({ name: edited.name, ...(await edited.read()) })
  })
  app.put('/api/job', async (c) => {
    if (!edited) {
      throw new HTTPException(404, {
        message:
          'No job file is open; only one named at the start is saved. Start midtick open JOB, or download the job.',
      })
    }
    refuseNoJson(c)
    const { text, basedOn } = changeIn(await readBody(c.req.raw, mostText, patience))
    const { written, saved } = await edited.save(text, basedOn)
    if (written) return c.json({ saved })
    const what = saved === null ? 'is no longer on the disk' : 'was changed on the disk since it was opened'
    const error = `${edited.name} ${what}, and nothing was written; a save must be based on what is there. Load it again, or download the job under another name.`
    return c.json({ error, saved }, 409)
  })
  app.get('/api/file', async (c) => {
    const name = c.req.query('name')
    if (!edited || name === undefined) {
      throw new HTTPException(404, {
        message: `${edited ? 'No file is named' : 'No job file is open'}; a file is read by its name in the folder of the open job. Ask as /api/file?name=NAME.`,
      })
    }
    const bytes = await readInside(edited.folder, name, mostFile)
    // Never shown as a page of this origin.
    return send(c, bytes, 'application/octet-stream', { 'Content-Disposition': 'attachment' })
  })
  addSendRoutes(app, (c) => {
    refuseNoJson(c)
    return readBody(c.req.raw, mostSent, patience)
  })
  const refuseOutside = async (name: string) => {
    if (edited) await readInside(edited.folder, name, mostText)
  }
  addShelfRoutes(app, { edited, own, refuseOutside }, (c) => {
    refuseNoJson(c)
    return readBody(c.req.raw, mostText, patience)
  })
  app.get('/api/shapes', async (c) => c.json(await ownSources(own)))
  app.get('/api/machines', async (c) => c.json(await ownProfiles(job)))
  app.get('/own/:name/template.mjs', async (c) => {
    const bytes = await readInside(own, `${c.req.param('name')}/${shapeFile}`, mostText)
    return send(c, bytes, 'text/javascript; charset=utf-8')
  })
  app.get('/*', async (c) => {
    const key = c.req.query('token')
    if (c.req.path === '/' && key !== undefined) {
      const once = unused !== undefined && same(key, unused)
      if (!once && !same(key, token) && !holdsToken(c)) throw locked()
      if (once) unused = undefined
      setCookie(c, cookie(), token, { path: '/', httpOnly: true, sameSite: 'Strict' })
      // So that the token stands neither in the address bar nor in the history.
      return c.redirect('/', 303)
    }
    const file = files.get(c.req.path)
    if (file === undefined) throw nothingAt(c)
    const bytes = await readFile(file).catch(() => {
      throw nothingAt(c)
    })
    return send(c, bytes, getMimeType(file) ?? 'application/octet-stream')
  })
  return app
}

/** The page's own files by the path that asks for them. */
async function pageFiles(folder: string): Promise<ReadonlyMap<string, string>> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true }).catch(() => [])
  const files = new Map<string, string>()
  for (const entry of entries) {
    const file = join(entry.parentPath, entry.name)
    if (entry.isFile()) files.set(`/${relative(folder, file).split(sep).join('/')}`, file)
  }
  const index = files.get('/index.html')
  if (index === undefined) {
    throw new Error(
      `The page is not there: ${folder} must hold index.html. Install midtick again, or run npm run build in its source.`,
    )
  }
  return files.set('/', index)
}

const isPrivate = (path: string) => path.startsWith('/api/') || path.startsWith('/own/')

/** The methods that a path takes; none where there is nothing. */
function methodsAt(path: string, files: ReadonlyMap<string, string>): readonly string[] {
  if (path === '/api/job') return ['GET', 'PUT']
  const own = sendPaths[path] ?? shelfPaths[path]
  if (own) return own
  const isRead =
    path === '/api/file' ||
    path === '/api/shapes' ||
    path === '/api/machines' ||
    /^\/own\/[^/]+\/template\.mjs$/.test(path)
  return isRead || files.has(path) ? ['GET'] : []
}

/**
 * A page of another site that reaches this server, by a name of its own that leads here or by a request across origins,
 * is told nothing. Other ports of this computer are strangers too, though browsers send them the same cookies.
 */
function refuseStrangers(c: Context<Env>, port: number): void {
  const own = ['127.0.0.1', 'localhost'].flatMap((name) => [`${name}:${port}`, ...(port === 80 ? [name] : [])])
  const host = c.req.header('Host')?.toLowerCase()
  if (host === undefined || !own.includes(host)) {
    throw new HTTPException(403, {
      message: `The host is not this server; it must be ${own.join(' or ')}. Open the address that midtick open printed.`,
    })
  }
  const origin = c.req.header('Origin')
  const site = c.req.header('Sec-Fetch-Site')
  const isForeign = isPrivate(c.req.path) && site !== undefined && site !== 'same-origin' && site !== 'none'
  if (isForeign || (origin !== undefined && origin !== `http://${host}`)) {
    throw new HTTPException(403, {
      message: `The request comes from another page; only the page at http://${host} may ask. Open the address that midtick open printed.`,
    })
  }
}

/** Looks at the path as it was sent: what has read it since has taken dots out of it. */
function refusePathTricks(c: Context<Env>): void {
  const [path = ''] = (c.env?.incoming?.url ?? c.req.path).split('?')
  if (!path.startsWith('/') || /\/\/|\.\.|\\|%(?:2e|2f|5c|[01][\da-f]|7f)|\p{Cc}/iu.test(path)) {
    throw new HTTPException(400, {
      message:
        'The path is refused: it must be a plain one, without .., \\, //, and nothing of these in %. Ask for / instead.',
    })
  }
}

/**
 * A service worker would answer in place of this server: with the page of an older version, and to the address with the
 * token of the next start on the same port. With the server on this computer none is needed to do without a network.
 */
function refuseStandIn(c: Context<Env>): void {
  if (c.req.header('Service-Worker') === undefined) return
  throw new HTTPException(403, {
    message: 'A service worker is refused; this server itself answers without a network. Go on without one.',
  })
}

function refuseNoJson(c: Context<Env>): void {
  if (c.req.header('Content-Type')?.split(';')[0]?.trim().toLowerCase() === 'application/json') return
  throw new HTTPException(415, {
    message: 'The body is not called JSON; it must be application/json. Set its Content-Type.',
  })
}

const nothingAt = (c: Context<Env>) =>
  new HTTPException(404, {
    message: `There is nothing at ${c.req.path.slice(0, 80)}; the page and /api are all there is. Start again at /.`,
  })

const locked = () =>
  new HTTPException(403, {
    message:
      'The token is missing or wrong; the files can only be reached with the one of this start. Open the address that midtick open printed.',
  })

function unforeseen(error: Error): HTTPException {
  return new HTTPException(500, {
    message: `The server failed at this (${error.message}); nothing was written. Try again, or start midtick open anew.`,
  })
}

/** Whether two secrets are the same, in a time that does not tell how much of them is. */
function same(a: string, b: string): boolean {
  const digest = (text: string) => createHash('sha256').update(text).digest()
  return timingSafeEqual(digest(a), digest(b))
}

function changeIn(body: string): { text: string; basedOn: string | null } {
  const refused = new HTTPException(400, {
    message:
      'The body is not a change of a job; it must be JSON, { "text": whole text without broken characters, "basedOn": hash of the file that was opened }. Send these two.',
  })
  let change: unknown
  try {
    change = JSON.parse(body)
  } catch {
    throw refused
  }
  if (typeof change !== 'object' || change === null || !('text' in change && 'basedOn' in change)) throw refused
  const { text, basedOn } = change
  // A lone surrogate cannot be written in UTF-8, so what is read again would differ.
  if (typeof text !== 'string' || /\p{Surrogate}/u.test(text)) throw refused
  if (typeof basedOn !== 'string' && basedOn !== null) throw refused
  return { text, basedOn }
}

/** The profiles that the job's machine may be among, read afresh by the rule that `make` goes by. */
async function ownProfiles(job: string | undefined) {
  try {
    return await profilesIn(job === undefined ? inFolder('machines') : besideJob(job))
  } catch (error) {
    if (!(error instanceof Stop)) throw error
    throw new HTTPException(422, { message: error.message })
  }
}

interface OwnSources {
  /** the folder's name, where its module is served, and the module's text; its id shows once it is loaded */
  readonly shapes: readonly { readonly name: string; readonly module: string; readonly source: string }[]
  /** a sentence for each folder that gives none */
  readonly refused: readonly string[]
}

/** The shop's own shapes, read afresh and not run here. */
async function ownSources(folder: string): Promise<OwnSources> {
  const shapes: OwnSources['shapes'][number][] = []
  const refused: string[] = []
  for (const name of await subfolders(folder)) {
    try {
      const source = new TextDecoder().decode(await readInside(folder, `${name}/${shapeFile}`, mostText))
      shapes.push({ name, module: `/own/${encodeURIComponent(name)}/${shapeFile}`, source })
    } catch (error) {
      if (!(error instanceof HTTPException)) throw error
      refused.push(error.message)
    }
  }
  return { shapes, refused }
}

function send(c: Context<Env>, bytes: Uint8Array, type: string, headers: Record<string, string> = {}): Response {
  return c.body(new Uint8Array(bytes), 200, { 'Content-Type': type, ...headers })
}
