import { type paperSizes, tilePlan } from '../file/pdf/tiles.ts'
import type { Picture } from '../picture/picture.ts'

/** A job that says nothing else gets no paper template of more pages than this (common practice, no source). */
export const usualPages = 300
/** More pages than this are never written: each takes memory until the file is done. */
export const mostPages = 1000

/**
 * Why the paper template is left out, in a sentence; nothing where it has no more pages than are wanted.
 * @param wanted the most pages
 */
export function leftOutPaper(
  pictures: readonly Picture[],
  paper: (typeof paperSizes)[keyof typeof paperSizes],
  wanted: number,
): string | undefined {
  const pages = pictures.reduce((sum, { width, height }) => sum + tilePlan(width, height, paper).tiles.length, 0)
  if (pages <= wanted) return undefined
  const cure =
    pages <= mostPages
      ? `Where it is wanted, set paperPages to ${pages}, or choose bigger paper.`
      : `No more than ${mostPages} are written whatever the job says: choose bigger paper, or make fewer panels at a time.`
  return `paper.pdf is left out: the paper template takes ${pages} pages of ${paper.name}, and the most is ${wanted}. Everything else is there without it. ${cure}`
}
