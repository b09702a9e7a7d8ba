import { arcTo, closedPath, lineTo, openPath } from '../../../src/geometry/path.ts'
import { point } from '../../../src/geometry/point.ts'
import type { Picture } from '../../../src/picture/picture.ts'

/** A curved panel of 450 x 160 mm with a line of 200 mm along y = 30 that crosses the seam of two A4 pages. */
export const curvedPanel: Picture = {
  title: 'Curved panel',
  width: 450,
  height: 160,
  items: [
    {
      kind: 'drawn',
      style: 'outline',
      path: closedPath(point(10, 70), [
        arcTo(point(440, 70), 0.6),
        lineTo(point(430, 155)),
        arcTo(point(20, 155), -0.55),
      ]),
    },
    { kind: 'drawn', style: 'label', path: openPath(point(20, 120), lineTo(point(220, 120))) },
    { kind: 'words', at: point(120, 110), text: 'front', size: 6, anchor: 'middle', turn: 0 },
  ],
}

/** A picture of the given size with one line from corner to corner. */
export function plainPicture(width: number, height: number): Picture {
  const path = openPath(point(0, 0), lineTo(point(width, height)))
  return { title: 'plain', width, height, items: [{ kind: 'drawn', style: 'object', path }] }
}
