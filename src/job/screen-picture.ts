import { writePathData } from '../file/svg/pathdata.ts'
import type { Path } from '../geometry/path.ts'
import type { Picture } from '../picture/picture.ts'
import type { ScreenPicture, ScreenWords } from './preview-data.ts'

/** Decimals of coordinates on screen, mm. */
export const places = 3

/** Letters that words of a drawing name: `A girth (D: diameter across, S: span round)` names A, D and S. */
function namedLetters(text: string, known: ReadonlySet<string>): string[] {
  // `A straight base line ...` is a sentence, not the letter
  if (/^A .*\.$/.test(text) && !/^A (runs|is|and) /.test(text)) return []
  const found = [...text.matchAll(/(?:^|[(,] ?)([A-Z])(?=[ :]|$)/g)].map(([, letter]) => letter as string)
  return [...new Set(found)].filter((letter) => known.has(letter))
}

/** A picture as a page draws it; `letters` are those that its words may name. */
export function onScreen(picture: Picture, letters: ReadonlySet<string> = new Set()): ScreenPicture {
  const { title, width, height, items } = picture
  const dataOf = (path: Path) => writePathData(path, height, places)
  return {
    title,
    width,
    height,
    areas: items.flatMap((item) => (item.kind === 'filled' ? [{ d: dataOf(item.path), colour: item.colour }] : [])),
    lines: items.flatMap((item) => (item.kind === 'drawn' ? [{ style: item.style, d: dataOf(item.path) }] : [])),
    words: items.flatMap((item): ScreenWords[] => {
      if (item.kind !== 'words') return []
      const { at, text, size, anchor, turn, bold = false } = item
      const named = namedLetters(text, letters)
      return [{ x: at.x, y: height - at.y, text, size, anchor, turn: (-turn * 180) / Math.PI, bold, letters: named }]
    }),
  }
}
