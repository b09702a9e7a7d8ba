import { boundsOf } from '../geometry/bounds.ts'
import { type Path, polyline } from '../geometry/path.ts'
import { point } from '../geometry/point.ts'
import { transform } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import { insideParts } from './inside-parts.ts'
import { groupName } from './piece-names.ts'
import { type Sheet, usableBox } from './sheet.ts'
import { edgeOf } from './stock.ts'

/** The least width between pieces for a line across the film, mm. */
const leastGap = 2

/**
 * Lines across the film between groups, where nothing of one lies beside anything of another: halfway between them, from
 * margin to margin, so that the film still hangs together while it is cut.
 */
export function cutOffLines(sheet: Sheet): Path[] {
  const own = sheet.pieces
    .map((piece) => ({ group: groupName(piece), box: boundsOf([transform(cutLine(piece.panel), piece.place)]) }))
    .sort((a, b) => a.box.low.x - b.box.low.x)
  return own.flatMap(({ box }, i): Path[] => {
    const before = own.slice(0, i)
    const reached = Math.max(-Infinity, ...before.map((other) => other.box.high.x))
    const after = new Set(own.slice(i).map(({ group }) => group))
    if (box.low.x - reached < leastGap || before.length === 0 || before.some(({ group }) => after.has(group))) return []
    const x = (reached + box.low.x) / 2
    const { low, high } = usableBox(sheet)
    return insideParts(point(x, low.y), point(x, high.y), edgeOf(sheet.stock, sheet.length)).map((ends) =>
      polyline(ends),
    )
  })
}

/** Why a sheet has no cut-off line, in words that end a sentence; undefined where it has one. */
export function whyNoCutOff(sheet: Sheet): string | undefined {
  if (cutOffLines(sheet).length > 0) return undefined
  const [first, ...others] = new Set(sheet.pieces.map(groupName))
  if (others.length === 0) return `all on it belongs to ${first ?? 'nothing'}`
  return `no place across it is clear of both: ${[first, ...others].join(', ')} lie beside each other or less than ${leastGap} mm apart`
}
