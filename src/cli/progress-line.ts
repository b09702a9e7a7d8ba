import type { Progress } from '../job/send-run.ts'

type Words = Pick<typeof import('../job/send.ts'), 'timeWords'>

/**
 * What the machine is doing, in one line of at most so many characters. The piece's name gives way first, so that its
 * copy, the tool, the length and the time left stay.
 */
export function progressLine(progress: Progress, words: Words, columns: number): string {
  const { under } = progress
  const whole = lineFor(progress, under, words)
  const over = whole.length - columns
  const [, name = '', rest = ''] = /^(.*?)((?:, copy \d+ of \d+)? \([^()]*\))$/s.exec(under ?? '') ?? []
  if (over <= 0 || name === '') return whole.slice(0, columns)
  const left = [...name]
    .slice(0, -(over + 1))
    .join('')
    .trimEnd()
  return lineFor(progress, `${left}…${rest}`, words).slice(0, columns)
}

/** @param now what is under the tool; none where only the outline of the job is traced */
function lineFor(progress: Progress, now: string | undefined, { timeWords }: Words): string {
  const way = `${(progress.down / 1000).toFixed(2)} of ${(progress.ofDown / 1000).toFixed(2)} m`
  const left = `about ${timeWords(progress.left)} left`
  const there = now ?? 'once round the job'
  switch (progress.state) {
    case 'opening':
      return 'Asking the machine'
    case 'sending':
      if (now === undefined) return 'Going once round the job with the tool up'
      return `${now}: ${way}, ${left}`
    case 'pausing':
      return `Pausing in ${there}`
    case 'paused':
      return `Paused in ${there}, the tool is up. r goes on, s stops`
    case 'stopping':
      return 'Stopping: it does what it still has in its buffer, then lifts and parks'
    case 'finishing':
      return `All is sent, no stop reaches it: ${there}, ${left}, until it is through`
    case 'ended':
      return ''
  }
}
