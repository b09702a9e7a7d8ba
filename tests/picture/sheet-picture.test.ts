import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type Box, boundsOf } from '../../src/geometry/bounds.ts'
import { pointInside } from '../../src/geometry/inside.ts'
import { endOf, lineTo, openPath, type Path, rectangle } from '../../src/geometry/path.ts'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import { intersection, ringsArea, ringsOf } from '../../src/geometry/polygon.ts'
import { mapPoint, transform, turning } from '../../src/geometry/transform.ts'
import type { Panel } from '../../src/panel/panel.ts'
import type { Drawn, Picture, Words } from '../../src/picture/picture.ts'
import { sheetPicture } from '../../src/picture/sheet-picture.ts'
import { textWidth } from '../../src/picture/text-width.ts'
import { crossSpace } from '../../src/sheet/cross-places.ts'
import type { Piece, Sheet } from '../../src/sheet/sheet.ts'
import type { Stock } from '../../src/sheet/stock.ts'
import { filmStrokes, linerStrokes } from '../../src/stroke/strokes.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { laidOn, pinned, roll } from '../sheet/laid.ts'
import { mm, panelOf, plainOptions, say, square, squareBands, thin, unopened } from '../templates/measures.ts'

const stock: Stock = { ...roll, width: 630, length: 20000, turn: 'quarter' }
/** Film on which every piece lies as it stands. */
const upright: Stock = { ...stock, turn: 'none' }
const feed = 'film runs this way'

const lid = (name: string, width: number, height: number, lines: 'one' | 'strip' | 'none' = 'one'): Panel =>
  panelOf(flatPanel.develop({ width, height, radius: square, ...unopened }, thin, say), {
    ...plainOptions,
    name,
    slit: { lines, strip: 12 },
  })

const single = (panel: Panel): Piece => ({ panel, copy: 1, copies: 1 })

function laid(pieces: readonly Piece[], own: Stock = stock): Sheet[] {
  return [...laidOn(pieces, [own], { gap: 12, reach: { x: 20000, y: 3000 }, spare: crossSpace }).sheets]
}

function drawnSheet(sheet: Sheet): Picture {
  const film = filmStrokes(sheet, { cut: 'kiss', hasPen: true })
  return sheetPicture(sheet, film, linerStrokes(sheet))
}

const wordsIn = (picture: Picture) => picture.items.filter((item): item is Words => item.kind === 'words')
const namesIn = (picture: Picture) => wordsIn(picture).filter(({ text }) => text !== feed)
const drawnIn = (picture: Picture, style: string) =>
  picture.items.filter((item): item is Drawn => item.kind === 'drawn' && item.style === style)

/** Round the letters, from the deepest tail 0.22 below the baseline to the tallest capital 0.73 above it (Helvetica). */
function boxOfWords({ at, text, size, anchor, turn }: Words): Box {
  const long = textWidth(text, size)
  const start = anchor === 'middle' ? -long / 2 : 0
  const corners = [point(start, -0.22 * size), point(start + long, 0.73 * size)].map(({ x, y }) =>
    point(at.x + x * Math.cos(turn) - y * Math.sin(turn), at.y + x * Math.sin(turn) + y * Math.cos(turn)),
  )
  const xs = corners.map(({ x }) => x)
  const ys = corners.map(({ y }) => y)
  return { low: point(Math.min(...xs), Math.min(...ys)), high: point(Math.max(...xs), Math.max(...ys)) }
}

const apart = (a: Box, b: Box) =>
  Math.max(a.low.x - b.high.x, b.low.x - a.high.x, a.low.y - b.high.y, b.low.y - a.high.y) > 0

/** Does the straight line pass the box by? By points every 0.2 mm or so. */
function missesBox(from: Point, to: Point, { low, high }: Box): boolean {
  const count = Math.ceil(Math.hypot(to.x - from.x, to.y - from.y) / 0.2)
  for (let i = 0; i <= count; i++) {
    const x = from.x + ((to.x - from.x) * i) / count
    const y = from.y + ((to.y - from.y) * i) / count
    if (x > low.x && x < high.x && y > low.y && y < high.y) return false
  }
  return true
}

test('names stand on their own film, clear of hinge, slits, ticks and pen labels, between 3 and 8 mm', () => {
  const some = fc.array(fc.oneof(...Object.values(squareBands)), { minLength: 1, maxLength: 4 })
  fc.assert(
    fc.property(some, fc.boolean(), mm(700, 2500), (measured, numbered, width) => {
      const pieces = measured.map(({ template, values, facts }, i): Piece => {
        const panel = panelOf(template.develop(values, facts, say), { ...plainOptions, name: `tin ${i}` })
        return { panel, copy: 1, copies: numbered ? 12 : 1 }
      })
      for (const sheet of laid(pieces, { ...stock, width })) {
        const picture = drawnSheet(sheet)
        const names = namesIn(picture)
        const label = numbered ? ' 1 of 12' : ''
        expect(names.map(({ text }) => text)).toEqual(sheet.pieces.map(({ panel }) => `${panel.name}${label}`))
        names.forEach((words, i) => {
          const { panel, place } = sheet.pieces[i] ?? expect.fail('a piece is missing')
          const box = boxOfWords(words)
          expect(words.size).toBeGreaterThanOrEqual(3)
          expect(words.size).toBeLessThanOrEqual(8)
          const film = ringsOf([transform(panel.outline, place)], 0.01)
          const own = ringsOf([rectangle(box.low, box.high)])
          expect(ringsArea(intersection(own, film))).toBeCloseTo(ringsArea(own), 2)
          for (const { from, to } of [panel.hinge, ...panel.slits]) {
            expect(missesBox(mapPoint(place, from), mapPoint(place, to), box)).toBe(true)
          }
          for (const { path } of drawnIn(picture, 'tick')) expect(apart(boundsOf([path]), box)).toBe(true)
        })
      }
    }),
    { numRuns: 60 },
  )
})

test('a name is as big as its piece lets it be', () => {
  const sizeOn = (name: string, width: number, height: number) => {
    const [sheet] = laid([pinned(lid(name, width, height, 'none'), 10 + crossSpace, 10)], upright)
    const [words] = sheet ? namesIn(drawnSheet(sheet)) : []
    return words ?? expect.fail('no name')
  }
  expect(sizeOn('lid', 400, 200)).toMatchObject({ size: 8, turn: 0 })
  // 20 letters of 0.57: 11.4 times the size, and 3 mm of room. Half of 102 mm beside the hinge takes 4 mm
  // (45.6 + 3 = 48.6) and not 5 (57 + 3 = 60).
  expect(sizeOn('nnnnnnnnnnnnnnnnnnnn', 100, 60)).toMatchObject({ size: 4, turn: 0 })
  // Half of 62 mm does not take 3 mm (34.2 + 3), but the height of 102 mm takes 8 turned (91.2 + 3 = 94.2).
  const tall = sizeOn('nnnnnnnnnnnnnnnnnnnn', 60, 100)
  expect(tall.size).toBe(8)
  expect(tall.turn).toBeCloseTo(Math.PI / 2, 12)
  // 62 mm each way and 40 letters: 22.8 times the size is 68.4 mm at 3 mm. It stands in the middle all the same.
  const long = sizeOn('n'.repeat(40), 60, 60)
  expect(long).toMatchObject({ size: 3, turn: 0 })
  expect(long.at.x).toBeCloseTo(10 + crossSpace + 31, 9)
})

test('a name is turned rather than laid across the hinge', () => {
  // 26 letters: 14.82 times the size. 62 mm each way take 3 mm (44.5 + 3), beside the hinge 31 mm do not;
  // turned they take 3 mm too, and there the hinge is out of the way.
  const [sheet] = laid([single(lid('n'.repeat(26), 60, 60, 'none'))], upright)
  const [words] = sheet ? namesIn(drawnSheet(sheet)) : []
  expect(words?.size).toBe(3)
  expect(words?.turn).toBeCloseTo(Math.PI / 2, 12)
})

test('copies of a piece carry their names at the same place', () => {
  const panel = lid('lid', 200, 100)
  const pieces = [1, 2, 3, 4, 5, 6].map((copy): Piece => ({ panel, copy, copies: 6 }))
  const [sheet] = laid(pieces, upright)
  if (!sheet) return expect.fail('nothing was laid')
  const places = namesIn(drawnSheet(sheet)).map(({ at, text }, i) => {
    const { low } = boundsOf([transform(panel.outline, sheet.pieces[i]?.place ?? expect.fail('no place'))])
    return { x: at.x - low.x, y: at.y - low.y, text }
  })
  expect(places.map(({ text }) => text)).toEqual([1, 2, 3, 4, 5, 6].map((n) => `lid ${n} of 6`))
  for (const { x, y } of places) {
    expect(x).toBeCloseTo(places[0]?.x ?? 0, 9)
    expect(y).toBeCloseTo(places[0]?.y ?? 0, 9)
  }
})

test('slit lines are those of the slits, whatever objects are called; crosses are drawn once, as cuts', () => {
  const names = ['slit lamp', 'lining-up cross 1', 'lining-up cross 2: slit 1']
  const pieces = names.map((name, i) => single(lid(name, 200, 100, i === 0 ? 'none' : 'strip')))
  const [sheet] = laid(pieces)
  if (!sheet) return expect.fail('nothing was laid')
  const picture = drawnSheet(sheet)
  // none of the first, two of each other one
  const wanted = sheet.pieces.flatMap(({ panel, place }) =>
    panel.slits.map(({ from, to }) => [mapPoint(place, from), mapPoint(place, to)]),
  )
  expect(wanted).toHaveLength(4)
  const found = drawnIn(picture, 'slit').map(({ path }) => [path.start, endOf(path)])
  expect(found).toHaveLength(4)
  found.flat().forEach((p, i) => {
    expect(p.x).toBeCloseTo(wanted.flat()[i]?.x ?? Number.NaN, 9)
    expect(p.y).toBeCloseTo(wanted.flat()[i]?.y ?? Number.NaN, 9)
  })
  expect(drawnIn(picture, 'through')).toHaveLength(4)
})

test('an arrow along the film and its words stand clear of pieces, slits and crosses, on the sheet', () => {
  const some = fc.array(fc.oneof(...Object.values(squareBands)), { minLength: 1, maxLength: 4 })
  let shown = 0
  fc.assert(
    fc.property(some, mm(200, 900), mm(0, 10), (measured, width, margin) => {
      const pieces = measured.map(({ template, values, facts }, i) =>
        single(panelOf(template.develop(values, facts, say), { ...plainOptions, name: `tin ${i}` })),
      )
      for (const sheet of laid(pieces, { ...stock, width, margin })) {
        const picture = drawnSheet(sheet)
        const words = wordsIn(picture).find(({ text }) => text === feed)
        const arrow = drawnIn(picture, 'dimension')
        expect(arrow).toHaveLength(words ? 3 : 0)
        if (!words) continue
        shown += 1
        const [shaft] = arrow
        expect(shaft && Math.abs(endOf(shaft.path).y - shaft.path.start.y)).toBeLessThan(1e-9)
        for (const box of [boxOfWords(words), boundsOf(arrow.map(({ path }) => path))]) {
          expect(Math.min(box.low.x, box.low.y)).toBeGreaterThan(0)
          expect(box.high.x).toBeLessThan(sheet.length)
          expect(box.high.y).toBeLessThan(sheet.width)
          for (const piece of sheet.pieces) {
            const film = transform(piece.panel.outline, piece.place)
            const area = intersection(ringsOf([film], 0.05), ringsOf([rectangle(box.low, box.high)]))
            expect(ringsArea(area)).toBeLessThan(1e-6)
            expect(pointInside(film, box.low)).toBe(false)
          }
          for (const style of ['slit', 'through', 'tick']) {
            for (const { path } of drawnIn(picture, style)) expect(apart(boundsOf([path]), box)).toBe(true)
          }
        }
      }
    }),
    { numRuns: 60 },
  )
  expect(shown).toBeGreaterThan(20)
})

test('where pieces leave no room there is no arrow', () => {
  const [sheet] = laid([single(lid('lid', 200, 178, 'none'))], { ...stock, width: 180, margin: 0 })
  if (!sheet) return expect.fail('nothing was laid')
  expect(wordsIn(drawnSheet(sheet)).map(({ text }) => text)).toEqual(['lid'])
})

test('margin, bad spots, what is kept and the order of cutting are drawn where they are asked for', () => {
  const spot = [point(300, 400), point(340, 400), point(340, 430)]
  const [sheet] = laid([single(lid('lid', 200, 100))], { ...upright, kind: 'sheet', length: 700, badSpots: [spot] })
  if (!sheet) return expect.fail('nothing was laid')
  const film = filmStrokes(sheet, { cut: 'kiss', hasPen: true })
  const box = { low: point(400, 20), high: point(690, 600) }
  const outline = [point(400, 20), point(690, 20), point(690, 600), point(400, 600)]
  const picture = sheetPicture(sheet, film, linerStrokes(sheet), { keep: [{ outline, box, badSpots: [] }] })
  expect(boundsOf(drawnIn(picture, 'margin').map(({ path }) => path))).toEqual({
    low: point(10, 10),
    high: point(690, 620),
  })
  expect(boundsOf(drawnIn(picture, 'bad').map(({ path }) => path))).toEqual({
    low: point(300, 400),
    high: point(340, 430),
  })
  expect(boundsOf(drawnIn(picture, 'kept').map(({ path }) => path))).toEqual(box)
  const said = wordsIn(picture).map(({ text }) => text)
  expect(said).toContain('keep 290 x 580')
  const number = wordsIn(picture).find(({ text }) => text === '1st')
  const outlined = film.find(({ name }) => name === 'lid: outline')?.path
  if (!number || !outlined) throw new Error('no order of cutting')
  const { start } = outlined
  expect(Math.hypot(number.at.x - start.x, number.at.y - start.y)).toBeLessThan(20)
  // inside of the edge, so that it hides none of it and keeps apart from that of a neighbour
  const { low, high } = boundsOf([outlined])
  expect(Math.min(number.at.x - low.x, high.x - number.at.x)).toBeGreaterThan(9)
  expect(Math.min(number.at.y - low.y, high.y - number.at.y)).toBeGreaterThan(9)
})

test('the order of cutting is told in words that are no number of a piece', () => {
  const tags = Array.from({ length: 23 }, (_, i): Piece => ({ panel: lid('tag', 60, 40), copy: i + 1, copies: 23 }))
  const [sheet] = laid(tags)
  if (!sheet) throw new Error('no sheet')
  const film = filmStrokes(sheet, { cut: 'kiss', hasPen: false })
  const words = wordsIn(sheetPicture(sheet, film, linerStrokes(sheet), { keep: [] })).filter(({ bold }) => bold)
  const told = words.map(({ text }) => text)
  expect(told.slice(0, 4)).toEqual(['1st', '2nd', '3rd', '4th'])
  expect(told.slice(10)).toEqual([
    '11th',
    '12th',
    '13th',
    '14th',
    '15th',
    '16th',
    '17th',
    '18th',
    '19th',
    '20th',
    '21st',
    '22nd',
    '23rd',
  ])
})

/** The lines of a picture's style, each by its ends and the middle of its box. */
const spotsOf = (paths: readonly Path[]) =>
  paths.map((path) => {
    const { low, high } = boundsOf([path])
    return [path.start, endOf(path), low, high]
  })

/** Fails unless both hold the same lines, in any order, within 1e-6 mm. */
function expectSame(drawn: readonly Path[], wanted: readonly Path[]): void {
  expect(drawn).toHaveLength(wanted.length)
  const own = spotsOf(drawn)
  for (const spots of spotsOf(wanted)) {
    const off = own.map((other) => Math.max(...spots.map((p, i) => distance(p, other[i] as Point))))
    expect(Math.min(...off)).toBeLessThan(1e-6)
  }
}

test.each([0, 90, 180, 270, 37.5])(
  'a piece turned by %s degrees shows hinge, slit, ticks, openings and edge where its numbers put them',
  (degrees) => {
    const opening = { shape: 'rectangular', diameter: undefined, width: 30, height: 20, radius: 4 }
    const values = {
      ...unopened,
      width: 220,
      height: 140,
      radius: { bottomLeft: 25, bottomRight: 0, topRight: 10, topLeft: 0 },
      openings: [
        { ...opening, fromLeft: 20, fromBottom: 60 },
        { ...opening, fromLeft: 205, fromBottom: 20 },
      ],
    }
    for (const hinge of ['upright', 'level', 70] as const) {
      const panel = panelOf(flatPanel.develop(values, thin, say), { ...plainOptions, allowances: { other: 3 }, hinge })
      const [sheet = expect.fail('nothing was laid')] = laid([pinned(panel, 60, 40, degrees)], {
        ...stock,
        turn: 'any',
      })
      const angle = (degrees * Math.PI) / 180
      // By rotation and shift alone: the box of the cut piece stands 60 and 40 mm from the film's lower left corner.
      const turnedBox = boundsOf([transform(panel.outline, turning(angle, point(0, 0)))])
      const shift = point(60 - turnedBox.low.x, 40 - turnedBox.low.y)
      const put = ({ x, y }: Point) =>
        point(x * Math.cos(angle) - y * Math.sin(angle) + shift.x, x * Math.sin(angle) + y * Math.cos(angle) + shift.y)
      const place = turning(angle, shift)
      const picture = drawnSheet(sheet)
      const paths = (style: string) => drawnIn(picture, style).map(({ path }) => path)
      const lineOf = ({ from, to }: { from: Point; to: Point }) => openPath(put(from), lineTo(put(to)))
      expectSame(paths('hinge'), [lineOf(panel.hinge)])
      expectSame(paths('slit'), panel.slits.map(lineOf))
      expectSame(
        paths('outline'),
        [...panel.holes, panel.outline].map((path) => transform(path, place)),
      )
      const ticks = panel.ticks.map(({ path }) => transform(path, place))
      const drawn = new Set(paths('tick'))
      for (const tick of ticks) {
        const own = [...drawn].find(
          (path) => distance(path.start, tick.start) < 1e-6 && distance(endOf(path), endOf(tick)) < 1e-6,
        )
        expect(own).toBeDefined()
      }
      // The liner's own file lies the other way round, left for right along the film.
      const slits = linerStrokes(sheet).filter(({ operation, name }) => operation === 'slit' && name.includes('slit'))
      expectSame(
        slits.map(({ path }) => path),
        panel.slits.map((slit) => {
          const { start, segments } = lineOf(slit)
          const over = (p: Point) => point(sheet.length - p.x, p.y)
          return openPath(over(start), lineTo(over(segments[0]?.to ?? start)))
        }),
      )
    }
  },
)
