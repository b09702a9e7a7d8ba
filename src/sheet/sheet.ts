import type { Point } from '../geometry/point.ts'
import type { Matrix } from '../geometry/transform.ts'
import type { Panel } from '../panel/panel.ts'
import type { Stock, Turn } from './stock.ts'

/** Where a person wants a piece. */
export interface Pin {
  /** which stock, by its name; the first where it is left out */
  readonly stock?: string
  /** which of the sheets cut from that stock, from 1 */
  readonly sheet: number
  /** how far the box round the piece's cut line, turned, is from the left and the bottom edge of the stock, mm */
  readonly x: number
  readonly y: number
  /** radians, counter-clockwise from how the panel stands */
  readonly angle: number
}

export interface Piece {
  readonly panel: Panel
  /** counts from 1 */
  readonly copy: number
  readonly copies: number
  /** what the object says about turning, beside what the stock says */
  readonly turn?: Turn
  /** pieces of one group come from one sheet */
  readonly group?: string
  readonly pin?: Pin
}

export interface Placed extends Piece {
  readonly place: Matrix
  /** radians by which it is turned */
  readonly angle: number
}

/** One length of film to cut in one go. */
export interface Sheet {
  readonly number: number
  readonly stock: Stock
  /** which of the sheets from that stock, from 1 */
  readonly ofStock: number
  /** mm along the film */
  readonly length: number
  /** mm across the film */
  readonly width: number
  /** how much of the width the machine reaches, mm */
  readonly reach: number
  /** kept free along every edge, mm, by the film's margin and the machine's */
  readonly margin: number
  readonly pieces: readonly Placed[]
  /** the middles of the two lining-up crosses, where there is a liner side to line up */
  readonly crosses: readonly Point[]
}
