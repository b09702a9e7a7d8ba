import { lineTo, openPath } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import type { Development } from '../../src/panel/development.ts'
import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { across, faceSketch } from '../face-sketch.ts'

export function ringSketch(
  face: Development,
  shown: { readonly outer: number; readonly inner: number },
  withValues: boolean,
  say: Say,
): Picture {
  const { below, drops } = across(face)
  const r = shown.inner / 2
  return faceSketch(
    face,
    [
      { ...below, beside: -17, text: withValues ? say(shown.outer) : 'A  outer' },
      {
        from: point(-r, below.from.y),
        to: point(r, below.from.y),
        beside: -8,
        text: withValues ? say(shown.inner) : 'B  inner',
      },
    ],
    {
      lines: [
        ...drops.below,
        ...[-r, r].map((x) => ({
          path: openPath(point(x, 0), lineTo(point(x, below.from.y))),
          style: 'dimension' as const,
        })),
      ],
      hingeName: 0.06,
      rim: { bottom: 25, top: 8 },
      under: withValues ? [] : ['Swing the tape until it reads the most: that is through the middle.'],
    },
  )
}
