import { polyline } from '../geometry/path.ts'
import { edgeOf, type Stock } from '../sheet/stock.ts'
import type { Picture } from './picture.ts'
import { fills } from './styles.ts'

/** How much of a roll is drawn, for a width of 1. */
const rollShown = 1.4

/** A stock as it stands on the shelf, with its bad spots, 1:1; of a roll its free end. */
export function stockPicture(stock: Stock): Picture {
  const length = stock.kind === 'roll' ? Math.min(stock.length, rollShown * stock.width) : stock.length
  const spots = stock.badSpots.map((ring) => polyline(ring, true))
  return {
    title: stock.name,
    width: length,
    height: stock.width,
    items: [
      ...spots.map((path) => ({ kind: 'filled' as const, path, colour: fills.bad })),
      { kind: 'drawn', path: polyline(edgeOf(stock, length), true), style: 'stock' },
      ...spots.map((path) => ({ kind: 'drawn' as const, path, style: 'bad' as const })),
    ],
  }
}
