import { boundsOf } from '../../src/geometry/bounds.ts'
import { roundedCorners } from '../../src/geometry/edges.ts'
import { lineTo, openPath, polyline } from '../../src/geometry/path.ts'
import { between, norm, type Point, point } from '../../src/geometry/point.ts'
import type { Development } from '../../src/panel/development.ts'
import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { faceSketch } from '../face-sketch.ts'

interface Shown {
  readonly sides: number
  readonly side: number | undefined
  readonly acrossFlats: number | undefined
  readonly radius: number
}

/** The polygon with a side between square corners, the way across flats and a corner's radius. */
export function polygonSketch(
  face: Development,
  corners: readonly Point[],
  shown: Shown,
  withValues: boolean,
  say: Say,
): Picture {
  const square = polyline(corners, true)
  const isRound = shown.radius > 0
  const path = isRound
    ? roundedCorners(
        square,
        corners.map(() => shown.radius),
      )
    : square
  const box = boundsOf([path])
  const [left = point(0, 0), right = left, next = right] = corners
  // From a square corner to the middle of its rounding, as a share of the way to the middle of the face.
  const bulge = (shown.radius * (1 / Math.cos(Math.PI / shown.sides) - 1)) / norm(left)
  const words = (mm: number | undefined, letter: string) =>
    withValues ? (mm === undefined ? undefined : say(mm)) : letter
  const side = words(shown.side, 'A  side')
  const flats = words(shown.acrossFlats, 'B  acrossFlats')
  const foot = point(box.high.x, box.low.y)
  const level = (x: number, y: number) => ({
    path: openPath(point(x, y), lineTo(point(box.high.x, y))),
    style: 'dimension' as const,
  })
  return faceSketch(
    { ...face, edges: [{ name: 'all', path }] },
    [
      ...(side ? [{ from: left, to: right, beside: -8, text: side }] : []),
      ...(flats ? [{ from: foot, to: box.high, beside: -10, text: flats }] : []),
    ],
    {
      lines: [
        // Sides run on to the corners that the tape is held to.
        ...(isRound ? [polyline([left, right]), polyline([right, next])] : []).map((run) => ({
          path: run,
          style: 'hidden' as const,
        })),
        ...(flats ? [level(right.x, box.low.y), level(right.x, box.high.y)] : []),
      ],
      words: isRound
        ? [
            {
              at: between(left, point(0, 0), bulge),
              text: withValues ? `R ${say(shown.radius)}` : 'R  radius',
              anchor: 'end',
              leader: point(-10, -4),
            },
          ]
        : [],
      under: withValues
        ? []
        : ['A runs to the sharp corners that two straight-edges make.', 'One of A and B is enough.'],
    },
  )
}
