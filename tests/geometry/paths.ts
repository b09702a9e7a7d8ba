import fc from 'fast-check'
import { arcTo, cubicTo, lineTo, type Path, type Segment } from '../../src/geometry/path.ts'

const coordinate = fc.double({ min: -500, max: 500, noNaN: true, noDefaultInfinity: true })
export const anyPoint = fc.record({ x: coordinate, y: coordinate })

const anySegment: fc.Arbitrary<Segment> = fc.oneof(
  anyPoint.map(lineTo),
  fc.tuple(anyPoint, fc.double({ min: -3.1, max: 3.1, noNaN: true })).map(([to, sweep]) => arcTo(to, sweep)),
  fc.tuple(anyPoint, anyPoint, anyPoint).map(([a, b, to]) => cubicTo(a, b, to)),
)

/** Open paths of one to five lines, arcs and cubics. */
export const anyPath: fc.Arbitrary<Path> = fc
  .tuple(anyPoint, fc.array(anySegment, { minLength: 1, maxLength: 5 }))
  .map(([start, segments]) => ({ start, segments, closed: false }))
