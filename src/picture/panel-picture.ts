import { type Box, boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { pathLength, stationAt } from '../geometry/length.ts'
import { endOf, lineTo, openPath } from '../geometry/path.ts'
import { add, distance, leftOf, type Point, point, scaled, subtract, unit } from '../geometry/point.ts'
import { following, mapPoint, scaling, transform, translation } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import type { Panel, PanelEdge } from '../panel/panel.ts'
import type { Say } from '../panel/template.ts'
import { dimension } from './dimension.ts'
import type { Drawn, Picture, Words } from './picture.ts'

/** A label drawn smaller than this is left out, mm of cap height; a font size is about 1.3 times its caps. */
const leastLabel = 1.6
const labelSize = 1.3

/** The panel with everything on it, at a scale, with or without its dimensions. */
export function panelPicture(panel: Panel, say: Say, scale: number, dimensions: boolean): Picture {
  const slits = panel.slits.map(({ from, to }) => openPath(from, lineTo(to)))
  const box = boundsOf([panel.outline, panel.bare, ...slits, ...panel.ticks.map((tick) => tick.path)])
  const text = dimensions ? Math.min(8, Math.max(3.5, (boxWidth(box) * scale) / 70)) : 4
  const rim = dimensions ? 5 * text : 6
  const place = following(scaling(scale, scale), translation(rim - box.low.x * scale, rim - box.low.y * scale))
  const put = (p: Point) => mapPoint(place, p)
  const drawn = (path: Drawn['path'], style: Drawn['style']): Drawn => ({
    kind: 'drawn',
    path: transform(path, place),
    style,
  })
  const items: (Drawn | Words)[] = [
    drawn(panel.bare, 'bare'),
    drawn(cutLine(panel), 'outline'),
    ...panel.holes.map((hole) => drawn(hole, 'hole')),
    drawn(openPath(panel.hinge.from, lineTo(panel.hinge.to)), 'hinge'),
    ...slits.map((slit) => drawn(slit, 'slit')),
    ...panel.ticks.map((tick) => drawn(tick.path, 'tick')),
    ...panel.labels
      .filter((label) => label.height * scale >= leastLabel)
      .map(
        (label): Words => ({
          kind: 'words',
          at: put(label.at),
          text: label.text.replace(' ↑ UP', ', this way up'),
          size: label.height * scale * labelSize,
          anchor: 'middle',
          turn: label.turn,
        }),
      ),
    ...(dimensions ? dimensionsOf(panel, say, put, text, box) : []),
  ]
  return {
    title: panel.name,
    width: boxWidth(box) * scale + 2 * rim,
    height: boxHeight(box) * scale + 2 * rim,
    items,
  }
}

function dimensionsOf(panel: Panel, say: Say, put: (p: Point) => Point, text: number, box: Box): (Drawn | Words)[] {
  const edge = (name: PanelEdge['name']) => panel.edges.find((e) => e.name === name) as PanelEdge
  const [bottom, right, top] = [edge('bottom'), edge('right'), edge('top')]
  const items: (Drawn | Words)[] = []
  // Corner to corner; a curved edge says its own length too, because that is what lies on the object.
  for (const [own, side] of [
    [bottom, -1],
    [top, 1],
  ] as const) {
    const [a, b] = [own.outline.start, endOf(own.outline)].sort((p, q) => p.x - q.x) as [Point, Point]
    const chord = distance(a, b)
    const round = pathLength(own.outline)
    if (round - chord > 0.05) items.push(alongEdge(own, round, `${say(round)} along the edge`, put, text))
    const level = side < 0 ? box.low.y : box.high.y
    const offset = Math.abs(put(point(0, level)).y - put(a).y) + 2.4 * text
    items.push(...dimension(put(a), put(b), side * offset, say(chord), text))
  }
  const foot = right.outline.start
  const head = endOf(right.outline)
  items.push(...dimension(put(foot), put(head), -2.4 * text, say(distance(foot, head)), text))
  const up = unit(subtract(panel.hinge.to, panel.hinge.from))
  // Clear of the hinge, and of the slit to its right where there are two.
  const strip = Math.max(0, ...panel.slits.map((slit) => put(slit.from).x - put(panel.hinge.from).x))
  const beside = add(put(panel.hinge.from), add(scaled(up, 1.5 * text), point(strip + 0.6 * text, 0)))
  items.push({
    kind: 'words',
    at: beside,
    text: `hinge ${say(distance(panel.hinge.from, panel.hinge.to))}`,
    size: text * 0.8,
    anchor: 'start',
    turn: 0,
  })
  return items
}

/** Words inside the panel beside a curved edge, clear of the hinge. */
function alongEdge(edge: PanelEdge, length: number, words: string, put: (p: Point) => Point, text: number): Words {
  const { at, heading } = stationAt(edge.outline, length * (edge.name === 'bottom' ? 0.22 : 0.78))
  const turn = edge.name === 'bottom' ? Math.atan2(heading.y, heading.x) : Math.atan2(-heading.y, -heading.x)
  // The baseline stands above a bottom edge, and a line height below a top edge.
  const inward = (edge.name === 'bottom' ? 1.1 : 1.9) * text
  return {
    kind: 'words',
    at: add(put(at), scaled(leftOf(heading), inward)),
    text: words,
    size: text * 0.8,
    anchor: 'middle',
    turn,
  }
}
