import { boundsOf } from '../src/geometry/bounds.ts'
import { arcTo, openPath, polyline } from '../src/geometry/path.ts'
import { add, type Point, point, scaled } from '../src/geometry/point.ts'
import { transform, translation } from '../src/geometry/transform.ts'
import { dimension } from '../src/picture/dimension.ts'
import type { Drawn, Picture, Words } from '../src/picture/picture.ts'
import { textWidth } from '../src/picture/text-width.ts'
import type { ShownBand } from './band-sketch.ts'
import { filmOnBand } from './band-view.ts'
import { laidOut } from './round-band.ts'
import { fits } from './round-body-sketch.ts'
import type { Rim } from './slanted-rim.ts'

/** What stands at the arrows of an object whose rims slant; an arrow without words is left out. */
export interface RimWords {
  readonly side?: string | undefined
  readonly bottom?: string | undefined
  readonly top?: string | undefined
  readonly rise?: string | undefined
  readonly high?: string | undefined
  readonly angle?: string | undefined
  readonly drop?: string | undefined
  readonly low?: string | undefined
  /** name of the film's left edge */
  readonly left?: string | undefined
}

type Item = Drawn | Words

const size = 4
/** From line to line of words, and where they end at the latest, mm. */
const apart = 6
const edge = 149
const steps = 48

/** The object from its side, the film's middle at the right, in a picture 150 mm wide. */
export function rimSketch(shown: ShownBand, words: RimWords): Picture {
  const { items, height } = elevation(shown, words, 62, 58)
  return { title: 'Where to measure', width: 150, height, items }
}

/** A picture with an object whose upper rim slants under it. */
export function withRimSketch(picture: Picture, shown: ShownBand, words: RimWords, caption: string): Picture {
  const { items, height } = elevation(shown, words, 44, 34)
  const above: Item[] = picture.items.flatMap((item): Item[] => {
    if (item.kind === 'filled') return []
    if (item.kind === 'words') return [{ ...item, at: add(item.at, point(0, height + 8)) }]
    return [{ ...item, path: transform(item.path, translation(0, height + 8)) }]
  })
  const title: Words = { kind: 'words', at: point(4, height + 1), text: caption, size, anchor: 'start', turn: 0 }
  return { ...picture, height: picture.height + height + 8, items: [...above, title, ...items] }
}

function elevation(
  { form, film, hung }: ShownBand,
  words: RimWords,
  wide: number,
  tall: number,
): { items: Item[]; height: number } {
  const { mid, half, low, high } = laidOut(form)
  const lean = (form.topGirth - form.bottomGirth) / (2 * Math.PI * form.slant)
  const rise = Math.sqrt(Math.max(0, 1 - lean * lean))
  const turn = (2 * Math.PI) / mid
  /** The place at the angle `round` and the slant height `up`, seen from the side. */
  const seen = (round: number, up: number): Point =>
    point((mid / (2 * Math.PI) + up * lean) * Math.cos(round), up * rise)
  const onLow = (round: number) => seen(round, low.up(round / turn))
  const onHigh = (round: number) => seen(round, high.up(round / turn))
  const front = Array.from({ length: steps + 1 }, (_, i) => -Math.PI + (Math.PI * i) / steps)
  const rims = [front.map(onLow), front.map(onHigh)]
  const back = [front.map((round) => onLow(-round)), front.map((round) => onHigh(-round))]
  const box = boundsOf([...rims, ...back].map((points) => polyline(points)))
  const scale = Math.min(wide / (box.high.x - box.low.x), tall / (box.high.y - box.low.y))
  const foot = words.low === undefined && words.bottom === undefined ? (words.high === undefined ? 14 : 22) : 30
  const origin = point(72 - ((box.low.x + box.high.x) / 2) * scale, foot - box.low.y * scale)
  const at = (p: Point): Point => add(scaled(p, scale), origin)
  const items: Item[] = []
  const line = (style: Drawn['style'], ...points: Point[]) =>
    items.push({ kind: 'drawn', style, path: polyline(points) })
  const say = (text: string, where: Point, anchor: Words['anchor']) =>
    items.push({ kind: 'words', at: where, text, size, anchor, turn: 0 })
  const right = at(box.high).x
  const bottomY = at(box.low).y

  for (const rim of back) line('hidden', ...rim.map(at))
  for (const rim of rims) line('object', ...rim.map(at))
  line('object', at(onLow(Math.PI)), at(onHigh(Math.PI)))
  line('object', at(onLow(0)), at(onHigh(0)))
  const onlooker = {
    at: (round: number, up: number) => at(seen(round, up)),
    shows: (round: number) => Math.sin(round) <= 1e-9,
  }
  items.push(...filmOnBand(form, film, hung ?? film.hinge, onlooker))

  // The film's left edge, up which the height is measured.
  const leftLow = at(seen(-low.away * turn, -half))
  const leftHigh = at(seen(-high.away * turn, half))
  const outside = Math.min(leftLow.x, leftHigh.x) - at(box.low).x + 8
  if (words.side) items.push(...dimension(leftLow, leftHigh, outside, words.side, size))
  if (words.left) {
    say(words.left, point(at(box.low).x - 16, bottomY - 8), 'end')
    line(
      'dimension',
      point(at(box.low).x - 15, bottomY - 6),
      add(leftLow, scaled(add(leftHigh, scaled(leftLow, -1)), 0.15)),
    )
  }

  // Words on the right, from the top down, none nearer than a line to the next, in two lines or smaller where they are long.
  const beside: { readonly text: string; readonly y: number; readonly to?: Point }[] = []

  // Level tapes at the two ends of the left edge.
  const belt = (level: number, text: string | undefined) => {
    if (text === undefined) return
    const [a, b] = [at(seen(Math.PI, level)), at(seen(0, level))]
    line('bare', a, b)
    beside.push({ text, y: b.y - 8, to: point(b.x - 6, b.y) })
  }
  belt(-half, words.bottom)
  belt(words.bottom === undefined ? 0 : half, words.top)

  const slanted = (
    rim: Rim | undefined,
    on: (round: number) => Point,
    text: string | undefined,
    round: string | undefined,
    far: number,
    down: number,
  ) => {
    if (!rim) return
    const [top, deep] = [at(on(rim.high)), at(on(rim.high + Math.PI))]
    const [highest, lowest] = [point(right + 4, top.y), point(right + 4, deep.y)]
    if (text) {
      line('hidden', deep, lowest)
      line('hidden', top, highest)
      items.push(...dimension(lowest, highest, -6, '', size))
      beside.push({ text, y: (top.y + deep.y) / 2 - 1.4 })
    }
    if (!round) return
    const place = far === 0 ? top : deep
    line('hidden', place, point(place.x, bottomY - down))
    const from = far === 0 ? leftHigh.x : leftLow.x
    items.push(...dimension(point(from, bottomY), point(place.x, bottomY), -down, round, size))
  }
  slanted(form.topRim, onHigh, words.rise, words.high, 0, 8)
  slanted(form.bottomRim, onLow, words.drop, words.low, 1, words.high === undefined ? 8 : 16)
  if (form.topRim && words.angle) {
    const deep = at(onHigh(form.topRim.high + Math.PI))
    const reach = 17
    const angle = Math.atan(form.topRim.tangent)
    const from = add(deep, point(reach, 0))
    const to = add(deep, point(reach * Math.cos(angle), reach * Math.sin(angle)))
    line('hidden', deep, add(deep, point(reach + 6, 0)))
    items.push({ kind: 'drawn', style: 'dimension', path: openPath(from, arcTo(to, angle)) })
    say(words.angle, add(deep, point(reach + 2, reach * Math.sin(angle / 2) - 1.2)), 'start')
  }
  let free = Infinity
  for (const { text, y, to } of beside.sort((a, b) => b.y - a.y)) {
    const level = Math.min(y, free)
    const x = right + 15
    const rows = fits(text, x) ? [text] : text.split(/(?<=,) /)
    for (const [i, row] of rows.entries()) {
      const own = Math.min(size, (edge - x) / textWidth(row, 1))
      items.push({ kind: 'words', at: point(x, level - i * apart), text: row, size: own, anchor: 'start', turn: 0 })
    }
    if (to) line('dimension', point(right + 14, level + 1.4), to)
    free = level - rows.length * apart
  }
  return { items, height: at(box.high).y + 12 }
}
