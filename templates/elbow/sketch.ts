import { boundsOf, boxHeight, boxWidth } from '../../src/geometry/bounds.ts'
import { arcTo, cubicTo, lineTo, openPath, type Path, polyline } from '../../src/geometry/path.ts'
import { add, leftOf, type Point, point, scaled, subtract, unit } from '../../src/geometry/point.ts'
import type { Stretch } from '../../src/panel/panel.ts'
import type { Say } from '../../src/panel/template.ts'
import { dimension } from '../../src/picture/dimension.ts'
import type { Drawn, Picture, Words } from '../../src/picture/picture.ts'
import { girthWords } from '../girth-words.ts'
import { hangsInMiddle } from '../hung.ts'
import { type ElbowValues, seamAtThroat } from './template.ts'

const standIn: ElbowValues = {
  girth: 62 * Math.PI,
  diameter: undefined,
  angle: Math.PI / 2,
  pieces: 4,
  radius: 105,
  throat: undefined,
  firstEnd: 40,
  lastEnd: 40,
  seams: 'alternate',
  overlap: 6,
  mitreLap: 0,
}

const size = 4

/** A tape round a tube `half` mm to either side, seen from a little above: the front of it. */
function belt(middle: Point, half: number): Path {
  const k = 0.5523
  const dip = half * 0.14
  const to = (x: number, y: number) => add(middle, point(x, y))
  return openPath(
    to(-half, 0),
    cubicTo(to(-half, -k * dip), to(-k * half, -dip), to(0, -dip)),
    cubicTo(to(k * half, -dip), to(half, -k * dip), to(half, 0)),
  )
}

/** The bend from its side with the centre it turns about, and where the tape goes; 150 mm wide. */
export function elbowSketch(values: ElbowValues | undefined, say: Say, hung?: Stretch): Picture {
  const v = values ?? standIn
  const across = v.diameter ?? (v.girth ?? 0) / Math.PI
  const radius = v.radius ?? (v.throat ?? 0) + across / 2
  const backset = v.angle / (2 * (v.pieces - 1))
  // The centre of the bend is the origin; the tube comes up on its left and turns to the right.
  const spoke = (turn: number) => point(-Math.cos(turn), Math.sin(turn))
  const onward = point(Math.sin(v.angle), Math.cos(v.angle))
  const side = (out: number): Point[] => [
    point(-radius - out, -v.firstEnd),
    ...Array.from({ length: v.pieces - 1 }, (_, i) =>
      scaled(spoke((2 * i + 1) * backset), (radius + out) / Math.cos(backset)),
    ),
    add(scaled(spoke(v.angle), radius + out), scaled(onward, v.lastEnd)),
  ]
  const heel = side(across / 2)
  const throat = side(-across / 2)
  const { low, high } = boundsOf([polyline([...heel, ...throat, point(0, 0)])])
  const scale = Math.min(92 / boxWidth({ low, high }), 74 / boxHeight({ low, high }))
  const origin = point((156 - (high.x + low.x) * scale) / 2, 28 - low.y * scale)
  const at = (p: Point): Point => add(scaled(p, scale), origin)
  const items: (Drawn | Words)[] = []
  const draw = (style: Drawn['style'], path: Path) => items.push({ kind: 'drawn', style, path })
  const line = (style: Drawn['style'], a: Point, b: Point) => draw(style, openPath(at(a), lineTo(at(b))))
  const words = (text: string, where: Point, anchor: Words['anchor']) =>
    items.push({ kind: 'words', at: where, text, size, anchor, turn: 0 })
  const corner = (own: readonly Point[], i: number): Point => own[i] ?? point(0, 0)
  const footOut = corner(heel, 0)
  const headOut = corner(heel, v.pieces)
  draw('object', polyline([...heel, ...[...throat].reverse()].map(at), true))
  for (let i = 1; i < v.pieces; i++) line('object', corner(heel, i), corner(throat, i))

  // The two faces of the bend run through its centre.
  const [first, last] = [spoke(0), spoke(v.angle)]
  const outer = radius + across / 2
  const inner = radius - across / 2
  line('hidden', point(0, 0), scaled(first, v.firstEnd > 0 ? outer : inner))
  line('hidden', point(0, 0), scaled(last, v.lastEnd > 0 ? outer : inner))
  line('dimension', point(-2 / scale, 0), point(2 / scale, 0))
  line('dimension', point(0, -2 / scale), point(0, 2 / scale))

  // The hinge of every piece with its marks lies opposite its seam, on the heel or the throat, unless it is asked for elsewhere.
  for (let i = 0; i < v.pieces && hangsInMiddle(hung); i++) {
    const hinge = seamAtThroat(v.seams, i) ? heel : throat
    const [from, to] = [at(corner(hinge, i)), at(corner(hinge, i + 1))]
    const outward = scaled(leftOf(unit(subtract(to, from))), hinge === heel ? 4 : -4)
    items.push({ kind: 'drawn', style: 'hinge', part: 'hinge', path: openPath(from, lineTo(to)) })
    for (const end of [from, to]) {
      items.push({ kind: 'drawn', style: 'tick', part: 'mark', path: openPath(end, lineTo(add(end, outward))) })
    }
  }

  // The tape round the first piece.
  const half = (across / 2) * scale
  const foot = at(point(-radius, -v.firstEnd))
  const tape = add(foot, point(0, Math.min(7, 0.6 * (at(corner(throat, 1)).y - foot.y))))
  draw('bare', belt(tape, half))
  const inside = Math.min(0.6 * inner * scale, values ? 14 : 18)
  const turn = `${Number(((v.angle * 180) / Math.PI).toFixed(2))}°`
  const round = v.girth === undefined ? `diameter ${say(across)}` : girthWords('girth', v.girth, say)
  const given = inside > 10 ? round : `${round}, turned by ${turn}`
  const below = point(foot.x - 0.4 * half, foot.y - 17)
  words(values ? given : 'A  girth (D: diameter across)', below, 'middle')
  draw('dimension', openPath(add(below, point(0, 4.5)), lineTo(point(below.x, tape.y - 0.14 * half))))

  const span = (a: Point, b: Point, offset: number, text: string) =>
    items.push(...dimension(at(a), at(b), offset, text, size))
  const centre = point(0, 0)
  if (v.radius !== undefined) span(scaled(first, radius), centre, -8, values ? `radius ${say(radius)}` : 'R  radius')
  else if (inner > 0) {
    span(scaled(first, inner), centre, -8, '')
    words(`throat ${say(inner)}`, add(origin, point(0, -14)), 'middle')
  }
  if (!values) span(centre, scaled(last, inner), -6, 'T  throat')
  if (v.firstEnd > 0) span(footOut, point(footOut.x, 0), 8, values ? say(v.firstEnd) : 'E  end')
  if (v.lastEnd > 0) span(scaled(last, outer), headOut, 8, values ? say(v.lastEnd) : 'F  end')

  if (inside > 10) {
    const [from, to] = [first, last].map((way) => add(origin, scaled(way, inside))) as [Point, Point]
    draw('dimension', openPath(from, arcTo(to, -v.angle)))
    words(
      values ? turn : 'W  turn',
      add(add(origin, scaled(spoke(v.angle / 2), 0.55 * inside)), point(0, -1.4)),
      'middle',
    )
  }

  const middle = Math.ceil((v.pieces - 1) / 2)
  const way = spoke((2 * middle - 1) * backset)
  words(
    'heel',
    add(add(at(corner(heel, middle)), scaled(way, middle === 1 ? 7 : 4)), point(0, -1)),
    way.x < -0.1 ? 'end' : 'middle',
  )
  const within = add(at(corner(throat, middle)), scaled(way, -5))
  if (inner * scale > 20) words('throat', add(within, point(0, -2)), way.x < -0.6 ? 'start' : 'middle')
  else if (inner <= 0) words('throat', add(origin, point(4, -5)), 'start')
  return { title: 'Where to measure', width: 150, height: at(high).y + 16, items }
}
