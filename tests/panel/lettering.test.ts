import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { endOf, lineTo, openPath, type Path, pieces } from '../../src/geometry/path.ts'
import { distance, norm, type Point, point, subtract, turned } from '../../src/geometry/point.ts'
import { letter, lettersWidth, unknownLetters } from '../../src/panel/lettering.ts'

const origin = point(0, 0)
const capitals = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ'
const digits = '0123456789'
const signs = '.,:;-+/()\'"&#%=<>!?*_×·°–↑→←'
const everything = [...capitals, ...digits, ...signs, 'Ø', '猫']
const accents = ['\u0300', '\u0301', '\u0302', '\u0303', '\u0308', '\u030a', '\u030c', '\u0327']
const belowBaseline = new Set([',', ';'])

const anyText = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 12 }),
  // lone surrogates too
  fc.array(fc.integer({ min: 0, max: 0xffff }), { maxLength: 12 }).map((units) => String.fromCharCode(...units)),
  fc
    .array(fc.constantFrom(...everything, ...accents, ' ', 'ß', 'æ', 'œ', 'é'), { maxLength: 12 })
    .map((c) => c.join('')),
)

const pointsOf = (paths: readonly Path[]): Point[] =>
  paths.flatMap((path) => [path.start, ...path.segments.map((segment) => segment.to)])

const sweepsOf = (paths: readonly Path[]): number[] =>
  paths.flatMap((path) => path.segments.flatMap((segment) => (segment.kind === 'arc' ? [segment.sweep] : [])))

function expectSame(found: readonly Path[], wanted: readonly Path[], slack = 1e-9): void {
  const wantedPoints = pointsOf(wanted)
  const foundPoints = pointsOf(found)
  expect(foundPoints).toHaveLength(wantedPoints.length)
  for (const [i, p] of foundPoints.entries()) expect(distance(p, wantedPoints[i] ?? origin)).toBeLessThan(slack)
  const wantedSweeps = sweepsOf(wanted)
  expect(sweepsOf(found)).toHaveLength(wantedSweeps.length)
  for (const [i, sweep] of sweepsOf(found).entries()) expect(sweep).toBeCloseTo(wantedSweeps[i] ?? 0, 12)
}

describe('the drawing of a letter', () => {
  it('agrees with a T 12 mm high worked out by hand: a bar 9 mm long over a stem in its middle', () => {
    expectSame(letter('T', 12, point(100, 50)), [
      openPath(point(100.9, 62), lineTo(point(109.9, 62))),
      openPath(point(105.4, 62), lineTo(point(105.4, 50))),
    ])
    expect(lettersWidth('T', 12)).toBeCloseTo(0.9 + 9 + 0.9, 12)
  })

  it('makes the O of two half turns and two straight sides, run counter-clockwise', () => {
    const [path] = letter('O', 12, origin)
    expect(path?.segments.map((segment) => segment.kind)).toEqual(['arc', 'line', 'arc', 'line'])
    expect(sweepsOf(letter('O', 12, origin))).toEqual([Math.PI, Math.PI])
  })

  it.each(everything)('keeps %s inside its box, commas below the baseline apart', (character) => {
    const { low, high } = boundsOf(letter(character, 10, origin))
    const slack = 0.01
    expect(low.x).toBeGreaterThanOrEqual(0)
    expect(high.x).toBeLessThanOrEqual(lettersWidth(character, 10))
    expect(low.y).toBeGreaterThanOrEqual(belowBaseline.has(character) ? -2.5 : -slack)
    expect(high.y).toBeLessThanOrEqual(10 + slack)
  })

  it.each([...capitals, ...digits, 'Ø', '猫'])('lets %s reach from the baseline to the full height', (character) => {
    const { low, high } = boundsOf(letter(character, 10, origin))
    expect(low.y).toBeCloseTo(0, 1)
    expect(high.y).toBeCloseTo(10, 1)
  })

  it.each(everything)('leaves beside %s the room of an upright line, a bow or a slope', (character) => {
    const { low, high } = boundsOf(letter(character, 12, origin))
    const near = (gap: number) => Math.min(...[1.9, 1.5, 0.9].map((room) => Math.abs(gap - room)))
    expect(near(low.x)).toBeLessThan(0.01)
    expect(near(lettersWidth(character, 12) - high.x)).toBeLessThan(0.01)
  })

  it('draws every character in its own way', () => {
    const drawings = everything.map((character) => JSON.stringify(letter(character, 10, origin)))
    expect(new Set(drawings).size).toBe(everything.length)
  })

  it('runs smoothly from curve to straight: no kink between a half degree and eight degrees', () => {
    for (const character of everything) {
      for (const path of letter(character, 10, origin)) {
        const ends = [...pieces(path)].map(({ from, segment }) => {
          const chord = subtract(segment.to, from)
          const half = segment.kind === 'arc' ? segment.sweep / 2 : 0
          return { chord, half }
        })
        for (const [i, next] of ends.entries()) {
          const last = ends[i - 1]
          if (!last || (last.half === 0 && next.half === 0)) continue
          const arriving = turned(last.chord, last.half)
          const leaving = turned(next.chord, -next.half)
          const turn = Math.abs(
            Math.atan2(
              arriving.x * leaving.y - arriving.y * leaving.x,
              arriving.x * leaving.x + arriving.y * leaving.y,
            ),
          )
          const degrees = (turn * 180) / Math.PI
          expect(degrees < 0.5 || degrees > 8, `${character}: ${degrees} degrees`).toBe(true)
        }
      }
    }
  })

  it('draws lower case as capitals', () => {
    expect(letter('outline 3/8', 5, origin)).toEqual(letter('OUTLINE 3/8', 5, origin))
  })

  it('draws nothing for an empty text and for spaces, which still take room', () => {
    expect(letter('', 5, origin)).toEqual([])
    expect(letter('  ', 5, origin)).toEqual([])
    expect(lettersWidth('', 5)).toBe(0)
    expect(lettersWidth('  ', 12)).toBeCloseTo(12, 12)
  })
})

describe('accents, by the canonical decomposition of the Unicode Standard, annex 15', () => {
  it.each(['À', 'É', 'Ê', 'Ñ', 'Ö', 'Å', 'Š', 'Ç', 'ç', 'ï', 'Ň', 'ế'])(
    'draws %s the same composed and decomposed',
    (c) => {
      expect(letter(c.normalize('NFD'), 5, origin)).toEqual(letter(c.normalize('NFC'), 5, origin))
      expect(unknownLetters(c)).toEqual([])
    },
  )

  it('adds the mark to the plain letter above its height, or below the baseline for a cedilla', () => {
    for (const accent of accents) {
      const base = letter('O', 10, origin)
      const marked = letter(`O${accent}`, 10, origin)
      expect(marked.slice(0, base.length)).toEqual(base)
      const box = boundsOf(marked.slice(base.length))
      if (accent === '\u0327') {
        expect(box.high.y).toBeCloseTo(0, 9)
        expect(box.low.y).toBeGreaterThan(-3)
      } else {
        expect(box.low.y).toBeGreaterThan(10.5)
        expect(box.high.y).toBeLessThan(14)
      }
    }
  })

  it('centres the mark on its letter', () => {
    const box = boundsOf(letter('Ô', 10, origin).slice(1))
    expect((box.low.x + box.high.x) / 2).toBeCloseTo(lettersWidth('O', 10) / 2, 9)
  })

  it('widens a slim letter under a broad mark so that neighbours do not touch', () => {
    for (const accent of accents) {
      const text = `I${accent}`
      const { low, high } = boundsOf(letter(text, 12, origin))
      expect(low.x).toBeGreaterThan(0.5)
      expect(high.x).toBeLessThan(lettersWidth(text, 12) - 0.5)
    }
    expect(lettersWidth('Ï', 12)).toBeGreaterThan(lettersWidth('I', 12))
  })

  it('stacks a second mark above the first', () => {
    const once = boundsOf(letter('Ê', 10, origin))
    const twice = boundsOf(letter('Ế', 10, origin))
    expect(twice.high.y).toBeGreaterThan(once.high.y + 2)
  })

  it('writes sharp s, ligatures and the stroked O', () => {
    expect(letter('ß', 5, origin)).toEqual(letter('SS', 5, origin))
    expect(letter('ẞ', 5, origin)).toEqual(letter('SS', 5, origin))
    expect(letter('æ', 5, origin)).toEqual(letter('AE', 5, origin))
    expect(letter('Œ', 5, origin)).toEqual(letter('OE', 5, origin))
    expect(letter('ǽ', 5, origin)).toEqual(letter('AÉ', 5, origin))
    const [oval] = letter('O', 5, origin)
    expect(letter('ø', 5, origin)[0]).toEqual(oval)
    expect(letter('ø', 5, origin)).toHaveLength(2)
  })
})

describe('characters without a drawing', () => {
  it('lists each once, as typed, in the order they come', () => {
    expect(unknownLetters('猫 Tool ★ 猫 ł')).toEqual(['猫', '★', 'ł'])
    expect(unknownLetters(`${capitals}${capitals.toLowerCase()}${digits}${signs} Øßøæœ`)).toEqual([])
  })

  it('draws one empty box for each, also where it decomposes into several characters', () => {
    const box = letter('猫', 12, origin)
    expectSame(box, [
      openPath(
        point(1.9, 0),
        ...[point(8.9, 0), point(8.9, 12), point(1.9, 12), point(1.9, 0)].map((place) => lineTo(place)),
      ),
    ])
    for (const text of ['한', '≠', 'ŉ', 'A\u0331', '\u0301', '\n', '😀', '\ud800']) {
      expect(letter(text, 12, origin)).toEqual(box)
      expect(unknownLetters(text)).toEqual([text])
    }
  })

  it('appear in the drawing exactly where the list names one', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const box = letter('猫', 10, origin)[0]
        const boxes = letter(text, 10, origin).filter((path) => {
          const low = boundsOf([path]).low
          return path.segments.length === 4 && box && distance(endOf(path), path.start) < 1e-9 && low.y === 0
            ? path.segments.every((segment) => segment.kind === 'line')
            : false
        })
        expect(boxes.length > 0).toBe(unknownLetters(text).length > 0)
      }),
    )
  })
})

describe('the layout of a text', () => {
  it('puts each letter where the widths before it end', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...everything, ' '), { maxLength: 8 }), (characters) => {
        let x = 0
        const apart = characters.flatMap((character) => {
          const paths = letter(character, 7, point(x, 0))
          x += lettersWidth(character, 7)
          return paths
        })
        expect(lettersWidth(characters.join(''), 7)).toBeCloseTo(x, 9)
        expectSame(letter(characters.join(''), 7, origin), apart)
      }),
    )
  })

  it('anchors at the start, the middle or the end of the baseline, also when turned', () => {
    const at = point(30, -4)
    const turn = 2.1
    const width = lettersWidth('Lid 2', 6)
    const back = turned(point(width, 0), turn)
    expectSame(
      letter('Lid 2', 6, at, turn, 'end'),
      letter('Lid 2', 6, point(at.x - back.x, at.y - back.y), turn, 'start'),
    )
    expectSame(
      letter('Lid 2', 6, at, turn, 'middle'),
      letter('Lid 2', 6, point(at.x - back.x / 2, at.y - back.y / 2), turn),
    )
  })

  it('turns about its anchor: an L turned a quarter runs up the sheet with its foot to the left', () => {
    expectSame(letter('L', 12, point(20, 10), Math.PI / 2), [
      openPath(point(8, 11.9), lineTo(point(20, 11.9)), lineTo(point(20, 18.3))),
    ])
  })

  it('keeps every distance from the anchor when it turns', () => {
    fc.assert(
      fc.property(anyText, fc.double({ min: -7, max: 7, noNaN: true }), (text, turn) => {
        const straight = pointsOf(letter(text, 5, origin, 0, 'middle'))
        const swung = pointsOf(letter(text, 5, origin, turn, 'middle'))
        for (const [i, p] of swung.entries())
          expect(distance(p, turned(straight[i] ?? origin, turn))).toBeLessThan(1e-9)
      }),
    )
  })

  it('grows in proportion to its height and keeps the turn of its arcs', () => {
    fc.assert(
      fc.property(anyText, fc.double({ min: 0.5, max: 200, noNaN: true }), (text, height) => {
        const small = letter(text, 1, origin)
        const large = letter(text, height, origin)
        expect(sweepsOf(large)).toEqual(sweepsOf(small))
        expect(lettersWidth(text, height)).toBeCloseTo(lettersWidth(text, 1) * height, 6)
        const smallPoints = pointsOf(small)
        for (const [i, p] of pointsOf(large).entries()) {
          const q = smallPoints[i] ?? origin
          expect(distance(p, point(q.x * height, q.y * height))).toBeLessThan(1e-9 * height * (1 + norm(q)))
        }
      }),
    )
  })

  it('makes open paths of finite lines and arcs of half a turn at most, for any text', () => {
    fc.assert(
      fc.property(anyText, fc.double({ min: -10, max: 10, noNaN: true }), (text, turn) => {
        const paths = letter(text, 3.5, point(12, 34), turn, 'end')
        for (const path of paths) {
          expect(path.closed).toBe(false)
          expect(path.segments.length).toBeGreaterThan(0)
          expect(path.segments.every((segment) => segment.kind !== 'cubic')).toBe(true)
        }
        for (const p of pointsOf(paths)) expect(Number.isFinite(p.x) && Number.isFinite(p.y)).toBe(true)
        for (const sweep of sweepsOf(paths)) expect(Math.abs(sweep)).toBeLessThanOrEqual(Math.PI)
        expect(Number.isFinite(lettersWidth(text, 3.5))).toBe(true)
      }),
    )
  })

  it('refuses a height that is not a length above 0', () => {
    for (const height of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => letter('A', height, origin)).toThrow(RangeError)
      expect(() => lettersWidth('A', height)).toThrow(RangeError)
    }
  })
})
