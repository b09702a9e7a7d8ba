import type { Panel } from '../panel/panel.ts'
import type { Say } from '../panel/template.ts'
import { tiled } from '../panel/tile.ts'
import { type Asked, fitsAlone } from './fits-alone.ts'
import type { Built } from './panels.ts'

/** Panels that fit no film whole, in parts that do; one that cannot be parted stays, to be refused with its size. */
export function tiledPanels(objects: readonly Built[], asked: Asked, overlap: number, say: Say): Built[] {
  return objects.map((built) => {
    const fits = (panel: Panel) => fitsAlone(panel, built.object, asked)
    const panels = built.panels.flatMap((own) => {
      const parts = fits(own.panel) ? undefined : tiled(own.panel, overlap, fits, say)
      return parts ? parts.map((panel) => ({ panel, copies: own.copies })) : [own]
    })
    return { ...built, panels }
  })
}
