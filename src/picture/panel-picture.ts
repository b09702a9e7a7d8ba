import { type Box, boundsOf, boxesMeet, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { pointInside } from '../geometry/inside.ts'
import { pathLength, stationAt } from '../geometry/length.ts'
import { endOf, lineTo, openPath, type Path } from '../geometry/path.ts'
import { add, distance, dot, leftOf, type Point, point, scaled, subtract, unit } from '../geometry/point.ts'
import { following, mapPoint, scaling, transform, translation } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import { letter } from '../panel/lettering.ts'
import { edgeNames, type Panel, type PanelEdge } from '../panel/panel.ts'
import { pointCross } from '../panel/point-cross.ts'
import type { Say } from '../panel/template.ts'
import { dimension } from './dimension.ts'
import { fitted, wordsBox, wordsCorners } from './fitted.ts'
import { markBoxes } from './mark-boxes.ts'
import type { Drawn, Picture, Words } from './picture.ts'
import { textWidth } from './text-width.ts'

/** A label drawn smaller than this is left out, mm of cap height. */
const leastLabel = 1.6
/** Kept free round the picture, mm. */
const rim = 6

/** The panel with everything on it, at a scale, with or without its dimensions. */
export function panelPicture(panel: Panel, say: Say, scale: number, dimensions: boolean): Picture {
  const slits = panel.slits.map(({ from, to }) => openPath(from, lineTo(to)))
  const box = boundsOf([panel.outline, panel.bare, ...slits, ...panel.ticks.map((tick) => tick.path)])
  const text = dimensions ? Math.min(8, Math.max(3.5, (boxWidth(box) * scale) / 70)) : 4
  const place = following(scaling(scale, scale), translation(-box.low.x * scale, -box.low.y * scale))
  const put = (p: Point) => mapPoint(place, p)
  const drawn = (path: Drawn['path'], style: Drawn['style']): Drawn => ({
    kind: 'drawn',
    path: transform(path, place),
    style,
  })
  const frame = (): Frame => ({
    say,
    put,
    text,
    box,
    taken: markBoxes(panel, place),
    outline: transform(panel.outline, place),
  })
  const items: (Drawn | Words)[] = [
    drawn(panel.bare, 'bare'),
    drawn(cutLine(panel), 'outline'),
    ...[...panel.holes, ...panel.inner].map((path) => drawn(path, 'hole')),
    ...panel.points.flatMap((p) => pointCross(p).map((path) => drawn(path, 'tick'))),
    drawn(openPath(panel.hinge.from, lineTo(panel.hinge.to)), 'hinge'),
    ...slits.map((slit) => drawn(slit, 'slit')),
    ...panel.ticks.map((tick) => drawn(tick.path, 'tick')),
    ...panel.labels
      .filter((label) => label.height * scale >= leastLabel)
      .flatMap(({ text: words, height, at, turn }) => letter(words, height, at, turn, 'middle'))
      .map((path) => drawn(path, 'label')),
    ...(dimensions ? dimensionsOf(panel, frame()) : []),
  ]
  return fitted({ title: panel.name, width: boxWidth(box) * scale, height: boxHeight(box) * scale, items }, rim)
}

/** What dimensions are drawn by. */
interface Frame {
  readonly say: Say
  /** from the panel to the picture */
  readonly put: (p: Point) => Point
  /** size of words, mm on the picture */
  readonly text: number
  /** round all that is drawn of the panel, in its own mm */
  readonly box: Box
  /** where words had better not stand, on the picture */
  readonly taken: readonly Box[]
  /** the panel's own edge on the picture */
  readonly outline: Path
}

function dimensionsOf(panel: Panel, frame: Frame): (Drawn | Words)[] {
  const [bottom, right, top, left] = edgeNames.map((name) => panel.edges.find((e) => e.name === name))
  const upright = [right, left].every((edge) => edge?.outline.segments.every(({ kind }) => kind === 'line'))
  const own =
    bottom && right && top && upright && panel.edges.length === edgeNames.length
      ? fourSided(bottom, right, top, frame)
      : overAll(panel, frame)
  return [...own, ...hingeWords(panel, besides(frame, own))]
}

/** The same frame with the words of these items taken too. */
const besides = (frame: Frame, items: readonly (Drawn | Words)[]): Frame => ({
  ...frame,
  taken: [...frame.taken, ...items.flatMap((item) => (item.kind === 'words' ? [wordsBox(item)] : []))],
})

/** Corner to corner; a curved edge says its own length too, because that is what lies on the object. */
function fourSided(bottom: PanelEdge, right: PanelEdge, top: PanelEdge, frame: Frame): (Drawn | Words)[] {
  const { say, put, text, box } = frame
  const items: (Drawn | Words)[] = []
  for (const [own, side] of [
    [bottom, -1],
    [top, 1],
  ] as const) {
    const [a, b] = [own.outline.start, endOf(own.outline)].sort((p, q) => p.x - q.x) as [Point, Point]
    const chord = distance(a, b)
    const round = pathLength(own.outline)
    const tries = round - chord > 0.05 ? alongEdge(own, round, `${say(round)} along the edge`, frame) : []
    items.push(...(firstClear(tries, besides(frame, items)) ?? tries.slice(0, 1)))
    const level = side < 0 ? box.low.y : box.high.y
    const offset = Math.abs(put(point(0, level)).y - put(a).y) + 2.4 * text
    items.push(...dimension(put(a), put(b), side * offset, say(chord), text))
  }
  const [foot, head] = [right.outline.start, endOf(right.outline)]
  return [...items, ...dimension(put(foot), put(head), -2.4 * text, say(distance(foot, head)), text)]
}

/** Width and height over all, and the length of every edge that has room for it. */
function overAll(panel: Panel, frame: Frame): (Drawn | Words)[] {
  const { say, put, text, box } = frame
  const { low, high } = boundsOf([panel.outline])
  // Dimensions stand clear of slit ends too.
  const below = put(low).y - put(box.low).y
  const beside = put(box.high).x - put(high).x
  const along: Words[] = []
  for (const edge of panel.edges) {
    const length = pathLength(edge.outline)
    const words = say(length)
    const drawn = distance(put(edge.outline.start), put(endOf(edge.outline)))
    if (drawn <= 1.6 * textWidth(words, 0.8 * text)) continue
    along.push(...(firstClear(alongEdge(edge, length, words, frame), besides(frame, along)) ?? []))
  }
  return [
    ...dimension(put(low), put(point(high.x, low.y)), -2.4 * text - below, say(high.x - low.x), text),
    ...dimension(put(point(high.x, low.y)), put(high), -2.4 * text - beside, say(high.y - low.y), text),
    ...along,
  ]
}

/**
 * The hinge's length beside it and the slit to its right, at the first place up it that is clear, level or else along it;
 * none where there is none.
 */
function hingeWords(panel: Panel, frame: Frame): Words[] {
  const { say, put, text } = frame
  const { from, to } = panel.hinge
  const up = unit(subtract(to, from))
  const right = point(up.y, -up.x)
  const length = distance(put(from), put(to))
  const scale = length / Math.max(distance(from, to), 1e-9)
  const strip = Math.max(0, ...panel.slits.map((slit) => scale * dot(subtract(slit.from, from), right)))
  const words = `hinge ${say(distance(from, to))}`
  const size = text * 0.8
  const isLevel = Math.abs(up.x) > 0.7
  const wordsAt = (reach: number, aside: number, turn: number): Words => ({
    kind: 'words',
    at: add(put(from), add(scaled(up, reach), scaled(right, aside))),
    text: words,
    size,
    anchor: 'start',
    turn,
  })
  const reaches = Array.from({ length: 12 }, (_, i) => 1.5 * text + (i * (length - 3 * text)) / 12)
  const along = Math.atan2(up.y, up.x)
  const tries = isLevel
    ? reaches.map((reach) => wordsAt(reach, 1.4 * text, along))
    : [
        ...reaches.map((reach) => wordsAt(reach, strip + 0.6 * text, 0)),
        ...reaches.map((reach) => wordsAt(reach, strip + 1.4 * text, along)),
      ]
  return firstClear(tries, frame) ?? []
}

/** The first of several ways to set words that lies on the panel and clear of what is taken, alone in a list. */
function firstClear(tries: readonly Words[], { taken, outline }: Frame): [Words] | undefined {
  const found = tries.find((words) => {
    const box = wordsBox(words)
    return !taken.some((other) => boxesMeet(other, box)) && wordsCorners(words).every((p) => pointInside(outline, p))
  })
  return found && [found]
}

/** Ways to set words inside the panel beside an edge, the best liked first. */
function alongEdge(edge: PanelEdge, length: number, words: string, { put, text }: Frame): Words[] {
  const liked = edge.name === 'bottom' ? 0.22 : edge.name === 'top' ? 0.78 : 0.5
  return [liked, 0.22, 0.78, 0.35, 0.65, 0.5].map((share): Words => {
    const { at, heading } = stationAt(edge.outline, length * share)
    const forward = heading.x > 1e-9 || (Math.abs(heading.x) <= 1e-9 && heading.y > 0)
    const turn = forward ? Math.atan2(heading.y, heading.x) : Math.atan2(-heading.y, -heading.x)
    // Read along the edge the baseline stands above it; read against it, a line height below.
    const inward = (forward ? 1.1 : 1.9) * text
    const foot = add(put(at), scaled(leftOf(heading), inward))
    return { kind: 'words', at: foot, text: words, size: text * 0.8, anchor: 'middle', turn }
  })
}
