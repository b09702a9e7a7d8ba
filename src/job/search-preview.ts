import { writePathData } from '../file/svg/pathdata.ts'
import { transform } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import { sheetPicture } from '../picture/sheet-picture.ts'
import type { Laid, LayoutRequest } from '../sheet/lay-out.ts'
import { filmOf } from '../sheet/left-over.ts'
import type { Sheet } from '../sheet/sheet.ts'
import { beats, type SeedJudged } from './better-layout.ts'
import { wasteOf } from './material.ts'
import type { ScreenPicture, SearchNews } from './preview-data.ts'
import { onScreen, places } from './screen-picture.ts'
import { search } from './search.ts'

/** More rounds than anybody waits for. */
const endless = 1e6

/**
 * Searches from one seed and tells how it stands after each step; where the layout has become better, with its pictures.
 * As many rounds as the last of these names find the same layout again. Ends where nothing better can be found or tried.
 */
export function searchLane(request: LayoutRequest, seed: number, tell: (news: SearchNews) => void): void {
  let best: SeedJudged | undefined
  const { rounds, laid } = search(
    request,
    seed,
    endless,
    ({ round, unplaced, sheets: count, paid, atLeast }, sheets) => {
      const news: SearchNews = { seed, round, paid, atLeast }
      const own = { seed, isWhole: true, paid, sheets: count }
      const laid = unplaced === 0 && beats(own, best) ? sheets() : undefined
      if (laid && laid.problems.length === 0) {
        best = own
        tell({ ...news, found: foundIn(laid) })
      } else tell(news)
      return false
    },
  )
  tell({ seed, round: rounds, paid: laid.paid, atLeast: laid.atLeast, isOver: true })
}

function foundIn(laid: Laid): NonNullable<SearchNews['found']> {
  return {
    waste: wasteOf(laid.sheets.map(filmOf)),
    sheets: laid.sheets.map((sheet) => ({ number: sheet.number, stock: sheet.stock.name, picture: pictureOf(sheet) })),
  }
}

/** A sheet with the cut lines of its pieces alone. */
function pictureOf(sheet: Sheet): ScreenPicture {
  const plain = onScreen(sheetPicture(sheet, [], []))
  const outlines = sheet.pieces.map(({ panel, place }) => ({
    style: 'outline' as const,
    d: writePathData(transform(cutLine(panel), place), sheet.width, places),
  }))
  return { ...plain, lines: [...plain.lines, ...outlines] }
}
