import { nearestWord } from '../../measure/nearest.ts'
import type { Problem } from '../../measure/problem.ts'
import { type Part, partWords, pieceNames, toolOf } from './parts.ts'
import type { SendPlan } from './plan.ts'

/** A place in a file where a run can begin or has ended. */
export interface Mark {
  /** of the file, from 0 */
  readonly line: number
  /** of the line, from 1 */
  readonly point: number
}

/**
 * A mark as a person gives it: the name of the piece, the tool, the line among those of the piece by that tool, and the
 * point on it, such as `pail lid, copy 2 of 3, kiss, line 2, point 17`; a line or a point that is the first goes unsaid.
 */
export function formatMark({ parts, lines }: SendPlan, { line, point }: Mark): string {
  const part = parts[lines[line]?.part ?? -1]
  if (!part) return ''
  const count = part.lines.indexOf(line) + 1
  return [
    `${part.name}, ${toolOf(part)}`,
    ...(count > 1 || point > 1 ? [`line ${count}`] : []),
    ...(point > 1 ? [`point ${point}`] : []),
  ].join(', ')
}

/** Names that are listed before the rest is only counted. */
const mostNamed = 6

/**
 * The mark that a text gives. The beginning of a name does where it fits one piece alone, `copy` and `of 3` may be left
 * out, and the tool where the piece is done by one.
 */
export function readMark(text: string, plan: SendPlan): Mark | Problem {
  const whole = found(text, plan.parts)
  const [, name = text, line = '1', at = '1'] =
    whole.length > 0 ? [] : (/^(.*?)(?:,?\s*\bline\s+(\d{1,9}))?(?:,?\s*\bpoint\s+(\d{1,9}))?\s*$/i.exec(text) ?? [])
  const fitting = whole.length > 0 ? whole : found(name, plan.parts)
  const refused = (limit: string, cure: string): Problem => ({
    code: 'no_such_place',
    field: 'the place to begin',
    value: `"${text}"`,
    limit,
    cure,
  })
  const [part, ...others] = fitting
  if (!part) {
    const names = pieceNames(plan.parts)
    const all = names.length > 0 ? names : plan.parts.map((each) => each.name)
    const near = nearestWord(name.trim(), all)
    return refused(
      `in the file are ${listed(all)}`,
      near === undefined ? 'Give one of these.' : `Did you mean "${near}"?`,
    )
  }
  if (others.length > 0) {
    const isOne = others.every((each) => each.name === part.name)
    const full = fitting.map((each) => `${each.name}, ${toolOf(each)}`)
    const limit = isOne ? `${part.name} is done by ${fitting.map(toolOf).join(' and by ')}` : 'that fits more than one'
    return refused(limit, `Say which: ${listed(full, ' or ')}.`)
  }
  const count = part.lines.length
  const index = part.lines[Number(line) - 1]
  if (index === undefined) {
    return refused(`${partWords(part)} has ${count} ${count === 1 ? 'line' : 'lines'}`, 'Give one of these, or none.')
  }
  return { line: index, point: Math.max(1, Number(at)) }
}

function listed(names: readonly string[], last = ' and '): string {
  const shown = names.slice(0, mostNamed).map((name) => `"${name}"`)
  const more = names.length - shown.length
  if (more > 0) return `${shown.join(', ')} and ${more} more`
  return shown.length > 1 ? `${shown.slice(0, -1).join(', ')}${last}${shown.at(-1)}` : (shown[0] ?? 'none')
}

/** The parts that a text calls: by the name, with or without the tool; else by the beginning of a name, word by word; else by any. */
function found(text: string, parts: readonly Part[]): readonly Part[] {
  const asked = plain(text)
  if (asked === '') return []
  const called = parts.map((part) => ({ part, names: callings(part) }))
  const by = (fits: (name: string) => boolean) => called.filter(({ names }) => names.some(fits)).map(({ part }) => part)
  const ways = [
    (name: string) => name === asked,
    (name: string) => name.startsWith(`${asked} `),
    // the 2 of copy 2 is not the beginning of copy 20
    (name: string) => name.startsWith(asked) && !/\d$/.test(asked),
  ]
  for (const fits of ways) {
    const own = by(fits)
    if (own.length > 0) return own
  }
  return []
}

/** All that a part may be called. */
function callings(part: Part): readonly string[] {
  const short = part.name.replace(/(, copy \d+) of \d+$/, '$1')
  return [part.name, short].flatMap((name) => [plain(name), plain(`${name} ${toolOf(part)}`)])
}

/** Words alone, so that commas, quotes, case and the word `copy` do not count. */
const plain = (text: string): string =>
  text
    .toLowerCase()
    .replace(/[,()"'\s]+/g, ' ')
    .replace(/\bcopy (?=\d)/g, '')
    .trim()
