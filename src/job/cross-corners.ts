import { type Asked, fitsAlone } from './fits-alone.ts'
import type { Built } from './panels.ts'

/**
 * What is asked of a layout, with the lining-up crosses of sheets in their corners where a panel has room only so: it
 * needs the length that is kept free for crosses at the ends. So it is, too, where a panel has no room either way and is
 * not parted: what it is too big by is told against all the room there is.
 */
export function withCrossesWhereRoomIs(objects: readonly Built[], asked: Asked, isTiled: boolean): Asked {
  const isMovable = asked.stocks.some(({ kind, outline }) => kind !== 'roll' && outline === undefined)
  if (asked.spare === 0 || !isMovable) return asked
  const inCorners = { ...asked, inCorners: true }
  const gains = objects.some(({ object, panels }) =>
    panels.some(({ panel }) => !fitsAlone(panel, object, asked) && (!isTiled || fitsAlone(panel, object, inCorners))),
  )
  return gains ? inCorners : asked
}
