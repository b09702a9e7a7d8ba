import { getWindow } from '@svgdotjs/svg.js'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { writeCutSvg } from '../../../src/file/svg/cut.ts'
import { readCutSvg } from '../../../src/file/svg/read.ts'
import {
  arcTo,
  closedPath,
  cubicTo,
  lineTo,
  openPath,
  type Path,
  pieces,
  type Segment,
} from '../../../src/geometry/path.ts'
import { point } from '../../../src/geometry/point.ts'
import { segmentPoint } from '../../../src/geometry/segment.ts'
import { type Operation, operations, type Stroke } from '../../../src/stroke/stroke.ts'

/** A 40 mm square at (10, 10) with a quarter-round notch at its lower left corner, and a tick on its right edge. */
const sample: readonly Stroke[] = [
  { operation: 'pen', path: openPath(point(50, 30), lineTo(point(47, 30))), name: 'square: tick "right"' },
  {
    operation: 'kiss',
    path: closedPath(point(15, 10), [
      lineTo(point(50, 10)),
      lineTo(point(50, 50)),
      lineTo(point(10, 50)),
      lineTo(point(10, 15)),
      arcTo(point(15, 10), -Math.PI / 2),
    ]),
    name: 'square: outline',
  },
]

/** Worked by hand: y down from 60 mm; the notch turns right, so its sweep flag is 1. */
const sampleText = `<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="60mm" viewBox="0 0 80 60">
<g id="pen" data-operation="pen" fill="none" stroke="#1d4e89" stroke-width="0.7">
<title>tick</title>
<path d="M 50 30 L 47 30" data-name="square: tick &quot;right&quot;"/>
</g>
<g id="kiss" data-operation="kiss" fill="none" stroke="#111111" stroke-width="0.5">
<title>kiss cut: through the film</title>
<path d="M 15 50 L 50 50 L 50 10 L 10 10 L 10 45 A 5 5 0 0 1 15 50 Z" data-name="square: outline"/>
</g>
</svg>
`

describe('the cut file', () => {
  test('of a square with a notch is as worked by hand', () => {
    expect(writeCutSvg(sample, { width: 80, height: 60 })).toBe(sampleText)
  })

  test('gives back its strokes and size', () => {
    const { width, height, strokes } = readCutSvg(sampleText)
    expect([width, height]).toEqual([80, 60])
    expect(strokes.map((s) => [s.operation, s.name])).toEqual([
      ['pen', 'square: tick "right"'],
      ['kiss', 'square: outline'],
    ])
    sample.forEach((stroke, i) => {
      expectNear(strokes[i]?.path, stroke.path)
    })
  })

  test('has dashes where the line style has them and no group without strokes', () => {
    const text = writeCutSvg([{ operation: 'slit', path: openPath(point(0, 0), lineTo(point(1, 1))), name: 's' }], {
      width: 10,
      height: 10,
    })
    expect(text).toContain(
      '<g id="slit" data-operation="slit" fill="none" stroke="#8a3d00" stroke-width="0.45" stroke-dasharray="1.2 1.2">',
    )
    expect(text.match(/<g /g)?.length).toBe(1)
  })

  test('keeps names that look like numbers and takes what XML cannot hold out of them', () => {
    const path = openPath(point(0, 0), lineTo(point(1, 1)))
    const names = ['100000', '007', '<&>\n\t"', 'bell \u0007']
    const text = writeCutSvg(
      names.map((name) => ({ operation: 'kiss', path, name })),
      { width: 10, height: 10 },
    )
    expect(readCutSvg(text).strokes.map((s) => s.name)).toEqual(['100000', '007', '<&>\n\t"', 'bell \uFFFD'])
  })

  test('leaves the window of svg.js as it was', () => {
    const before = getWindow()
    writeCutSvg(sample, { width: 80, height: 60 })
    expect(getWindow()).toBe(before)
  })

  test('is refused for a size or a place that is no number', () => {
    expect(() => writeCutSvg(sample, { width: Number.NaN, height: 60 })).toThrow(RangeError)
    const stray = openPath(point(0, 0), lineTo(point(Infinity, 0)))
    expect(() => writeCutSvg([{ operation: 'kiss', path: stray, name: 's' }], { width: 1, height: 1 })).toThrow(
      RangeError,
    )
  })
})

/** The same segments, each within 1e-4 mm of the other an axis at its ends and along the way. */
function expectNear(got: Path | undefined, want: Path): void {
  expect(got?.closed).toBe(want.closed)
  const found = got ? [...pieces(got)] : []
  const asked = [...pieces(want)]
  expect(found.map(({ segment }) => segment.kind)).toEqual(asked.map(({ segment }) => segment.kind))
  asked.forEach(({ from, segment }, i) => {
    const other = found[i]
    if (!other) throw new Error('a segment is missing')
    for (const t of [0, 0.25, 0.5, 0.75, 1]) {
      const a = segmentPoint(from, segment, t)
      const b = segmentPoint(other.from, other.segment, t)
      expect(Math.max(Math.abs(a.x - b.x), Math.abs(a.y - b.y))).toBeLessThan(1e-4)
    }
  })
}

describe('any strokes', () => {
  const coordinate = fc.double({ min: 0, max: 1000, noNaN: true })
  const place = fc.record({ x: coordinate, y: coordinate })
  const segment: fc.Arbitrary<Segment> = fc.oneof(
    place.map(lineTo),
    fc
      .tuple(place, fc.double({ min: 0.05, max: 1.59, noNaN: true }), fc.boolean())
      .map(([to, s, left]) => arcTo(to, left ? s : -s)),
    fc.tuple(place, place, place).map(([a, b, c]) => cubicTo(a, b, c)),
  )
  const path = fc
    .tuple(place, fc.array(segment, { minLength: 1, maxLength: 8 }), fc.boolean())
    .map(([start, segments, closed]) => (closed ? closedPath(start, segments) : openPath(start, ...segments)))
    .filter((p) =>
      [...pieces(p)].every(({ from, segment }) => Math.hypot(segment.to.x - from.x, segment.to.y - from.y) > 1),
    )
  const name = fc.string({ unit: 'grapheme-ascii' })
  const strokes = fc
    .array(fc.record({ operation: fc.constantFrom<Operation>(...operations), path, name }), { maxLength: 6 })
    .map((list) => operations.flatMap((operation) => list.filter((stroke) => stroke.operation === operation)))
  const size = fc.record({ width: coordinate, height: coordinate })

  test('are read back within 1e-4 mm', () => {
    fc.assert(
      fc.property(strokes, size, (given, sheet) => {
        const { strokes: read, width, height } = readCutSvg(writeCutSvg(given, sheet))
        expect(Math.abs(width - sheet.width)).toBeLessThan(1e-4)
        expect(Math.abs(height - sheet.height)).toBeLessThan(1e-4)
        expect(read.map((s) => [s.operation, s.name])).toEqual(given.map((s) => [s.operation, s.name]))
        given.forEach((stroke, i) => {
          expectNear(read[i]?.path, stroke.path)
        })
      }),
    )
  })

  test('give the same text when what was read is written again, even with tiny and wide arcs', () => {
    const close = fc.record({
      x: fc.double({ min: 0, max: 0.02, noNaN: true }),
      y: fc.double({ min: 0, max: 3, noNaN: true }),
    })
    const wide = fc
      .tuple(fc.oneof(place, close), fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }))
      .map(([to, s]) => arcTo(to, s))
    const rough = fc
      .tuple(fc.oneof(place, close), fc.array(fc.oneof(segment, wide), { maxLength: 8 }), fc.boolean())
      .map(([start, segments, closed]) => (closed ? closedPath(start, segments) : openPath(start, ...segments)))
    const given = fc.array(fc.record({ operation: fc.constantFrom<Operation>(...operations), path: rough, name }))
    fc.assert(
      fc.property(given, size, (list, sheet) => {
        const text = writeCutSvg(list, sheet)
        const read = readCutSvg(text)
        expect(writeCutSvg(read.strokes, read)).toBe(text)
        expect(text).not.toMatch(/ d="[^"]*(NaN|Infinity|e|-0[ "])/)
      }),
    )
  })
})
