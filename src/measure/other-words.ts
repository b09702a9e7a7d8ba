import { nearestWord } from './nearest.ts'

/**
 * Words that people use for what a field is called here, by the words that the field may have in its name. A name of
 * several words, such as `lowerCircumference`, is taken word by word.
 */
const meanings: Readonly<Record<string, readonly string[]>> = {
  around: ['girth'],
  badge: ['openings'],
  base: ['bottom'],
  breadth: ['width'],
  circ: ['girth'],
  circumference: ['girth'],
  colour: ['film'],
  color: ['film'],
  corner: ['radius'],
  count: ['copies'],
  cutout: ['openings'],
  cutouts: ['openings'],
  cutter: ['machine'],
  depth: ['height', 'length', 'width'],
  dia: ['diameter'],
  down: ['bottom'],
  handle: ['gap', 'openings'],
  high: ['height'],
  hole: ['openings'],
  holes: ['openings'],
  id: ['name'],
  inset: ['allowance'],
  items: ['objects'],
  label: ['name'],
  latch: ['openings'],
  long: ['length'],
  lower: ['bottom'],
  margin: ['allowance', 'gap'],
  material: ['film'],
  number: ['copies'],
  offcuts: ['stock'],
  opening: ['openings'],
  overhang: ['allowance'],
  overlapping: ['overlap'],
  parts: ['objects'],
  perimeter: ['girth'],
  pieces: ['copies', 'objects', 'gores'],
  plotter: ['machine'],
  quantity: ['copies'],
  qty: ['copies'],
  roll: ['stock'],
  round: ['girth'],
  rounding: ['radius'],
  seam: ['overlap', 'gap'],
  sheet: ['stock'],
  side: ['slant', 'height'],
  slope: ['slant'],
  spout: ['openings'],
  tall: ['height'],
  title: ['name'],
  up: ['top'],
  upper: ['top'],
  wide: ['width'],
  wrap: ['girth', 'span'],
}

/** The words of a field's name, in small letters: `bottomGirth`, `bottom_girth` and `Bottom girth` are bottom, girth. */
const wordsOf = (name: string): string[] =>
  name
    .replace(/(?<=[a-z])(?=[A-Z])/g, ' ')
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== '')

/**
 * The known fields that may be meant by a name that is none of them: of other words that mean the same, else of nearly
 * the same letters. A word that the known ones only have as a part, as `girth` in `bottomGirth`, is meant for each.
 */
export function meantFields(name: string, known: readonly string[]): readonly string[] {
  const words = wordsOf(name).map((word) => [word, ...(meanings[word] ?? meanings[nearMeaning(word)] ?? [])])
  const own = known.map((field) => ({ field, words: wordsOf(field) }))
  const means = (word: string) => words.findIndex((ways) => ways.includes(word))
  const whole = own.filter(
    (each) =>
      each.words.length === words.length &&
      new Set(each.words.map(means)).size === words.length &&
      each.words.every((word) => means(word) >= 0),
  )
  if (whole.length > 0) return whole.map(({ field }) => field)
  const near = nearestWord(name, known)
  const [first] = words
  if (near !== undefined || words.length !== 1 || !first || first.length === 1) return near === undefined ? [] : [near]
  return own.filter((each) => each.words.some((word) => first.slice(1).includes(word))).map(({ field }) => field)
}

const nearMeaning = (word: string): string =>
  word.length < shortest
    ? ''
    : (nearestWord(
        word,
        Object.keys(meanings).filter((each) => each.length >= shortest),
      ) ?? '')

/** Words of fewer letters are near to too many others. */
const shortest = 7
