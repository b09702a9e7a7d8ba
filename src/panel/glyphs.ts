/**
 * What the pen draws without lifting: places parted by commas, each `x y` or `x y turn`. Units: a capital is 12 high,
 * y up from the baseline. With a turn the way there is an arc that turns by so many degrees, positive to the left, at
 * most 180 either way; without one it is a straight line.
 */
export type PenStroke = string

/** A letter whose lines span x from 0 to `ink`, with the room it wants `before` and `after`. */
export interface Glyph {
  readonly before: number
  readonly ink: number
  readonly after: number
  readonly strokes: readonly PenStroke[]
}

/** A stroke mark, centred on x = 0; one that sits above the letter rises from y = 0, one below falls from it. */
export interface Mark {
  readonly below: boolean
  /** reach to the left and to the right of its centre */
  readonly reach: number
  readonly strokes: readonly PenStroke[]
}

export const capHeight = 12

// Room beside an upright line, a bow and a slope or an opening, so that the gaps look alike.
const line = 1.9
const bow = 1.5
const open = 0.9

const glyph = (before: number, ink: number, after: number, ...strokes: readonly PenStroke[]): Glyph => ({
  before,
  ink,
  after,
  strokes,
})

/** Full circle, for dots and rings. */
const ring = (x: number, y: number, radius: number): PenStroke =>
  `${x + radius} ${y}, ${x - radius} ${y} 180, ${x + radius} ${y} 180`

/** A circle so small that the pen fills it. */
const dot = (x: number, y: number): PenStroke => ring(x, y, 0.45)

const roundO: PenStroke = '0 5, 10 5 180, 10 7, 0 7 180, 0 5'

const commaTail: PenStroke = '1 1, 0 -2 -30'

/** Letters, digits and signs that are drawn as themselves. */
export const glyphs: ReadonlyMap<string, Glyph> = new Map([
  [' ', glyph(3, 0, 3)],
  ['A', glyph(open, 9, open, '0 0, 4.5 12, 9 0', '1.5 4, 7.5 4')],
  ['B', glyph(line, 7.5, bow, '0 6.4, 4.3 6.4, 4.3 0 -180, 0 0, 0 12, 4.1 12, 4.1 6.4 -180')],
  ['C', glyph(bow, 9.096, open, '9.096 9.868, 0 7 145, 0 5, 9.096 2.132 145')],
  ['D', glyph(line, 9.4, bow, '0 0, 0 12, 3.4 12, 3.4 0 -180, 0 0')],
  ['E', glyph(line, 7, open, '7 12, 0 12, 0 0, 7 0', '0 6.4, 6 6.4')],
  ['F', glyph(line, 7, open, '7 12, 0 12, 0 0', '0 6.4, 5.8 6.4')],
  ['G', glyph(bow, 10, bow, '9.096 9.868, 0 7 145, 0 5, 10 5 180, 10 6, 5.8 6')],
  ['H', glyph(line, 8.4, line, '0 0, 0 12', '8.4 0, 8.4 12', '0 6.4, 8.4 6.4')],
  ['I', glyph(line, 0, line, '0 0, 0 12')],
  ['J', glyph(open, 5.6, line, '5.6 12, 5.6 2.8, 0 2.8 -180')],
  ['K', glyph(line, 7.8, open, '0 0, 0 12', '7.4 12, 0 4.8', '2.7 7.427, 7.8 0')],
  ['L', glyph(line, 6.4, open, '0 12, 0 0, 6.4 0')],
  ['M', glyph(line, 10, line, '0 0, 0 12, 5 3.6, 10 12, 10 0')],
  ['N', glyph(line, 8.6, line, '0 0, 0 12, 8.6 0, 8.6 12')],
  ['O', glyph(bow, 10, bow, roundO)],
  ['P', glyph(line, 7.4, bow, '0 0, 0 12, 4.2 12, 4.2 5.6 -180, 0 5.6')],
  ['Q', glyph(bow, 10, bow, roundO, '6 3.6, 9.8 0')],
  ['R', glyph(line, 7.6, open, '0 0, 0 12, 4.2 12, 4.2 5.6 -180, 0 5.6', '3.6 5.6, 7.6 0')],
  ['S', glyph(bow, 7.35, bow, '7.2 9.9, 4.3 12 71.8, 3.1 12, 3.1 6.3 180, 4.2 6.3, 4.2 0 -180, 2.9 0, 0 2.2 -74.4')],
  ['T', glyph(open, 9, open, '0 12, 9 12', '4.5 12, 4.5 0')],
  ['U', glyph(line, 8.6, line, '0 12, 0 4.3, 8.6 4.3 180, 8.6 12')],
  ['V', glyph(open, 9, open, '0 12, 4.5 0, 9 12')],
  ['W', glyph(open, 13, open, '0 12, 3.25 0, 6.5 12, 9.75 0, 13 12')],
  ['X', glyph(open, 8.6, open, '0 0, 8.6 12', '0 12, 8.6 0')],
  ['Y', glyph(open, 8.8, open, '0 12, 4.4 6, 8.8 12', '4.4 6, 4.4 0')],
  ['Z', glyph(open, 8, open, '0 12, 8 12, 0 0, 8 0')],
  ['Ø', glyph(bow, 10, bow, roundO, '0.6 0, 9.4 12')],
  ['0', glyph(bow, 7, bow, '0 3.5, 7 3.5 180, 7 8.5, 0 8.5 180, 0 3.5')],
  ['1', glyph(open, 3, line, '0 9, 3 12, 3 0')],
  ['2', glyph(bow, 7, open, '0.119 9.406, 7 8.5 -165, 5.985 6.036 -44.76, 0 0, 7 0')],
  [
    '3',
    glyph(
      bow,
      7,
      bow,
      '0.3 10.5, 3.2 12 -54.7, 3.9 12, 3.9 6.4 -180, 2.6 6.4',
      '3.8 6.4, 3.8 0 -180, 3.1 0, 0 1.7 -57.5',
    ),
  ],
  ['4', glyph(open, 7.4, open, '5.2 0, 5.2 12, 0 3.4, 7.4 3.4')],
  ['5', glyph(bow, 7, bow, '6.4 12, 0.9 12, 0.5 6.7, 3.2 7.6 -36.9, 3.2 0 -180, 0 1.6 -53.1')],
  ['6', glyph(bow, 7, bow, '6.4 10.5, 3.7 12 58.1, 0 8.3 90, 0 3.5, 7 3.5 180, 0 3.5 180')],
  ['7', glyph(open, 7, open, '0 12, 7 12, 2 0')],
  ['8', glyph(bow, 7, bow, '3.2 6.4, 3.2 0 180, 3.8 0, 3.8 6.4 180, 3.1 6.4, 3.1 12 -180, 3.9 12, 3.9 6.4 -180')],
  ['9', glyph(bow, 7, bow, '0.6 1.5, 3.3 0 58.1, 7 3.7 90, 7 8.5, 0 8.5 180, 7 8.5 180')],
  ['.', glyph(line, 0.9, line, dot(0.45, 0.45))],
  [',', glyph(bow, 1, line, commaTail)],
  [':', glyph(line, 0.9, line, dot(0.45, 0.45), dot(0.45, 7))],
  [';', glyph(bow, 1, line, dot(0.55, 7), commaTail)],
  ['-', glyph(bow, 4, bow, '0 5.2, 4 5.2')],
  ['–', glyph(bow, 7, bow, '0 5.2, 7 5.2')],
  ['+', glyph(bow, 7, bow, '0 5.2, 7 5.2', '3.5 1.7, 3.5 8.7')],
  ['/', glyph(open, 6, open, '0 0, 6 12')],
  ['(', glyph(bow, 2.8, open, '2.8 12, 2.8 0 100')],
  [')', glyph(open, 2.8, bow, '0 12, 0 0 -100')],
  ["'", glyph(line, 0, line, '0 12, 0 8.8')],
  ['"', glyph(line, 2.2, line, '0 12, 0 8.8', '2.2 12, 2.2 8.8')],
  [
    '&',
    glyph(
      bow,
      8.8,
      open,
      '8.8 0, 1.881 8.034, 3.7 12 -130.735, 4.801 7.468 -152.687, 1.678 5.854, 3.1 0 152.687, 5.565 1.22 52.671, 8.6 5.2',
    ),
  ],
  ['#', glyph(open, 9, open, '1.6 0, 3.6 12', '5.4 0, 7.4 12', '0.4 8, 9 8', '0 4, 8.6 4')],
  ['%', glyph(bow, 10.5, bow, '1.5 0, 9 12', ring(2.1, 9.9, 2.1), ring(8.4, 2.1, 2.1))],
  ['=', glyph(bow, 7, bow, '0 3.7, 7 3.7', '0 6.7, 7 6.7')],
  ['<', glyph(bow, 7, bow, '7 9.2, 0 5.2, 7 1.2')],
  ['>', glyph(bow, 7, bow, '0 9.2, 7 5.2, 0 1.2')],
  ['!', glyph(line, 0.9, line, '0.45 12, 0.45 3.4', dot(0.45, 0.45))],
  ['?', glyph(bow, 6.094, open, '0 9.702, 6.094 8.9 -165, 2.994 5.8 -90, 2.994 3.4', dot(2.994, 0.45))],
  ['*', glyph(open, 5.196, open, '2.598 12, 2.598 6', '0 10.5, 5.196 7.5', '0 7.5, 5.196 10.5')],
  ['_', glyph(open, 7, open, '0 0, 7 0')],
  ['×', glyph(bow, 6, bow, '0 2.2, 6 8.2', '0 8.2, 6 2.2')],
  ['·', glyph(line, 0.9, line, dot(0.45, 5.2))],
  ['°', glyph(bow, 3.2, bow, ring(1.6, 10.4, 1.6))],
  ['↑', glyph(bow, 5, bow, '2.5 0, 2.5 12', '0 8.5, 2.5 12, 5 8.5')],
  ['→', glyph(bow, 11, bow, '0 5.2, 11 5.2', '7.5 7.7, 11 5.2, 7.5 2.7')],
  ['←', glyph(bow, 11, bow, '11 5.2, 0 5.2', '3.5 7.7, 0 5.2, 3.5 2.7')],
])

/** Stands for every character that has no drawing. */
export const unknownGlyph = glyph(line, 7, line, '0 0, 7 0, 7 12, 0 12, 0 0')

const above = (reach: number, ...strokes: readonly PenStroke[]): Mark => ({ below: false, reach, strokes })
const below = (reach: number, ...strokes: readonly PenStroke[]): Mark => ({ below: true, reach, strokes })

/** Combining marks of Unicode's canonical decomposition (NFD). */
export const marks: ReadonlyMap<string, Mark> = new Map([
  ['\u0300', above(1.4, '-1.4 2.4, 0.8 0')], // grave
  ['\u0301', above(1.4, '-0.8 0, 1.4 2.4')], // acute
  ['\u0302', above(2, '-2 0, 0 2.2, 2 0')], // circumflex
  ['\u0303', above(2.4, '-2.4 0.5, 0 1 -100, 2.4 1.5 100')], // tilde
  ['\u0308', above(2.05, dot(-1.6, 0.9), dot(1.6, 0.9))], // diaeresis
  ['\u030a', above(1.3, ring(0, 1.2, 1.3))], // ring
  ['\u030c', above(2, '-2 2.2, 0 0, 2 2.2')], // caron
  ['\u0327', below(1.6, '0 0, -0.3 -1.1, -0.3 -3.3 -180, -1.6 -3.2')], // cedilla
])
