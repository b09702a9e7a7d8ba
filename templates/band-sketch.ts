import { cubicTo, lineTo, openPath, type Path } from '../src/geometry/path.ts'
import { type Point, point } from '../src/geometry/point.ts'
import type { Drawn, Picture, Words } from '../src/picture/picture.ts'

interface RoundObject {
  readonly bottom: number
  readonly top: number
  readonly height: number
  readonly part: boolean
}

interface BandWords {
  readonly round: string
  readonly top?: string
  readonly side: string
  readonly gap: string
}

/** Shown when no measures are given: a pail-like object for a taper, a tin for a straight band. */
const standIn = (tapered: boolean): RoundObject => ({ bottom: tapered ? 240 : 280, top: 280, height: 90, part: true })

/** Half an ellipse from left to right, dipping (`below`) or rising, as two cubics. */
function halfEllipse(middle: Point, across: number, depth: number, below: boolean): Path {
  const k = 0.5523
  const d = below ? -depth : depth
  const a = across
  const bottom = point(middle.x, middle.y + d)
  return openPath(
    point(middle.x - a, middle.y),
    cubicTo(point(middle.x - a, middle.y + k * d), point(middle.x - k * a, middle.y + d), bottom),
    cubicTo(
      point(middle.x + k * a, middle.y + d),
      point(middle.x + a, middle.y + k * d),
      point(middle.x + a, middle.y),
    ),
  )
}

/** A round object seen from a little above, with where the tape goes; 150 x 110 mm. */
export function bandSketch(object: RoundObject | undefined, words: BandWords): Picture {
  const shown = object ?? standIn(words.top !== undefined)
  const scale = Math.min(66 / Math.max(shown.bottom / Math.PI, shown.top / Math.PI), 62 / shown.height)
  const a = (shown.bottom / Math.PI / 2) * scale
  const b = (shown.top / Math.PI / 2) * scale
  const tall = shown.height * scale
  const [dipA, dipB] = [a * 0.22, b * 0.22]
  const middle = 72
  const foot = 22
  const head = foot + tall
  const items: (Drawn | Words)[] = []
  const draw = (path: Path, style: Drawn['style']) => items.push({ kind: 'drawn', path, style })
  const line = (x1: number, y1: number, x2: number, y2: number, style: Drawn['style']) =>
    draw(openPath(point(x1, y1), lineTo(point(x2, y2))), style)
  const say = (text: string, x: number, y: number, anchor: Words['anchor']) =>
    items.push({ kind: 'words', at: point(x, y), text, size: 4, anchor, turn: 0 })
  draw(halfEllipse(point(middle, head), b, dipB, false), 'object')
  draw(halfEllipse(point(middle, head), b, dipB, true), 'object')
  draw(halfEllipse(point(middle, foot), a, dipA, true), 'object')
  draw(halfEllipse(point(middle, foot), a, dipA, false), 'hidden')
  line(middle - a, foot, middle - b, head, 'object')
  line(middle + a, foot, middle + b, head, 'object')
  if (shown.part) {
    // The handle's foot strip, a little right of the middle of the front, from ellipse to ellipse.
    const front = (share: number) => Math.sqrt(1 - share * share)
    for (const share of [0.5, 0.66]) {
      line(middle + a * share, foot - dipA * front(share), middle + b * share, head - dipB * front(share), 'object')
    }
    line(
      middle + ((a + b) / 2) * 0.58,
      (foot + head) / 2 - dipA * 0.8,
      middle + b + 14,
      (foot + head) / 2 + 4,
      'dimension',
    )
    say(words.gap, middle + b + 15, (foot + head) / 2 + 3, 'start')
  }
  // Hinge marks on the front, top and bottom.
  line(middle - a * 0.1, foot - dipA, middle - a * 0.1, foot - dipA + 7, 'tick')
  line(middle - b * 0.1, head - dipB, middle - b * 0.1, head - dipB - 7, 'tick')
  line(middle - a * 0.1, foot - dipA, middle - b * 0.1, head - dipB, 'hinge')
  // Height or slant, along the left side.
  line(middle - a - 6, foot, middle - b - 6, head, 'dimension')
  line(middle - a - 8, foot, middle - a - 1, foot, 'dimension')
  line(middle - b - 8, head, middle - b - 1, head, 'dimension')
  say(words.side, 4, 14, 'start')
  line(20, 18, middle - (a + b) / 2 - 6, (foot + head) / 2, 'dimension')
  // Girths: the tape lies on the dashes.
  draw(halfEllipse(point(middle, foot + 3), a + 1, dipA, true), 'bare')
  say(words.round, middle, 6, 'middle')
  if (words.top) {
    draw(halfEllipse(point(middle, head - 3), b + 1, dipB, true), 'bare')
    say(words.top, middle, head + dipB + 5, 'middle')
  }
  return { title: 'Where to measure', width: 150, height: Math.max(head + dipB + 14, 60), items }
}
