import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { polyline } from '../geometry/path.ts'
import { transform } from '../geometry/transform.ts'
import { type Unit, writeLength } from '../measure/length.ts'
import type { Problem } from '../measure/problem.ts'
import { cutLine } from '../panel/cut-line.ts'
import type { Keeping, Lying } from './beds.ts'
import { lieMatrix } from './placing.ts'
import type { Piece } from './sheet.ts'
import { type Stock, stricter, type Turn } from './stock.ts'

const degree = Math.PI / 180

const angles: Readonly<Record<Turn, readonly number[]>> = {
  none: [0],
  quarter: [0, 90 * degree],
  any: Array.from({ length: 180 }, (_, i) => i * degree),
}

interface Miss {
  readonly stock: Stock
  readonly along: number
  readonly across: number
  readonly left: { readonly along: number; readonly across: number }
}

/**
 * A piece that fits no stock in any way it may lie, with how many millimetres are missing where the fewest are.
 * @param short by how much the stock that comes nearest would have to grow all round, where boxes alone do not tell
 */
export function tooBig(
  piece: Piece,
  { room, stocks, unit = 'mm' }: Keeping & { readonly stocks: readonly Stock[]; readonly unit?: Unit },
  kinds: readonly Lying[],
  short: () => { readonly stock: Stock; readonly by: number } | undefined,
): Problem {
  const { panel } = piece
  const say = (mm: number) => writeLength(mm, unit)
  const film = [cutLine(panel), ...panel.ticks.filter(({ make }) => make === 'waste').map(({ path }) => path)]
  const boxAt = (angle: number) => boundsOf(film.map((path) => transform(path, lieMatrix(angle, 0, 0))))
  const misses = (turn: Turn): Miss[] =>
    kinds.flatMap(({ stock, bed }) => {
      const frame = boundsOf([polyline(bed.region.outer)])
      const left = { along: boxWidth(frame) - 2 * room, across: boxHeight(frame) - 2 * room }
      return angles[turn].map((angle) => {
        const box = boxAt(angle)
        const over = (have: number, free: number) => Math.max(0, have - free)
        return { stock, along: over(boxWidth(box), left.along), across: over(boxHeight(box), left.across), left }
      })
    })
  const least = (all: readonly Miss[]) =>
    all.reduce<Miss | undefined>((a, b) => (a && a.along + a.across <= b.along + b.across ? a : b), undefined)
  const turn = stocks.reduce((own, stock) => stricter(own, stock.turn), piece.turn ?? 'any')
  const best = least(misses(turn))
  const freer = turn === 'none' ? least(misses('quarter')) : undefined
  const own = boxAt(0)
  const field = panel.name
  const value = `${say(boxWidth(own))} x ${say(boxHeight(own))} with its ticks`
  const ways = { none: 'not turned', quarter: 'turned by quarters', any: 'turned to any angle' }[turn]
  const bigger =
    'Take wider film or a bigger machine, let it be tiled (tile in the layout table), split it into two part wraps, or mark it out by hand (machine: by-hand).'
  if (!best) {
    const limit = 'margins, machine and bad spots leave nothing of the film there is'
    return { code: 'panel_too_big', field, value, limit, cure: bigger }
  }
  const { along, across, left, stock } = best
  const where = stocks.length > 1 ? `of ${stock.name} film` : 'film'
  const leave = `${where} and machine leave ${say(left.along)} along and ${say(left.across)} across`
  if (along + across <= 0) {
    const missing = short()
    const by = missing
      ? `the edge or bad spots of ${missing.stock.name} stand in its way; ${say(Math.max(0.1, missing.by))} more of that film all round would do`
      : `the edge or bad spots of ${stock.name} stand in its way`
    const limit = `${by}, ${ways}`
    return { code: 'panel_too_big', field, value, limit, cure: bigger }
  }
  const over = [...(along > 0 ? [`${say(along)} along`] : []), ...(across > 0 ? [`${say(across)} across`] : [])]
  const fitsTurned = freer !== undefined && freer.along + freer.across <= 0
  return {
    code: 'panel_too_big',
    field,
    value,
    limit: `${leave}; too big by ${over.join(' and ')}, ${ways}`,
    cure: fitsTurned
      ? `It fits when turned a quarter: set ${piece.turn === 'none' ? 'turn of the object' : 'stock.turn'} to quarter if the film has no direction.`
      : bigger,
  }
}
