import { decimal } from '../file/number.ts'
import { type Box, boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { between, type Point, point } from '../geometry/point.ts'
import { type Boxed, boxGap } from './nearest-line.ts'

/** Of the lines, the share that must then lie right. */
const most = 0.8

interface Way {
  readonly words: string
  /** from a place in the file to where it would have been */
  readonly back: (p: Point) => Point
}

/**
 * What was done to a file as a whole, where one thing tells why its lines do not lie where they should: shifted, mirrored,
 * turned or of another size. Looks at the boxes round lines.
 */
export function wholeWords(asked: readonly Boxed[], found: readonly Boxed[], tolerance: number): string | undefined {
  if (asked.length === 0 || found.length === 0) return undefined
  const [wanted, own] = [asked, found].map((lines) => boundsOf(lines.map(({ path }) => path))) as [Box, Box]
  const right = ({ back }: Way) =>
    asked.filter(({ box }) => found.some((line) => isThere(line.box, box, back, tolerance)))
  // Do nearly all lie right as they are?
  if (right(asItIs).length >= most * asked.length) return undefined
  return waysOf(wanted, own).find((way) => right(way).length >= most * asked.length)?.words
}

function isThere(own: Box, wanted: Box, back: Way['back'], tolerance: number): boolean {
  const [a, b] = [back(own.low), back(own.high)]
  const box = {
    low: point(Math.min(a.x, b.x), Math.min(a.y, b.y)),
    high: point(Math.max(a.x, b.x), Math.max(a.y, b.y)),
  }
  return boxGap(box, wanted) <= tolerance
}

const asItIs: Way = { words: '', back: (p) => p }

/** What may have been done, each so that the box round everything comes to lie where it should. */
function waysOf(wanted: Box, own: Box): Way[] {
  const [to, from] = [between(wanted.low, wanted.high, 0.5), between(own.low, own.high, 0.5)]
  const about = (turn: (dx: number, dy: number) => Point) => (p: Point) => {
    const { x, y } = turn(p.x - from.x, p.y - from.y)
    return point(to.x + x, to.y + y)
  }
  const [alongX, alongY] = [scale(boxWidth(own), boxWidth(wanted)), scale(boxHeight(own), boxHeight(wanted))]
  const percent = (factor: number) => `${(100 * factor).toFixed(2)} %`
  return [
    {
      words: `as a whole it is shifted by ${decimal(from.x - to.x, 2)} along and ${decimal(from.y - to.y, 2)} mm across`,
      back: about(point),
    },
    { words: 'as a whole it is mirrored, left and right changed over', back: about((x, y) => point(-x, y)) },
    { words: 'as a whole it is mirrored, top and bottom changed over', back: about((x, y) => point(x, -y)) },
    { words: 'as a whole it is turned by 180 degrees', back: about((x, y) => point(-x, -y)) },
    { words: 'as a whole it is turned by 90 degrees to the left', back: about((x, y) => point(y, -x)) },
    { words: 'as a whole it is turned by 90 degrees to the right', back: about((x, y) => point(-y, x)) },
    {
      words: `as a whole it is ${percent(alongX)} along and ${percent(alongY)} across of what it should be`,
      back: about((x, y) => point(x / alongX, y / alongY)),
    },
  ]
}

const scale = (own: number, wanted: number) => (own > 0 && wanted > 0 ? own / wanted : 1)
