import { type Box, boundsOf } from '../geometry/bounds.ts'
import { polyline, rectangle } from '../geometry/path.ts'
import { point } from '../geometry/point.ts'
import { type Matrix, transform, turning } from '../geometry/transform.ts'
import { lettersWidth } from '../panel/lettering.ts'
import type { Panel } from '../panel/panel.ts'
import { pointCross } from '../panel/point-cross.ts'

/** Boxes of what is marked on a panel laid down by `lie`: where words had better not stand. */
export function markBoxes(panel: Panel, lie: Matrix): Box[] {
  const labels = panel.labels.map(({ text, height, at, turn }) => {
    // accents stand above the letters, commas below
    const half = lettersWidth(text, height) / 2
    const frame = rectangle(point(-half, -0.3 * height), point(half, 1.4 * height))
    return transform(frame, turning(turn, at))
  })
  const lines = [panel.hinge, ...panel.slits].map(({ from, to }) => polyline([from, to]))
  const cut = [...panel.holes, ...panel.inner]
  const marks = [
    ...labels,
    ...lines,
    ...cut,
    ...panel.ticks.map((tick) => tick.path),
    ...panel.points.flatMap(pointCross),
  ]
  return marks.map((path) => boundsOf([transform(path, lie)]))
}
