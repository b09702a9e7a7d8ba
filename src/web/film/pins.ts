import type { PiecePreview, SheetPreview } from '../../job/preview-data.ts'
import type { Value } from '../job-text.ts'

/** Where a piece shall stay: mm from the left and the bottom edge of its film, degrees. */
export interface Spot {
  readonly x: number
  readonly y: number
  readonly angle: number
}

type Table = { readonly [key: string]: Value }

const tables = (pins: unknown): readonly Table[] =>
  Array.isArray(pins) ? pins.filter((pin): pin is Table => typeof pin === 'object' && pin !== null) : []

const isOf =
  ({ panel, copy }: PiecePreview) =>
  (pin: Table) =>
    (pin.copy ?? 1) === copy && (pin.panel === undefined || pin.panel === panel)

/** To a tenth of a mm and of a degree: as exact as a person lays film. */
const tenth = (value: number) => Math.round(value * 10) / 10 + 0

/** The pins of an object, with one for a piece that lies on a sheet. `pins` is what stands in the job. */
export function pinned(pins: unknown, piece: PiecePreview, sheet: SheetPreview, spot: Spot): readonly Value[] {
  const own: Table = {
    ...(piece.copy === 1 ? {} : { copy: piece.copy }),
    panel: piece.panel,
    stock: sheet.stock,
    ...(sheet.ofStock === 1 ? {} : { sheet: sheet.ofStock }),
    x: tenth(spot.x),
    y: tenth(spot.y),
    ...(tenth(spot.angle) === 0 ? {} : { angle: tenth(spot.angle) }),
  }
  return [...tables(pins).filter((pin) => !isOf(piece)(pin)), own]
}

/** The pins of an object without that of a piece; undefined where none is left. */
export function unpinned(pins: unknown, piece: PiecePreview): readonly Value[] | undefined {
  const left = tables(pins).filter((pin) => !isOf(piece)(pin))
  return left.length > 0 ? left : undefined
}
