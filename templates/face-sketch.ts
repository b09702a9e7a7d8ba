import { boundsOf, boxHeight, boxWidth } from '../src/geometry/bounds.ts'
import { lineTo, openPath, type Path } from '../src/geometry/path.ts'
import { add, between, direction, leftOf, type Point, point, scaled, subtract, unit } from '../src/geometry/point.ts'
import { following, mapPoint, scaling, transform, translation } from '../src/geometry/transform.ts'
import type { Development } from '../src/panel/development.ts'
import { dimension } from '../src/picture/dimension.ts'
import type { Drawn, Picture, PicturePart, Words } from '../src/picture/picture.ts'

/** Size of the words in a sketch, mm. */
const letterSize = 4

/** An arrow of the sketch: its ends on the face, mm, and how far left of from-to it stands on the page, mm. */
export interface Arrow {
  readonly from: Point
  readonly to: Point
  readonly beside: number
  readonly text: string
  /** where along the arrow the text stands, 0..1; in the middle if left out */
  readonly textAt?: number
}

/** More lines and words of a sketch, drawn by where places of the face come to lie on the page. */
export interface Extra {
  readonly lines?: readonly { readonly path: Path; readonly style: Drawn['style'] }[]
  readonly words?: readonly {
    readonly at: Point
    readonly text: string
    readonly anchor: Words['anchor']
    /** mm on the page from the place, with a line from there to it */
    readonly leader?: Point
  }[]
  /** sentences under the drawing */
  readonly under?: readonly string[]
  /** room on the page round the face, mm */
  readonly rim?: { readonly bottom?: number; readonly top?: number; readonly side?: number }
  /** places beyond the face that must come onto the page */
  readonly also?: readonly Point[]
  /** how far up the hinge its name stands, 0..1 */
  readonly hingeName?: number
}

/** A flat face with its openings, its hinge and the arrows that say where the tape goes; 150 mm wide. */
export function faceSketch(face: Development, arrows: readonly Arrow[], extra: Extra = {}): Picture {
  const { bottom = 16, top = 16, side = 26 } = extra.rim ?? {}
  const box = boundsOf([...face.edges.map((edge) => edge.path), ...(extra.also ?? []).map((p) => openPath(p))])
  const scale = Math.min((150 - 2 * side) / boxWidth(box), 66 / boxHeight(box))
  const under = extra.under ?? []
  const foot = bottom + under.length * 6
  const left = (150 - boxWidth(box) * scale) / 2
  const place = following(scaling(scale, scale), translation(left - box.low.x * scale, foot - box.low.y * scale))
  const put = (p: Point) => mapPoint(place, p)
  const drawn = (path: Path, style: Drawn['style'], part?: PicturePart): Drawn => ({
    kind: 'drawn',
    path: transform(path, place),
    style,
    ...(part && { part }),
  })
  const [low, high] = [put(face.hinge.from), put(face.hinge.to)]
  const up = scaled(unit(subtract(high, low)), 6)
  const tick = (from: Point, to: Point): Drawn => ({
    kind: 'drawn',
    path: openPath(from, lineTo(to)),
    style: 'tick',
    part: 'mark',
  })
  const words = (at: Point, text: string, anchor: Words['anchor'], turn = 0): Words => ({
    kind: 'words',
    at,
    text,
    size: letterSize,
    anchor,
    turn,
  })
  const turn = Math.atan2(up.y, up.x)
  const nameAt = add(between(low, high, extra.hingeName ?? 0.12), scaled(direction(turn + Math.PI / 2), 1.5))
  return {
    title: 'Where to measure',
    width: 150,
    height: foot + boxHeight(box) * scale + top,
    items: [
      ...face.edges.map((edge) => drawn(edge.path, 'object')),
      ...face.holes.map((hole) => drawn(hole.path, 'object', 'opening')),
      ...(extra.lines ?? []).map(({ path, style }) => drawn(path, style)),
      drawn(openPath(face.hinge.from, lineTo(face.hinge.to)), 'hinge', 'hinge'),
      tick(low, add(low, up)),
      tick(high, subtract(high, up)),
      words(nameAt, 'hinge', 'start', turn),
      ...arrows.flatMap((arrow) => arrowItems(arrow, put)),
      ...(extra.words ?? []).flatMap(({ at, text, anchor, leader }) => {
        const foot = put(at)
        if (!leader) return [words(foot, text, anchor)]
        const end = add(foot, leader)
        const line: Drawn = { kind: 'drawn', path: openPath(foot, lineTo(end)), style: 'dimension' }
        return [line, words(add(end, point(Math.sign(leader.x), -letterSize / 3)), text, anchor)]
      }),
      ...under.map((text, i) => words(point(6, 4 + (under.length - 1 - i) * 6), text, 'start')),
    ],
  }
}

function arrowItems({ from, to, beside, text, textAt }: Arrow, put: (p: Point) => Point): (Drawn | Words)[] {
  const [a, b] = [put(from), put(to)]
  if (textAt === undefined) return dimension(a, b, beside, text, letterSize)
  const way = subtract(b, a)
  const turn = Math.atan2(way.y, way.x)
  const readable = Math.abs(turn) > Math.PI / 2 + 1e-9 ? turn + Math.PI : turn
  const foot = add(between(a, b, textAt), scaled(leftOf(unit(way)), beside))
  const at = add(foot, scaled(leftOf(direction(readable)), 1.6))
  return [
    ...dimension(a, b, beside, '', letterSize),
    { kind: 'words', at, text, size: letterSize, anchor: 'middle', turn: readable },
  ]
}

/** Arrows over all of a face, for what has no corner to measure from, and the lines that lead down or across to them. */
export function across(face: Development) {
  const box = boundsOf(face.edges.map((edge) => edge.path))
  const { low, high } = box
  const middle = between(low, high, 0.5)
  const line = (from: Point, to: Point) => ({ path: openPath(from, lineTo(to)), style: 'dimension' as const })
  return {
    box,
    level: { from: point(low.x, middle.y), to: point(high.x, middle.y) },
    below: { from: low, to: point(high.x, low.y) },
    right: { from: point(high.x, low.y), to: high },
    drops: {
      below: [low.x, high.x].map((x) => line(point(x, middle.y), point(x, low.y))),
      right: [low.y, high.y].map((y) => line(point(middle.x, y), point(high.x, y))),
    },
  }
}
