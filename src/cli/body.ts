import { HTTPException } from 'hono/http-exception'

/**
 * The body of a request as text, refused as soon as it holds more than `most` bytes or takes longer than `patience`.
 * @param patience ms from now to its last byte
 */
export async function readBody(request: Request, most: number, patience: number): Promise<string> {
  const tooBig = (bytes: number) =>
    new HTTPException(413, {
      message: `The body holds ${bytes} bytes or more; the most is ${most}. Split the job into smaller ones.`,
    })
  const declared = Number(request.headers.get('content-length') ?? 0)
  if (declared > most) throw tooBig(declared)
  if (!request.body) return ''
  const reader: ReadableStreamDefaultReader<Uint8Array> = request.body.getReader()
  let timer: NodeJS.Timeout | undefined
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => {
      reject(
        new HTTPException(408, {
          message: `The body did not arrive in ${patience / 1000} s, the most that is waited. Send it again.`,
        }),
      )
    }, patience)
  })
  const chunks: Uint8Array[] = []
  try {
    for (let bytes = 0; ; ) {
      const { done, value } = await Promise.race([reader.read(), late])
      if (done) return new TextDecoder('utf-8', { fatal: true }).decode(Buffer.concat(chunks))
      bytes += value.length
      if (bytes > most) throw tooBig(bytes)
      chunks.push(value)
    }
  } catch (error) {
    reader.cancel().catch(() => undefined)
    if (error instanceof HTTPException) throw error
    throw new HTTPException(400, {
      message: 'The body broke off or is not UTF-8; it must be whole JSON in UTF-8. Send it again.',
    })
  } finally {
    clearTimeout(timer)
  }
}
