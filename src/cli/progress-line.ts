import type { Progress, SendPlan } from '../job/send-run.ts'

type Words = Pick<typeof import('../job/send.ts'), 'pieceWords' | 'timeWords'>

/**
 * What the machine is doing, in one line of at most so many characters. The piece's name gives way first, so that its
 * number, the length and the time left stay.
 */
export function progressLine(progress: Progress, plan: SendPlan, words: Words, columns: number): string {
  const { pieces } = plan
  const piece = pieces[progress.piece - 1]
  const named = (name: string | undefined) =>
    lineFor(progress, piece && words.pieceWords({ ...piece, name }, pieces.length), words)
  const whole = named(piece?.name)
  const over = whole.length - columns
  if (over <= 0 || piece?.name === undefined) return whole.slice(0, columns)
  const left = [...piece.name]
    .slice(0, -(over + 1))
    .join('')
    .trimEnd()
  return named(left === '' ? undefined : `${left}…`).slice(0, columns)
}

/** @param now the piece under the tool; none where only the outline of the job is traced */
function lineFor(progress: Progress, now: string | undefined, { timeWords }: Words): string {
  const way = `${(progress.down / 1000).toFixed(2)} of ${(progress.ofDown / 1000).toFixed(2)} m`
  const left = `about ${timeWords(progress.left)} left`
  const there = now ?? 'once round the job'
  switch (progress.state) {
    case 'opening':
      return 'Asking the machine'
    case 'sending':
      if (now === undefined) return 'Going once round the job with the tool up'
      return `${now.charAt(0).toUpperCase()}${now.slice(1)}: ${way}, ${left}`
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
