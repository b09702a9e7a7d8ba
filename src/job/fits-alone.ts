import type { Panel } from '../panel/panel.ts'
import { type LayoutRequest, layOut } from '../sheet/lay-out.ts'
import type { Built } from './panels.ts'

/** What is asked of a layout before its pieces are known. */
export type Asked = Omit<LayoutRequest, 'pieces'>

/** Does one piece of a panel have room on the film that is asked for, as its object may be turned? */
export function fitsAlone(panel: Panel, { turn }: Built['object'], asked: Asked): boolean {
  const piece = { panel, copy: 1, copies: 1, ...(turn === undefined ? {} : { turn }) }
  return layOut({ ...asked, pieces: [piece] }, { seed: 1, rounds: 0 }).problems.length === 0
}
