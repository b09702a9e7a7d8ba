import { type Box, commonBox, insetBox } from '../geometry/bounds.ts'
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
  /** the part of the film's box where the machine can cut, either way up where the film is turned over */
  readonly reached: Box
  /** kept free along every edge of the film, mm; the machine may leave more, see `reached` */
  readonly margin: number
  readonly pieces: readonly Placed[]
  /** the middles of the two lining-up crosses, where there is a liner side to line up */
  readonly crosses: readonly Point[]
}

/** The box in which pieces and crosses lie: what the machine reaches of the film inside its margin. */
export const usableBox = ({
  length,
  width,
  margin,
  reached,
}: Pick<Sheet, 'length' | 'width' | 'margin' | 'reached'>): Box =>
  commonBox(reached, insetBox({ low: { x: 0, y: 0 }, high: { x: length, y: width } }, margin))
