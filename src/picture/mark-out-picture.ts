import { type Box, boundsOf, boxesMeet, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { pointInside } from '../geometry/inside.ts'
import { lineTo, openPath, type Path } from '../geometry/path.ts'
import { add, between, direction, distance, type Point, point, scaled, subtract, unit } from '../geometry/point.ts'
import { following, mapPoint, scaling, transform, translation } from '../geometry/transform.ts'
import type { MarkOut } from '../panel/mark-out-words.ts'
import type { Panel } from '../panel/panel.ts'
import { fitted, wordsBox } from './fitted.ts'
import type { Drawn, Picture, Words } from './picture.ts'

/** Kept free round the picture, mm. */
const rim = 4
/** Size of the names, mm, and half the length of the two strokes of a mark. */
const wordSize = 3.6
const arm = 1.3

/** The places that a marking-out list names on its panel, in a room of that many mm, with the line it begins with. */
export function markOutPicture(
  panel: Panel,
  { marks, base }: MarkOut,
  room: { readonly width: number; readonly height: number },
): Picture {
  const box = boundsOf([panel.outline, ...marks.map(({ at }) => openPath(at))])
  const scale = Math.min(room.width / boxWidth(box), room.height / boxHeight(box))
  const place = following(scaling(scale, scale), translation(-box.low.x * scale, -box.low.y * scale))
  const outline = transform(panel.outline, place)
  const drawn = (path: Path, style: Drawn['style']): Drawn => ({ kind: 'drawn', path, style })
  const [from, to] = [base.from, base.to].map((p) => mapPoint(place, p)) as [Point, Point]
  const past = scaled(unit(subtract(to, from)), 6)
  const own = marks.map(({ name, at }) => ({ name, at: mapPoint(place, at) }))
  const items: (Drawn | Words)[] = [
    drawn(openPath(subtract(from, past), lineTo(add(to, past))), 'hidden'),
    drawn(outline, 'outline'),
    ...panel.holes.map((hole) => drawn(transform(hole, place), 'hole')),
    ...own.flatMap(({ at }) => crossAt(at).map((path) => drawn(path, 'tick'))),
    ...namesOf(own, outline, [subtract(from, past), add(to, past)]),
  ]
  return fitted({ title: `${panel.name}: points to mark out`, width: 0, height: 0, items }, rim)
}

const crossAt = ({ x, y }: Point): Path[] => [
  openPath(point(x - arm, y), lineTo(point(x + arm, y))),
  openPath(point(x, y - arm), lineTo(point(x, y + arm))),
]

const boxAt = ({ x, y }: Point, half: number): Box => ({
  low: point(x - half, y - half),
  high: point(x + half, y + half),
})

/** Each name beside its mark, outside the panel where that is clear; one that has no room at all is left out. */
function namesOf(
  marks: readonly { readonly name: string; readonly at: Point }[],
  outline: Path,
  [from, to]: readonly [Point, Point],
): Words[] {
  // The line with its ends, in boxes that it passes through.
  const parts = Math.ceil(distance(from, to) / arm)
  const onLine = Array.from({ length: parts + 1 }, (_, k) => between(from, to, k / parts))
  const taken = [...marks.map(({ at }) => boxAt(at, arm)), ...onLine.map((p) => boxAt(p, arm / 4))]
  const { low, high } = boundsOf([outline])
  const middle = between(low, high, 0.5)
  return marks.flatMap(({ name, at }) => {
    const out = distance(at, middle) < 1e-9 ? point(0, 1) : unit(subtract(at, middle))
    const ways = Array.from({ length: 16 }, (_, k) => direction((k * Math.PI) / 8)).sort(
      (a, b) => b.x * out.x + b.y * out.y - a.x * out.x - a.y * out.y,
    )
    const tries = ways.map((way): Words => {
      const foot = add(at, scaled(way, 0.9 * wordSize + arm))
      return {
        kind: 'words',
        at: point(foot.x, foot.y - 0.36 * wordSize),
        text: name,
        size: wordSize,
        anchor: 'middle',
        turn: 0,
      }
    })
    const clear = tries.filter((words) => !taken.some((other) => boxesMeet(other, wordsBox(words))))
    const found = clear.find((words) => !pointInside(outline, between(wordsBox(words).low, wordsBox(words).high, 0.5)))
    const best = found ?? clear[0]
    if (!best) return []
    taken.push(wordsBox(best))
    return [best]
  })
}
