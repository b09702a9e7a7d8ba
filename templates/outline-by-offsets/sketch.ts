import { lineTo, openPath } from '../../src/geometry/path.ts'
import { add, type Point, point } from '../../src/geometry/point.ts'
import { transform, translation } from '../../src/geometry/transform.ts'
import type { Development } from '../../src/panel/development.ts'
import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { type Arrow, type Extra, faceSketch } from '../face-sketch.ts'
import { baseLine, type Station } from './outline.ts'

/** Stations listed under the drawing at the most. */
const mostListed = 12

/** The face with its base line and stations; `shift` brings places told from the base line onto the face. */
export function offsetsSketch(
  face: Development,
  stations: readonly Station[],
  shift: Point,
  withValues: boolean,
  say: Say,
): Picture {
  const on = (x: number, y: number) => add(point(x, y), shift)
  const across = (station: Station) =>
    openPath(on(-station.left, station.along), lineTo(on(station.right, station.along)))
  const top = stations.at(-1)?.along ?? 0
  const common: Extra = {
    rim: { bottom: 10, side: 32 },
    words: [{ at: on(0, top), text: 'base line', anchor: 'start', leader: point(6, 7) }],
    hingeName: 0.1,
  }
  const base = { path: transform(baseLine(stations), translation(shift.x, shift.y)), style: 'dimension' as const }
  if (withValues) {
    const listed = stations
      .slice(0, mostListed)
      .map(({ along, left, right }) => `along ${say(along)}: left ${say(left)}, right ${say(right)}`)
    const more = stations.length > mostListed ? [`and ${stations.length - mostListed} more stations`] : []
    return faceSketch(face, [], {
      ...common,
      lines: [base, ...stations.map((station) => ({ path: across(station), style: 'hidden' as const }))],
      // From the top down, as they lie on the face.
      under: [...more, ...listed.reverse()],
    })
  }
  const shown = stations[stations.length - 2]
  if (!shown) return faceSketch(face, [], common)
  const right = Math.max(...stations.map((station) => station.right))
  const offset = (to: number, text: string): Arrow => ({
    from: on(0, shown.along),
    to: on(to, shown.along),
    beside: 0,
    text,
    textAt: 0.5,
  })
  const level = (from: number, y: number) => ({
    path: openPath(on(from, y), lineTo(on(right, y))),
    style: 'dimension' as const,
  })
  return faceSketch(
    face,
    [
      offset(-shown.left, 'L  left'),
      offset(shown.right, 'R  right'),
      { from: on(right, 0), to: on(right, shown.along), beside: -9, text: 'A  along' },
    ],
    {
      ...common,
      lines: [
        base,
        level(0, 0),
        level(shown.right, shown.along),
        ...stations
          .filter((station) => station !== shown)
          .map((station) => ({ path: across(station), style: 'hidden' as const })),
      ],
      under: [
        'A straight base line over the face: drawn, or a tight string.',
        'A station wherever the outline bends; L and R square to the base line.',
      ],
    },
  )
}
