import { type Box, boundsOf } from '../geometry/bounds.ts'
import { following, type Matrix, quarterTurn, transform, translation, turning } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import type { Panel } from '../panel/panel.ts'
import type { Pin, Placed } from './sheet.ts'
import type { Turn } from './stock.ts'

const quarter = Math.PI / 2
const exact = 1e-12

/** Turned by `angle` radians and moved; quarter turns without rounding. */
export function lieMatrix(angle: number, x: number, y: number): Matrix {
  const quarters = angle / quarter
  const whole = Math.round(quarters)
  if (Math.abs(quarters - whole) > exact) return turning(angle, { x, y })
  let turn = translation(0, 0)
  for (let i = 0; i < ((whole % 4) + 4) % 4; i++) turn = following(turn, quarterTurn)
  return following(turn, translation(x, y))
}

/** Angles at which a piece may lie, as the layout is asked for them. */
export const turnsOf = (turn: Turn): 'any' | readonly number[] =>
  turn === 'any' ? 'any' : turn === 'none' ? [0] : [0, quarter, Math.PI, 3 * quarter]

/** The box round a panel's cut line as it lies turned by `angle` about its own origin. */
const turnedBox = (panel: Panel, angle: number): Box => boundsOf([transform(cutLine(panel), lieMatrix(angle, 0, 0))])

/** Where a pinned panel's own origin lies, mm. */
export function originOf(panel: Panel, { x, y, angle }: Pin): { readonly x: number; readonly y: number } {
  const { low } = turnedBox(panel, angle)
  return { x: x - low.x, y: y - low.y }
}

/** How far the box round a placed piece is from the left and the bottom edge, mm. */
export function cornerOf({ panel, place }: Placed): { readonly x: number; readonly y: number } {
  return boundsOf([transform(cutLine(panel), place)]).low
}
