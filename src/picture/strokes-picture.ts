import { rectangle } from '../geometry/path.ts'
import { point } from '../geometry/point.ts'
import type { Operation, Stroke } from '../stroke/stroke.ts'
import type { LineStyle, Picture } from './picture.ts'

/** How each operation looks on a drawing. */
export const strokeStyles: Readonly<Record<Operation, LineStyle>> = {
  pen: 'tick',
  kiss: 'outline',
  through: 'through',
  slit: 'slit',
}

/** Strokes as they stand, on film of a size in mm. */
export function strokesPicture(
  strokes: readonly Stroke[],
  size: { readonly x: number; readonly y: number },
  title: string,
): Picture {
  const film = rectangle(point(0, 0), point(size.x, size.y))
  return {
    title,
    width: size.x,
    height: size.y,
    items: [
      { kind: 'drawn', path: film, style: 'stock' },
      ...strokes.map(({ path, operation }) => ({ kind: 'drawn' as const, path, style: strokeStyles[operation] })),
    ],
  }
}
