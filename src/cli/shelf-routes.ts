import type { Context, Hono } from 'hono'
import { HTTPException } from 'hono/http-exception'
import { type Booking, bookingOf } from './booking.ts'
import type { JobFile } from './job-file.ts'
import { Stop } from './stop.ts'

/** The path of what books a cut job, with its methods. */
export const shelfPaths: Readonly<Record<string, readonly string[]>> = { '/api/shelf/booking': ['GET', 'POST'] }

interface Booked {
  /** the job file on the disk, and the way to it */
  readonly edited: (Pick<JobFile, 'read' | 'name'> & { readonly path: string }) | undefined
  /** folder of shapes of the shop's own */
  readonly own: string
  /** refuses a file that does not lie in the job's folder */
  readonly refuseOutside: (name: string) => Promise<void>
}

/**
 * Adds what a page needs to book a job that was cut: what that changes on the job's shelf, and doing it. Both are about
 * the job file as the page knows it, and the booking about the very changes that were shown.
 * @param body reads a body within bounds
 */
export function addShelfRoutes<E extends object>(
  app: Hono<E>,
  { edited, own, refuseOutside }: Booked,
  body: (c: Context<E>) => Promise<string>,
): void {
  const offered = async (saved: unknown): Promise<Booking> => {
    if (!edited) throw refused(404, 'No job file is open. Start midtick open JOB, or book with midtick shelf take JOB.')
    if ((await edited.read()).saved !== saved)
      throw refused(
        409,
        `${edited.name} is not saved as the page has it; only what is on the disk is booked. Save it first.`,
      )
    try {
      const booking = await bookingOf(edited.path, own, { err: () => undefined })
      await refuseOutside(booking.shelf)
      return booking
    } catch (error) {
      throw error instanceof Stop ? refused(422, error.message) : error
    }
  }
  app.get('/api/shelf/booking', async (c) => {
    const { shelf, changes } = await offered(c.req.query('saved'))
    return c.json({ shelf, changes })
  })
  app.post('/api/shelf/booking', async (c) => {
    const { saved, changes } = askedIn(await body(c))
    const booking = await offered(saved)
    if (booking.changes.join('\n') !== changes.join('\n')) {
      throw refused(409, `${booking.shelf} was changed meanwhile; nothing is booked. Look at it and book again.`)
    }
    await booking.book().catch((error) => {
      throw error instanceof Stop ? refused(409, error.message) : error
    })
    return c.json({ booked: booking.shelf })
  })
}

function askedIn(text: string): { readonly saved: string; readonly changes: readonly string[] } {
  const wrong = refused(
    400,
    'The body is no booking; it must be JSON, { "saved": hash, "changes": [sentence] }. Send these two.',
  )
  let asked: unknown
  try {
    asked = JSON.parse(text)
  } catch {
    throw wrong
  }
  if (typeof asked !== 'object' || asked === null || !('saved' in asked && 'changes' in asked)) throw wrong
  const { saved, changes } = asked
  if (typeof saved !== 'string' || !Array.isArray(changes) || !changes.every((each) => typeof each === 'string'))
    throw wrong
  return { saved, changes }
}

const refused = (status: 400 | 404 | 409 | 422, message: string) => new HTTPException(status, { message })
