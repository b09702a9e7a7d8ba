import { circle, lineTo, openPath, polyline, rectangle } from '../../src/geometry/path.ts'
import { cross, type Point, point, subtract } from '../../src/geometry/point.ts'
import type { Stretch } from '../../src/panel/panel.ts'
import type { Say } from '../../src/panel/template.ts'
import { dimension } from '../../src/picture/dimension.ts'
import type { Drawn, Picture, PicturePart, Words } from '../../src/picture/picture.ts'
import { hangsInMiddle } from '../hung.ts'
import { leader, lies } from '../solid-sketch.ts'
import type { Place } from '../triangulate.ts'
import type { TransitionValues } from './template.ts'
import { cornerAt, footOf, transitionOf } from './transition.ts'

const standIn = { length: 220, width: 180, diameter: 120, girth: undefined, height: 130, right: 35, back: 25 }

const faces = ['front', 'right', 'back', 'left']
/** Chords in a quarter of the rim as it is drawn. */
const fine = 24

/** The object with its measures, or with the letters of the fields, and where its round end stands; 150 mm wide. */
export function transitionSketch(values: TransitionValues | undefined, say: Say, hung?: Stretch): Picture {
  const shown = values ?? standIn
  const { length, width, height } = shown
  const diameter = shown.diameter ?? (shown.girth ?? 0) / Math.PI
  const shape = transitionOf({ ...shown, divisions: fine }, diameter)
  const rim = Array.from({ length: 4 * fine }, (_, k) => shape.rim(k / fine))
  const feet = [0, 1, 2, 3].map((i) => cornerAt(shape, i))
  const spread = [...rim, ...feet].map(lies)
  const left = Math.min(...spread.map((p) => p.x))
  const bottom = Math.min(...spread.map((p) => p.y))
  const [wide, tall] = [Math.max(...spread.map((p) => p.x)) - left, Math.max(...spread.map((p) => p.y)) - bottom]
  const scale = Math.min(70 / wide, 60 / tall)
  const at = (p: Place) => {
    const { x, y } = lies(p)
    return point(22 + scale * (x - left), 17 + scale * (y - bottom))
  }
  const items: (Drawn | Words)[] = []
  const line = (from: Point, to: Point, style: Drawn['style'], part?: PicturePart) =>
    items.push({ kind: 'drawn', style, path: openPath(from, lineTo(to)), ...(part && { part }) })
  const text = (letter: string, name: string, mm: number) => (values ? say(mm) : `${letter}  ${name}`)

  // Every triangle of the skin in order to the right, as three places on paper; one that runs clockwise is behind.
  const skin = [0, 1, 2, 3].flatMap((i) => {
    const corner = at(cornerAt(shape, i))
    const flat = [at(cornerAt(shape, i - 1)), corner, at(shape.rim(i))] as const
    const fan = Array.from({ length: fine }, (_, k) => {
      return [corner, at(shape.rim(i + (k + 1) / fine)), at(shape.rim(i + k / fine))] as const
    })
    return [flat, ...fan]
  })
  const seen = skin.map(([a, b, c]) => cross(subtract(b, a), subtract(c, a)) > 0)
  skin.forEach(([a, b, c], i) => {
    const flat = i % (fine + 1) === 0
    const next = (i + 1) % skin.length
    // The edge it shares with the next one: from the corner on its right to the rim.
    const shared = flat ? ([b, c] as const) : ([a, b] as const)
    if (seen[i] !== seen[next]) line(...shared, 'object')
    else if (seen[i] && (flat || next % (fine + 1) === 0)) line(...shared, 'bare')
    if (flat) line(a, b, seen[i] ? 'object' : 'hidden')
  })
  items.push({ kind: 'drawn', style: 'object', path: polyline(rim.map(at), true) })

  const seam = Math.max(0, faces.indexOf(values?.seam ?? 'back'))
  const opposite = values?.panels === 'two' ? [seam + 1, seam + 3] : [seam + 2]
  for (const face of (hangsInMiddle(hung) ? opposite : []).map((i) => i % 4)) {
    const [foot, head] = [at(footOf(shape, face)), at(shape.rim(face))]
    const up = point((head.x - foot.x) / 6, (head.y - foot.y) / 6)
    const isSeen = seen[face * (fine + 1)]
    line(foot, head, isSeen ? 'hinge' : 'hidden', 'hinge')
    if (!isSeen) continue
    line(foot, point(foot.x + up.x, foot.y + up.y), 'tick', 'mark')
    line(head, point(head.x - up.x, head.y - up.y), 'tick', 'mark')
    if (face !== 0) continue
    items.push({ kind: 'words', at: point(foot.x + 3, foot.y + 3), text: 'hinge', size: 4, anchor: 'start', turn: 0 })
  }

  const [a, b, c] = [at(cornerAt(shape, 3)), at(cornerAt(shape, 0)), at(cornerAt(shape, 1))]
  const roof = Math.max(...rim.map((p) => at(p).y))
  const [rimLeft, rimRight] = [at(shape.rim(3)), at(shape.rim(1))]
  const edge = Math.max(...spread.map((p) => 22 + scale * (p.x - left)))
  // The height is measured beside the leftmost place of the rim, from the ground at the same depth.
  const depth = shape.rim(3).y
  const ground = at({ x: -length / 2, y: depth, z: 0 })
  const beside = Math.min(a.x, rimLeft.x) - 5
  items.push(
    ...dimension(a, b, -9, text('A', 'length', length), 4),
    ...dimension(b, c, -9, text('B', 'width', width), 4),
    ...dimension(point(beside, ground.y), point(beside, rimLeft.y), 3, text('C', 'height', height), 4),
    ...dimension(rimLeft, rimRight, roof - rimLeft.y + 5, text('D', 'diameter', diameter), 4),
  )
  for (const p of [ground, rimLeft]) line(point(beside, p.y), p, 'dimension')
  const back = at(shape.rim(seam))
  items.push(...leader(back, point(edge + 5, roof + 4), 'seam'))
  if (values?.panels === 'two') {
    const other = at(shape.rim(seam + 2))
    items.push(...leader(other, point(edge + 5, roof - 3), 'seam'))
  }
  if (!values || values.slant !== undefined) {
    const [foot, head] = [at(footOf(shape, 0)), at(shape.rim(0))]
    const on = point(foot.x + 0.45 * (head.x - foot.x), foot.y + 0.45 * (head.y - foot.y))
    items.push(...leader(on, point(edge + 5, roof - 10), values ? `slant ${say(values.slant ?? 0)}` : 'S  slant'))
  }
  if (!values || shown.right !== 0 || shown.back !== 0) items.push(...fromAbove(shown, diameter, values && say))
  return { title: 'Where to measure', width: 150, height: roof + 18, items }
}

type Form = Pick<TransitionValues, 'length' | 'width' | 'right' | 'back'>

/** The two ends from above, with how far their middles stand apart. */
function fromAbove({ length, width, right, back }: Form, diameter: number, say: Say | undefined): (Drawn | Words)[] {
  const wide = Math.max(length / 2, right + diameter / 2) + Math.max(length / 2, diameter / 2 - right)
  const deep = Math.max(width / 2, back + diameter / 2) + Math.max(width / 2, diameter / 2 - back)
  const scale = Math.min(26 / wide, 21 / deep)
  const middle = point(
    106 + scale * Math.max(length / 2, diameter / 2 - right),
    17 + scale * Math.max(width / 2, diameter / 2 - back),
  )
  const round = point(middle.x + scale * right, middle.y + scale * back)
  const [w, d] = [(scale * length) / 2, (scale * width) / 2]
  const top = Math.max(middle.y + d, round.y + (scale * diameter) / 2)
  const side = Math.max(middle.x + w, round.x + (scale * diameter) / 2)
  const drawn = (path: Drawn['path'], style: Drawn['style']): Drawn => ({ kind: 'drawn', path, style })
  const cross = (p: Point, style: Drawn['style']) => [
    drawn(openPath(point(p.x - 1.5, p.y), lineTo(point(p.x + 1.5, p.y))), style),
    drawn(openPath(point(p.x, p.y - 1.5), lineTo(point(p.x, p.y + 1.5))), style),
  ]
  const foot = Math.min(middle.y - d, round.y - (scale * diameter) / 2)
  const words = (y: number, text: string): Words => ({
    kind: 'words',
    at: point(119, y),
    text,
    size: 4,
    anchor: 'middle',
    turn: 0,
  })
  const [low, high] = [Math.min(middle.x, round.x), Math.max(middle.x, round.x)]
  const [near, far] = [Math.min(middle.y, round.y), Math.max(middle.y, round.y)]
  return [
    drawn(rectangle(point(middle.x - w, middle.y - d), point(middle.x + w, middle.y + d)), 'object'),
    drawn(circle(round, (scale * diameter) / 2), 'object'),
    ...cross(middle, 'dimension'),
    ...cross(round, 'dimension'),
    ...(right === 0 ? [] : dimension(point(low, far), point(high, far), top - far + 5, 'X', 4)),
    ...(back === 0 ? [] : dimension(point(high, near), point(high, far), high - side - 8, 'Y', 4)),
    words(foot - 6, 'from above'),
    words(foot - 11.5, say ? `X ${say(right)}, Y ${say(back)}` : 'X  right, Y  back'),
  ]
}
