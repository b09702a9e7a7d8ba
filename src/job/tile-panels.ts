import type { Panel } from '../panel/panel.ts'
import type { Say } from '../panel/template.ts'
import { tiled } from '../panel/tile.ts'
import { type LayoutRequest, layOut } from '../sheet/lay-out.ts'
import type { Built } from './panels.ts'

/** Panels that fit no film whole, in parts that do; one that cannot be parted stays, to be refused with its size. */
export function tiledPanels(
  objects: readonly Built[],
  request: Omit<LayoutRequest, 'pieces'>,
  overlap: number,
  say: Say,
): Built[] {
  return objects.map((built) => {
    const { turn } = built.object
    const rule = turn === undefined ? {} : { turn }
    const fits = (panel: Panel) =>
      layOut({ ...request, pieces: [{ panel, copy: 1, copies: 1, ...rule }] }, { seed: 1, rounds: 0 }).problems
        .length === 0
    const panels = built.panels.flatMap((own) => {
      const parts = fits(own.panel) ? undefined : tiled(own.panel, overlap, fits, say)
      return parts ? parts.map((panel) => ({ panel, copies: own.copies })) : [own]
    })
    return { ...built, panels }
  })
}
