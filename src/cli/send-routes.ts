import type { Context, Hono } from 'hono'
import { HTTPException } from 'hono/http-exception'
import { streamSSE } from 'hono/streaming'
import type { Course, RunNews, SendPlan } from '../job/send.ts'
import { linksHere } from './links.ts'
import { linkFor } from './sendable.ts'

const load = () => import('../job/send.ts')
type Running = ReturnType<Awaited<typeof import('../link/run-send.ts')>['runSend']>

/** What a page asks to be sent: a cut file as it has it, and the report that was made with it. */
interface Asked {
  readonly name: string
  /** one character a byte */
  readonly hpgl: string
  readonly report: string | undefined
  readonly to: string | undefined
  readonly side: 'film' | 'liner'
  readonly from: string | undefined
  readonly frame: boolean
}

/** How a run stands, and of which file it is. */
type FileNews = RunNews & { readonly file: string }

/** ms between events; more often than a server gives up a quiet connection. */
const eventEvery = 500

/** Paths of what sends, with their methods. */
export const sendPaths: Readonly<Record<string, readonly string[]>> = {
  '/api/links': ['GET'],
  '/api/send/check': ['POST'],
  '/api/send': ['POST'],
  '/api/send/events': ['GET'],
  '/api/send/pause': ['POST'],
  '/api/send/resume': ['POST'],
  '/api/send/stop': ['POST'],
  '/api/send/leave': ['POST'],
}

/**
 * Adds what a page needs to send a cut file and to watch it: one run at a time, which goes on when the page is closed.
 * @param body reads a body within bounds
 */
export function addSendRoutes<E extends object>(app: Hono<E>, body: (c: Context<E>) => Promise<string>): void {
  let running: Running | undefined
  /** how the run under way stands */
  let newsNow: (() => FileNews) | undefined
  /** how the last run ended, and the last that cut something, with its file */
  let ended: FileNews | undefined
  let cut: { readonly hpgl: string; readonly news: FileNews } | undefined

  app.get('/api/links', async (c) => c.json(await linksHere()))
  app.post('/api/send/check', async (c) => {
    const asked = askedIn(await body(c))
    const { check } = await checked(asked)
    const { plan, question, onward, next, side } = check
    const lines = [...check.lines, ...(await load()).beginningLines(plan, await courseOf(asked, plan))]
    return c.json({ side, lines, question, onward, next, parts: plan.parts, box: plan.box, travel: plan.travel })
  })
  app.post('/api/send', async (c) => {
    const asked = askedIn(await body(c))
    if (running) throw refused(409, 'A job is being sent; one goes at a time. Stop it first, or wait for its end.')
    const { check, machine } = await checked(asked)
    const [{ endingOf, framePlan, newsOf }, { openLink }, { runSend }] = await Promise.all([
      load(),
      import('../link/open-link.ts'),
      import('../link/run-send.ts'),
    ])
    const address = await orRefused(400, () => linkFor(asked.to, machine))
    if (address.kind === 'file')
      throw refused(400, 'A page writes no files of this computer. Download the file instead.')
    const course = await courseOf(asked, check.plan)
    const link = await orRefused(502, () => openLink(address, asked.name))
    if (running) {
      await link.abandon()
      throw refused(409, 'A job is being sent; one goes at a time. Stop it first, or wait for its end.')
    }
    const own = runSend(link, { plan: asked.frame ? framePlan(check.plan) : check.plan, course, address })
    running = own
    ended = undefined
    // two sheets may have the same bytes, and only one of them has been begun
    const file = asked.name
    const before = cut?.hpgl === asked.hpgl && cut.news.file === file ? cut.news : undefined
    newsNow = () => ({ ...newsOf(own.state(), own.now(), before), file })
    own.finished.then(({ sender, note }) => {
      const ending = endingOf(sender, own.now(), (place) => `begin with ${place}`, note)
      ended = { ...newsOf(sender, own.now(), before), ended: ending, file }
      // tracing the outline does nothing to the film
      if (!asked.frame) cut = { hpgl: asked.hpgl, news: ended }
      running = undefined
    })
    return c.json({ begun: true }, 202)
  })
  for (const event of ['pause', 'resume', 'stop', 'leave'] as const) {
    app.post(`/api/send/${event}`, (c) => {
      if (!running) throw refused(409, 'No job is being sent; there is nothing to do this to. Send one first.')
      running.tell(event)
      return c.json({ told: event })
    })
  }
  app.get('/api/send/events', (c) =>
    streamSSE(c, async (stream) => {
      while (!stream.aborted) {
        const own = running
        if (own) {
          await stream.writeSSE({ event: 'progress', data: JSON.stringify(newsNow?.()) })
          // The end is told as soon as it is there.
          await Promise.race([own.finished, stream.sleep(eventEvery)])
          if (own.state().phase === 'ended') {
            await own.finished
            await stream.writeSSE({ event: 'ended', data: JSON.stringify(ended) })
          }
          continue
        }
        await stream.writeSSE({ event: 'idle', data: JSON.stringify({ ended, cut: cut?.news }) })
        await stream.sleep(eventEvery)
      }
    }),
  )
}

async function checked({ name, hpgl, report: text, side }: Asked) {
  const { checkSend, readSendReport, refusalLines } = await load()
  const report = text === undefined ? undefined : readSendReport(text)
  const bytes = Uint8Array.from(hpgl, (c) => c.charCodeAt(0))
  try {
    return { check: checkSend({ file: name, bytes, side, machine: report?.machine, report }), machine: report?.machine }
  } catch (error) {
    throw refused(422, refusalLines(error).join('\n'))
  }
}

/** Where it is to begin; refused as a bad request where there is no such place. */
async function courseOf({ from, frame }: Asked, plan: SendPlan): Promise<Course> {
  const { courseFrom, readMark, wholeFile } = await load()
  return orRefused(400, () => {
    const mark = from === undefined || frame ? undefined : readMark(from, plan)
    if (mark && 'code' in mark) throw new Error(`${mark.limit}. ${mark.cure}`)
    return mark ? courseFrom(plan, mark) : wholeFile
  })
}

const refused = (status: 400 | 409 | 422 | 502, message: string) => new HTTPException(status, { message })

async function orRefused<T>(status: 400 | 502, work: () => T | Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    throw refused(status, error instanceof Error ? error.message : String(error))
  }
}

function askedIn(text: string): Asked {
  const wrong = refused(
    400,
    'The body is not a job to send; it must be JSON, { "name", "hpgl": one character a byte, "report", "to", "side": "film" or "liner", "from", "frame" }. Send these.',
  )
  let found: unknown
  try {
    found = JSON.parse(text)
  } catch {
    throw wrong
  }
  if (typeof found !== 'object' || found === null) throw wrong
  const { name, hpgl, report, to, side = 'film', from, frame = false } = found as Record<string, unknown>
  const isText = (value: unknown): value is string | undefined => value === undefined || typeof value === 'string'
  if (typeof name !== 'string' || typeof hpgl !== 'string' || [...hpgl].some((c) => c > '\u00ff')) throw wrong
  if (!isText(report) || !isText(to) || !isText(from)) throw wrong
  if (typeof frame !== 'boolean' || (side !== 'film' && side !== 'liner')) throw wrong
  return { name, hpgl, report, to, side, from, frame }
}
