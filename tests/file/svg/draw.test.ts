import { Resvg } from '@resvg/resvg-js'
import { DOMParser } from '@xmldom/xmldom'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { writeDrawing } from '../../../src/file/svg/draw.ts'
import { lineTo, openPath } from '../../../src/geometry/path.ts'
import { point } from '../../../src/geometry/point.ts'
import type { Picture } from '../../../src/picture/picture.ts'
import { looks } from '../../../src/picture/styles.ts'

const line = openPath(point(10, 10), lineTo(point(90, 10)))
const picture: Picture = {
  title: 'Lid & tin',
  width: 100,
  height: 50,
  items: [
    { kind: 'words', at: point(50, 20), text: 'a < b & "c"', size: 4, anchor: 'middle', turn: Math.PI / 2, bold: true },
    { kind: 'drawn', path: line, style: 'outline' },
    { kind: 'drawn', path: line, style: 'slit' },
    { kind: 'drawn', path: line, style: 'outline' },
  ],
}

const parsed = (text: string) => new DOMParser().parseFromString(text, 'image/svg+xml')

describe('writeDrawing', () => {
  it('works out by hand for one line on 100 x 50 mm', () => {
    const one: Picture = { title: 't', width: 100, height: 50, items: [{ kind: 'drawn', path: line, style: 'slit' }] }
    expect(writeDrawing(one)).toBe(`<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50">
  <title>t</title>
  <rect width="100" height="50" fill="#ffffff"/>
  <g data-style="slit" fill="none" stroke="#8a3d00" stroke-width="0.45" stroke-linejoin="round" stroke-dasharray="1.2 1.2">
    <title>slit: liner only, from the back</title>
    <path d="M 10 40 L 90 40"/>
  </g>
</svg>
`)
  })

  it('has one group for each style in use, titled with what it means, words last', () => {
    const groups = [...parsed(writeDrawing(picture)).getElementsByTagName('g')]
    expect(groups.map((g) => g.getAttribute('data-style'))).toEqual(['outline', 'slit', 'words'])
    expect(groups.map((g) => g.getElementsByTagName('path').length)).toEqual([2, 1, 0])
    expect(groups[0]?.getElementsByTagName('title')[0]?.textContent).toBe(looks.outline.means)
  })

  it('turns words counter-clockwise about their foot, on a white halo under the letters', () => {
    const words = parsed(writeDrawing(picture)).getElementsByTagName('text')[0]
    expect(words?.getAttribute('transform')).toBe('translate(50 30) rotate(-90)')
    expect(words?.getAttribute('text-anchor')).toBe('middle')
    expect(words?.getAttribute('font-weight')).toBe('bold')
    const group = parsed(writeDrawing(picture)).getElementsByTagName('g')[2]
    expect(group?.getAttribute('paint-order')).toBe('stroke')
    expect(group?.getAttribute('stroke')).toBe('#ffffff')
    expect(group?.getAttribute('font-family')).toBe('sans-serif')
  })

  it('brings back any text a person can type, and stays well formed with any other', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (text) => {
        const item = { kind: 'words', at: point(1, 1), text, size: 3, anchor: 'start', turn: 0 } as const
        const read = parsed(writeDrawing({ ...picture, title: text, items: [item] }))
        expect(read.getElementsByTagName('text')[0]?.textContent).toBe(text)
      }),
    )
    const lineEnds = 'a\r\nb\u0085c\u2028d'
    const titled = parsed(writeDrawing({ ...picture, title: lineEnds }))
    expect(titled.getElementsByTagName('title')[0]?.textContent).toBe(lineEnds)
    const odd = {
      kind: 'words',
      at: point(1, 1),
      text: 'a\u0000\u0008\uFFFE\uD800b',
      size: 3,
      anchor: 'start',
      turn: 0,
    } as const
    const read = parsed(writeDrawing({ ...picture, items: [odd] }))
    expect(read.getElementsByTagName('text')[0]?.textContent).toBe('ab')
  })

  it('is drawn by an independent renderer (resvg) on white, dark where the line is', () => {
    const image = new Resvg(writeDrawing({ ...picture, items: picture.items.slice(1, 2) }), {
      fitTo: { mode: 'width', value: 1000 },
    }).render()
    const grey = (x: number, y: number) => image.pixels[4 * (y * image.width + x)]
    expect([image.width, image.height]).toEqual([1000, 500])
    expect(grey(5, 5)).toBe(255)
    expect(grey(500, 400)).toBeLessThan(60)
    expect(grey(500, 100)).toBe(255)
  })
})
