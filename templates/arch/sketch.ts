import { lineTo, openPath } from '../../src/geometry/path.ts'
import { type Point, point } from '../../src/geometry/point.ts'
import type { Development } from '../../src/panel/development.ts'
import type { Stretch } from '../../src/panel/panel.ts'
import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { type Arrow, faceSketch } from '../face-sketch.ts'
import { hungAt } from '../hung.ts'

interface Shown {
  readonly measured: 'inner' | 'outer'
  readonly chord: number | undefined
  readonly rise: number | undefined
  readonly radius: number | undefined
  readonly width: number
  readonly angle: number
  readonly inner: number
  readonly outer: number
}

/** The arch with its chord and rise, or with its radius and angle. */
export function archSketch(
  face: Development,
  hung: Stretch | undefined,
  shown: Shown,
  withValues: boolean,
  say: Say,
): Picture {
  const own = hungAt(face, hung)
  const [bottom, , top] = face.edges.map((edge) => edge.path)
  const zero = point(0, 0)
  const ends = { inner: bottom?.start ?? zero, outer: top?.segments.at(-1)?.to ?? zero }
  const left = ends[shown.measured]
  const right = point(-left.x, left.y)
  const crown = shown.measured === 'inner' ? face.hinge.from : face.hinge.to
  const foot = point(0, left.y)
  const centre = point(0, face.hinge.from.y - shown.inner)
  const line = (from: Point, to: Point) => ({ path: openPath(from, lineTo(to)), style: 'dimension' as const })
  const byRadius = shown.radius !== undefined
  const isOuter = shown.measured === 'outer'
  const measured = isOuter ? shown.outer : shown.inner
  // A centre far away would shrink the face: then the radius is only told.
  const isNear = measured < 2 * (ends.outer.x === 0 ? measured : Math.abs(ends.outer.x) * 2) || shown.angle > Math.PI
  const end = { from: ends.inner, to: ends.outer }
  const width: Arrow = { ...end, beside: 8, text: withValues ? say(shown.width) : 'C  width' }
  const degrees = `${((shown.angle * 180) / Math.PI).toFixed(1)} degrees`
  const under = [
    ...(isOuter ? ['Measured on the outer edge.'] : []),
    ...(byRadius
      ? [isNear ? `Angle between the ends: ${degrees}` : `Radius ${say(measured)}, ${degrees} between the ends.`]
      : []),
    ...(withValues
      ? []
      : [
          'Chord and rise of the inner edge, or of the outer one (say so by measured).',
          'R: radius, in place of A and B, with the angle between the ends.',
        ]),
  ]
  const common = { hingeName: 0.3, under }
  if (byRadius) {
    if (!isNear) return faceSketch(own, [width], common)
    const turn = shown.angle / 4
    const to = point(centre.x + measured * Math.sin(turn), centre.y + measured * Math.cos(turn))
    const textAt = isOuter ? (shown.inner / shown.outer + 1) / 2 : 0.5
    const radius: Arrow = { from: centre, to, beside: 0, text: say(measured), textAt }
    return faceSketch(own, [width, radius], {
      ...common,
      lines: [line(centre, ends.inner), line(centre, point(-ends.inner.x, ends.inner.y))],
      also: [centre],
    })
  }
  const [chord, rise] = withValues ? [say(shown.chord ?? 0), say(shown.rise ?? 0)] : ['A  chord', 'B  rise']
  if (!isOuter) {
    return faceSketch(
      own,
      [
        { from: left, to: right, beside: -8, text: chord },
        { from: foot, to: crown, beside: 0, text: rise, textAt: 0.5 },
        width,
      ],
      { ...common, lines: [line(left, right)], also: [foot] },
    )
  }
  // Over and beside the face, where nothing of it is in the way.
  const [over, beside] = [point(left.x, crown.y), point(right.x, crown.y)]
  return faceSketch(
    own,
    [{ from: over, to: beside, beside: 8, text: chord }, { from: right, to: beside, beside: -8, text: rise }, width],
    { ...common, lines: [line(left, over), line(right, beside), line(crown, beside)] },
  )
}
