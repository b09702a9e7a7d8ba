import { randomBytes } from 'node:crypto'
import { createServer, type Server } from 'node:http'
import type { AddressInfo, Socket } from 'node:net'
import { getRequestListener } from '@hono/node-server'
import { type Served, serveApp } from './serve.ts'

export interface Listening {
  /** where the page is, with the token of this start */
  readonly address: string
  /** the same for one use, which may be seen by others in the list of processes */
  readonly addressOnce: string
  /** lets what is under way finish for a second, then ends */
  readonly close: () => Promise<void>
}

interface Wanted extends Pick<Served, 'page' | 'job' | 'own' | 'patience'> {
  /** any free one if left out */
  readonly port?: number | undefined
}

/** The page's server on this computer only, with bounds on headers, connections and the time that each may take. */
export async function listen({ port, patience = 10_000, ...served }: Wanted): Promise<Listening> {
  const token = randomBytes(24).toString('base64url')
  const ticket = randomBytes(24).toString('base64url')
  const server = createServer({
    maxHeaderSize: 16_384,
    headersTimeout: patience,
    requestTimeout: 2 * patience,
    connectionsCheckingInterval: Math.min(1000, patience),
    keepAliveTimeout: 5000,
  })
  server.maxConnections = 256
  // A client that stops reading its answer.
  server.timeout = 3 * patience
  const portOf = () => (server.address() as AddressInfo | null)?.port ?? 0
  const app = await serveApp({ ...served, patience, port: portOf, token, ticket })
  const answer = getRequestListener(app.fetch, {
    overrideGlobalObjects: false,
    errorHandler: () => Response.json({ error: malformed }, { status: 400 }),
  })
  answerBrokenRequests(server)
  server.on('request', answer)
  await started(server, port ?? 0)
  const at = `http://127.0.0.1:${portOf()}/?token=`
  return { address: at + token, addressOnce: at + ticket, close: () => closed(server) }
}

function started(server: Server, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    // Stays, so that no later fault of the listening socket ends the process.
    server.on('error', (error: NodeJS.ErrnoException) => {
      const why =
        error.code === 'EADDRINUSE'
          ? 'another program uses it'
          : error.code === 'EACCES'
            ? 'this user may not'
            : error.message
      reject(
        new Error(`Port ${port} cannot be used: ${why}. Give another with --port, or leave it out for a free one.`),
      )
    })
    server.listen(port, '127.0.0.1', resolve)
  })
}

function closed(server: Server): Promise<void> {
  return new Promise((resolve) => {
    server.close(() => resolve())
    setTimeout(() => server.closeAllConnections(), 1000).unref()
  })
}

const malformed = 'The request is not understood; it must be HTTP with a plain address and host. Start again at /.'

const broken: Readonly<Record<string, readonly [status: string, error: string]>> = {
  HPE_HEADER_OVERFLOW: [
    '431 Request Header Fields Too Large',
    'The headers are too long; the most is 16,384 bytes. Delete the cookies of this computer in the browser.',
  ],
  ERR_HTTP_REQUEST_TIMEOUT: ['408 Request Timeout', 'The request took too long to arrive. Send it again.'],
}

/** Answers what Node cannot read as a request, unless an answer to an earlier one is on its way. */
function answerBrokenRequests(server: Server): void {
  const busy = new WeakSet<Socket>()
  server.on('request', ({ socket }, response) => {
    busy.add(socket)
    response.on('close', () => busy.delete(socket))
  })
  server.on('clientError', (error: NodeJS.ErrnoException, socket: Socket) => {
    if (!socket.writable || busy.has(socket) || error.code === 'ECONNRESET') {
      socket.destroy()
      return
    }
    const [status, sentence] = broken[error.code ?? ''] ?? ['400 Bad Request', malformed]
    const body = JSON.stringify({ error: sentence })
    const head = ['Content-Type: application/json', `Content-Length: ${body.length}`, 'Cache-Control: no-store']
    socket.end(`HTTP/1.1 ${status}\r\nConnection: close\r\n${head.join('\r\n')}\r\n\r\n${body}`)
  })
}
