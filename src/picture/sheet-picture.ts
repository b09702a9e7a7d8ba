import { boundsOf } from '../geometry/bounds.ts'
import { lineTo, openPath, rectangle } from '../geometry/path.ts'
import { point } from '../geometry/point.ts'
import { mirrorAcross, transform } from '../geometry/transform.ts'
import type { Sheet } from '../sheet/sheet.ts'
import type { Operation, Stroke } from '../stroke/stroke.ts'
import type { Drawn, LineStyle, Picture, Words } from './picture.ts'

const styles: Readonly<Record<Operation, LineStyle>> = {
  pen: 'tick',
  kiss: 'outline',
  through: 'through',
  slit: 'slit',
}

/** A sheet as it lies film side up, with both sides' strokes, 1:1, and the names of its pieces. */
export function sheetPicture(sheet: Sheet, film: readonly Stroke[], liner: readonly Stroke[]): Picture {
  const back = mirrorAcross(sheet.length / 2)
  const drawn = (stroke: Stroke): Drawn => ({ kind: 'drawn', path: stroke.path, style: styles[stroke.operation] })
  const names = sheet.pieces.map((piece): Words => {
    const box = boundsOf([transform(piece.panel.outline, piece.place)])
    const middle = point(box.low.x + (box.high.x - box.low.x) * 0.25, box.low.y + (box.high.y - box.low.y) * 0.3)
    const text = piece.copies > 1 ? `${piece.panel.name} ${piece.copy} of ${piece.copies}` : piece.panel.name
    return { kind: 'words', at: middle, text, size: 8, anchor: 'middle', turn: 0 }
  })
  const items = [
    { kind: 'drawn' as const, path: rectangle(point(0, 0), point(sheet.length, sheet.width)), style: 'stock' as const },
    ...sheet.pieces.map(({ panel, place }): Drawn => {
      const { from, to } = panel.hinge
      return { kind: 'drawn', path: transform(openPath(from, lineTo(to)), place), style: 'hinge' }
    }),
    ...film.map(drawn),
    ...liner.filter((s) => s.name.includes('slit')).map((s) => drawn({ ...s, path: transform(s.path, back) })),
    ...names,
  ]
  return { title: `Sheet ${sheet.number}`, width: sheet.length, height: sheet.width, items }
}
