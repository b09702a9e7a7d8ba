import { describe, expect, test } from 'vitest'
import { writeCutSvg } from '../../../src/file/svg/cut.ts'
import { writeDrawing } from '../../../src/file/svg/draw.ts'
import { isDrawing, readDrawing } from '../../../src/file/svg/read-drawing.ts'
import { arcTo, closedPath, lineTo, openPath, polyline } from '../../../src/geometry/path.ts'
import { point } from '../../../src/geometry/point.ts'
import { formatProblem, Refusal } from '../../../src/measure/problem.ts'
import type { Picture } from '../../../src/picture/picture.ts'
import { looks } from '../../../src/picture/styles.ts'

/** Worked by hand: 20 x 10 mm, y down; a coloured area, the measured edge, the outline and an opening, a tick and the name. */
const text = `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10">
  <title>Sheet 3</title>
  <rect width="20" height="10" fill="#ffffff"/>
  <g data-style="areas"><path d="M 3 8 L 17 8 L 17 2 Z" fill="#fbf3ea"/></g>
  <g data-style="bare" fill="none"><path d="M 3 8 L 17 8 L 17 2 L 3 2 Z"/></g>
  <g data-style="outline" fill="none" stroke="#111111" stroke-width="0.5" stroke-linejoin="round">
    <title>kiss cut: through the film</title>
    <path d="M 2 9 L 18 9 L 18 1 L 3 1 A 1 1 0 0 0 2 2 Z"/>
  </g>
  <g data-style="hole" fill="none"><path d="M 8 6 L 10 6 L 10 4 Z"/></g>
  <g data-style="through" fill="none"><path d="M 0 5 L 1 5"/></g>
  <g data-style="tick" fill="none"><path d="M 10 9 L 10 8"/></g>
  <g data-style="words" font-family="sans-serif" fill="#111111" stroke="#ffffff" stroke-linejoin="round" paint-order="stroke">
    <text transform="translate(10 5) rotate(-90)" font-size="2" stroke-width="0.6" text-anchor="middle" font-weight="bold">lid</text>
  </g>
</svg>
`

function problemsOf(drawing: string): string {
  try {
    readDrawing(drawing)
  } catch (error) {
    if (error instanceof Refusal) return error.problems.map(formatProblem).join('\n')
    throw error
  }
  return ''
}

describe('a drawing', () => {
  test('gives its cut lines and its pen lines in mm, y up, and leaves the others out', () => {
    expect(readDrawing(text)).toEqual({
      width: 20,
      height: 10,
      title: 'Sheet 3',
      shows: 'panel',
      lines: [
        closedPath(point(2, 1), [
          lineTo(point(18, 1)),
          lineTo(point(18, 9)),
          lineTo(point(3, 9)),
          // counter-clockwise on the page from (3, 1) down to (2, 2): a quarter turn to the left, y up
          expect.objectContaining({ kind: 'arc', to: point(2, 8), sweep: expect.closeTo(Math.PI / 2, 9) }),
          lineTo(point(2, 1)),
        ]),
        polyline([point(8, 4), point(10, 4), point(10, 6)], true),
        polyline([point(0, 5), point(1, 5)]),
        polyline([point(10, 1), point(10, 2)]),
      ].map((path, i) => ({ operation: ['kiss', 'kiss', 'through', 'pen'][i], path })),
    })
  })

  test('shows a sheet where the edge of the film is drawn, whatever its title', () => {
    expect(readDrawing(text.replace('"bare"', '"stock"')).shows).toBe('sheet')
    expect(readDrawing(text.replace('Sheet 3', 'lid')).shows).toBe('panel')
  })

  test('of any style that midtick draws is read, and cut lines come back within a thousandth of a mm', () => {
    const band = closedPath(point(1, 1), [lineTo(point(19.12345, 1)), arcTo(point(1, 8.7654), 1), lineTo(point(1, 1))])
    for (const style of Object.keys(looks) as (keyof typeof looks)[]) {
      const picture: Picture = { title: 'a', width: 20, height: 10, items: [{ kind: 'drawn', path: band, style }] }
      const { lines } = readDrawing(writeDrawing(picture))
      expect(lines.length).toBe(['outline', 'through', 'hole', 'tick', 'label', 'slit'].includes(style) ? 1 : 0)
      for (const { path } of lines) {
        expect(path.closed).toBe(true)
        expect(Math.abs((path.segments[0]?.to.x ?? 0) - 19.12345)).toBeLessThan(0.001)
        expect(Math.abs((path.segments[1]?.to.y ?? 0) - 8.7654)).toBeLessThan(0.001)
      }
    }
  })

  test('is told from a cut file by what is in it', () => {
    expect(isDrawing(text)).toBe(true)
    const path = openPath(point(0, 0), lineTo(point(1, 1)))
    const name = '<g data-style="outline">'
    expect(isDrawing(writeCutSvg([{ operation: 'kiss', path, name }], { width: 9, height: 9 }))).toBe(false)
    expect(isDrawing('IN;SP1;PU0,0;PD9,9;')).toBe(false)
  })
})

describe('a drawing that was changed', () => {
  test.each([
    [
      'a transform',
      text.replace('<g data-style="outline"', '<g transform="scale(2)" data-style="outline"'),
      'line 7, column 3: the drawing is attribute transform of <g>',
    ],
    ['a style', text.replace('<path d="M 2', '<path style="x" d="M 2'), 'the drawing is attribute style of <path>'],
    ['a group in a group', text.replace('<title>kiss', '<g/><title>kiss'), 'the drawing is <g>; <g> may hold'],
    ['a use', text.replace('</svg>', '<use href="#a"/></svg>'), 'the drawing is <use>; <svg> may hold title, rect, g'],
    ['a style of line unknown here', text.replace('"hole"', '"slot"'), 'the drawing is data-style "slot"'],
    ['another scale', text.replace('0 0 20 10', '0 0 40 20'), 'viewBox is "0 0 40 20"; 1:1 needs "0 0 20 10"'],
    ['pixels', text.replace('20mm', '20px'), 'width is "20px"; a length in mm is needed'],
    ['relative path data', text.replace('L 10 6', 'l 2 0'), 'path data at character 7 is "l 2 0'],
    ['its end cut off', text.slice(0, -20), 'the SVG file is not readable'],
  ])('with %s is refused by name', (_, changed, words) => {
    expect(changed).not.toBe(text)
    expect(problemsOf(changed)).toContain(words)
  })

  test('is refused for everything in it at once', () => {
    const changed = text.replace('"hole"', '"slot"').replace('20mm', '20px').replace('<rect', '<rect x="1"')
    expect(problemsOf(changed).split('\n')).toHaveLength(3)
  })
})
