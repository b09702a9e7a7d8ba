import fc from 'fast-check'
import { arcTo, cubicTo, lineTo, type Path, type Segment } from '../../src/geometry/path.ts'

/** Evenly spread, with the odd extreme: `fc.double` alone draws by bit pattern, so nearly all of it lies next to 0. */
const spread = (most: number) =>
  fc.oneof(
    { weight: 9, arbitrary: fc.integer({ min: -1_000_000, max: 1_000_000 }).map((n) => (n * most) / 1_000_000) },
    { weight: 1, arbitrary: fc.double({ min: -most, max: most, noNaN: true }) },
  )
const coordinate = spread(500)
export const anyPoint = fc.record({ x: coordinate, y: coordinate })

const anySegment: fc.Arbitrary<Segment> = fc.oneof(
  anyPoint.map(lineTo),
  fc.tuple(anyPoint, spread(3.1)).map(([to, sweep]) => arcTo(to, sweep)),
  fc.tuple(anyPoint, anyPoint, anyPoint).map(([a, b, to]) => cubicTo(a, b, to)),
)

/** Open paths of one to five lines, arcs and cubics. */
export const anyPath: fc.Arbitrary<Path> = fc
  .tuple(anyPoint, fc.array(anySegment, { minLength: 1, maxLength: 5 }))
  .map(([start, segments]) => ({ start, segments, closed: false }))
