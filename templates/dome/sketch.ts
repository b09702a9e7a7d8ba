import { lineTo, openPath } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import type { Stretch } from '../../src/panel/panel.ts'
import type { Say } from '../../src/panel/template.ts'
import { dimension } from '../../src/picture/dimension.ts'
import type { Drawn, Picture } from '../../src/picture/picture.ts'
import { girthWords } from '../girth-words.ts'
import { hangsInMiddle } from '../hung.ts'
import {
  type BodyView,
  bodyView,
  type Callout,
  callouts,
  drawn,
  type Frame,
  hingeUpSide,
  lettering,
  levelHalf,
  type SidePoint,
  silhouettes,
  stackUpSide,
  upFront,
  words,
} from '../round-body-sketch.ts'
import { atPole, type Ball, ballOf } from './ball.ts'
import type { DomeValues } from './template.ts'

const title = 'Where to measure'

/** The ball with its measures, or a ball and a cap with the letters of the fields; 150 mm wide. */
export function domeSketch(values: DomeValues | undefined, say: Say, hung?: Stretch): Picture {
  return values ? withValues(values, say, hung) : withLetters()
}

function withLetters(): Picture {
  const ball: Ball = { radius: 30, low: -Math.PI / 2, high: Math.PI / 2 }
  const left = covered(ball, { low: point(6, 4), high: point(70, 68) })
  const widest = { r: ball.radius, z: 0 }
  const cap: Ball = { radius: 36, low: Math.asin(0.55), high: Math.PI / 2 }
  const right = covered(cap, { low: point(84, 34), high: point(124, 68) })
  const rim = rimOf(cap)
  const y = right.view.y(rim.z)
  const [a, top] = [right.view.x(rim.r), right.view.y(cap.radius)]
  const upright = dimension(point(a + 1, y), point(a + 1, top), -5, '', lettering)
  const below = right.view.dip(rim.r)
  const radius = dimension(
    point(left.view.middle, left.view.y(0)),
    point(left.view.x(ball.radius), left.view.y(0)),
    0,
    'R  radius',
    lettering,
  )
  const girth = point(left.view.x(ball.radius * 0.64), left.view.y(0) - left.view.dip(ball.radius) * 0.768)
  return {
    title,
    width: 150,
    height: 84,
    items: [
      ...left.items,
      ...hingeUpSide(left.view, sideOf(ball)),
      ...radius,
      ...drawn('bare', levelHalf(left.view, widest, 'front')),
      ...drawn('dimension', openPath(girth, lineTo(point(68, 12)), lineTo(point(72, 12)))),
      words('A  girth where it is widest', point(74, 10.7)),
      words('ball, or part of one', point(left.view.middle, 74), 'middle'),
      ...right.items,
      ...hingeUpSide(right.view, sideOf(cap)),
      ...dimension(point(right.view.x(-rim.r), y), point(a, y), -below - 6, 'D  rim', lettering),
      ...upright,
      words('H  height', point(a + 9, (y + top) / 2 - 1.5)),
      words('cap', point(right.view.middle, 74), 'middle'),
    ],
  }
}

function withValues(values: DomeValues, say: Say, hung: Stretch | undefined): Picture {
  const ball = ballOf(values)
  const { view, items } = covered(ball, { low: point(26, 22), high: point(86, 84) })
  const low = { r: ball.radius * Math.cos(ball.low), z: ball.radius * Math.sin(ball.low) }
  const half = Math.PI / values.gores
  const seams =
    values.cover === 'zones'
      ? zoneLevels(ball, values.zones).map((level) => levelHalf(view, level, 'front'))
      : [upFront(view, sideOf(ball), -half), upFront(view, sideOf(ball), half)]
  const right = (f: number) => point(view.x(ball.radius * Math.cos(f)), view.y(ball.radius * Math.sin(f)))
  const degrees = (f: number) => `${Number(((f * 180) / Math.PI).toFixed(1))}°`
  const edges = values.from !== undefined || values.to !== undefined
  const list: Callout[] = [
    ...(edges ? [{ text: `lower edge ${degrees(ball.low)}`, to: right(ball.low) }] : []),
    ...(values.girth === undefined ? [] : [{ text: girthWords('girth', values.girth, say), to: right(0) }]),
    ...(values.radius === undefined
      ? []
      : [{ text: `radius ${say(values.radius)}`, to: right(Math.max(0, ball.low)) }]),
    ...(edges ? [{ text: `upper edge ${degrees(ball.high)}`, to: right(ball.high) }] : []),
  ].sort((a, b) => a.to.y - b.to.y)
  const [foot, head] = [view.y(low.z), view.y(ball.radius)]
  const left = view.x(-Math.max(...sideOf(ball).map(({ r }) => r)))
  return {
    title,
    width: 150,
    height: Math.max(head, 40) + 12,
    items: [
      ...items,
      ...(values.cover === 'zones'
        ? stackUpSide(view, sideOf(ball), bandLevels(ball, values.zones), values.seams, hung)
        : hangsInMiddle(hung)
          ? hingeUpSide(view, sideOf(ball))
          : []),
      ...drawn('bare', ...seams),
      ...callouts(list, 98, 12, Math.max(head, 40)),
      ...(values.height === undefined
        ? []
        : dimension(point(left - 1, foot), point(left - 1, head), 7, say(values.height), lettering)),
      ...(values.rim === undefined
        ? []
        : dimension(
            point(view.x(-low.r), foot),
            point(view.x(low.r), foot),
            -view.dip(low.r) - 7,
            `rim ${say(values.rim)}`,
            lettering,
          )),
    ],
  }
}

const rimOf = (ball: Ball): SidePoint => levelAt(ball, ball.low)

/** The side of the ball between the edges of the film, from below. */
function sideOf({ radius, low, high }: Ball): SidePoint[] {
  const steps = 48
  return Array.from({ length: steps + 1 }, (_, i) => {
    const f = low + ((high - low) * i) / steps
    return { r: radius * Math.cos(f), z: radius * Math.sin(f) }
  })
}

function zoneLevels({ radius, low, high }: Ball, zones: number): SidePoint[] {
  return Array.from({ length: zones - 1 }, (_, i) => {
    const f = low + ((high - low) * (i + 1)) / zones
    return { r: radius * Math.cos(f), z: radius * Math.sin(f) }
  })
}

/** The edges of the zones that are bands; a pole is under a disc. */
function bandLevels(ball: Ball, zones: number): SidePoint[] {
  const ends = [ball.low, ball.high].map((f) => (atPole(f) ? [] : [levelAt(ball, f)]))
  return [...(ends[0] ?? []), ...zoneLevels(ball, zones), ...(ends[1] ?? [])]
}

const levelAt = ({ radius }: Ball, f: number): SidePoint => ({ r: radius * Math.cos(f), z: radius * Math.sin(f) })

/** The covered part in full lines, the edges of the film dashed. */
function covered(ball: Ball, frame: Frame): { view: BodyView; items: Drawn[] } {
  const side = sideOf(ball)
  const view = bodyView(side, frame)
  const ends = [side[0], side.at(-1)].filter((end) => end !== undefined && end.r > 0.01 * ball.radius)
  const lower = ends.filter((end) => end !== undefined)
  return {
    view,
    items: [
      ...drawn('object', ...silhouettes(view, side)),
      ...drawn('object', ...lower.map((end) => levelHalf(view, end, 'front'))),
      ...drawn('object', ...lower.slice(1).map((end) => levelHalf(view, end, 'back'))),
    ],
  }
}
