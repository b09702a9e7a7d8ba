import { boundsOf } from '../geometry/bounds.ts'
import { lineTo, openPath, polyline } from '../geometry/path.ts'
import { add, between, distance, leftOf, type Point, point, scaled, subtract, unit } from '../geometry/point.ts'
import { following, scaling, transform } from '../geometry/transform.ts'
import { cutLine } from '../panel/cut-line.ts'
import type { Offcut } from '../sheet/left-over.ts'
import type { Sheet } from '../sheet/sheet.ts'
import { edgeOf } from '../sheet/stock.ts'
import { fitted } from './fitted.ts'
import type { Drawn, Filled, Picture, Words } from './picture.ts'
import { stockItems } from './sheet-picture.ts'
import { fills } from './styles.ts'

/** Size of words and numbers, mm on paper. */
const size = 3.2

/** Two corners of a scrap, far apart along its longest edge, from which places on it are measured. */
export function baseOf({ stock, length }: Pick<Sheet, 'stock' | 'length'>): readonly [Point, Point] | undefined {
  if (!stock.outline) return undefined
  const edge = edgeOf(stock, length)
  const sides = edge.map((b, i) => [edge.at(i - 1) as Point, b] as const)
  const long = ([from, to]: readonly [Point, Point]) => distance(from, to)
  return sides.reduce((longest, side) => (long(side) > long(longest) + 1e-9 ? side : longest))
}

/**
 * A sheet as a person marks it out, at `scale`: its edge, margin and bad spots, each piece by its number with the ends
 * of its hinge, the corners A and B that a scrap is measured from, and what is kept.
 */
export function placingPicture(sheet: Sheet, keep: readonly Offcut[], scale: number): Picture {
  const shrunk = scaling(scale, scale)
  const onPaper = (item: Drawn | Filled): Drawn | Filled => ({ ...item, path: transform(item.path, shrunk) })
  const words = (at: Point, text: string, bold = false): Words => ({
    kind: 'words',
    at: point(at.x, at.y - 0.36 * size),
    text,
    size,
    anchor: 'middle',
    turn: 0,
    bold,
  })
  const kept = keep.flatMap(({ outline, box }): (Drawn | Filled | Words)[] => {
    const path = transform(polyline(outline, true), shrunk)
    const middle = scaled(between(box.low, box.high, 0.5), scale)
    return [{ kind: 'filled', path, colour: fills.kept }, { kind: 'drawn', path, style: 'kept' }, words(middle, 'keep')]
  })
  const pieces = sheet.pieces.flatMap(({ panel, place }, i): (Drawn | Words)[] => {
    const lie = following(place, shrunk)
    const { from, to } = panel.hinge
    const outline = transform(cutLine(panel), lie)
    const hinge = transform(openPath(from, lineTo(to)), lie)
    const foot = hinge.start
    const top = hinge.segments[0]?.to ?? foot
    const aside = scaled(leftOf(unit(subtract(top, foot))), 0.9 * size)
    return [
      { kind: 'drawn', path: outline, style: 'outline' },
      ...panel.holes.map((hole): Drawn => ({ kind: 'drawn', path: transform(hole, lie), style: 'hole' })),
      { kind: 'drawn', path: hinge, style: 'hinge' },
      words(add(between(foot, top, 0.5), aside), `${i + 1}`, true),
    ]
  })
  const base = baseOf(sheet)
  const middle = scaled(
    between(boundsOf([polyline(edgeOf(sheet.stock, sheet.length))]).low, point(sheet.length, sheet.width), 0.5),
    scale,
  )
  const corners = (base ?? []).map((corner, i) => {
    const at = scaled(corner, scale)
    return words(add(at, scaled(unit(subtract(at, middle)), 1.2 * size)), 'AB'[i] ?? '', true)
  })
  const items = [...kept, ...stockItems(sheet).map(onPaper), ...pieces, ...corners]
  return fitted({ title: `Sheet ${sheet.number}`, width: 0, height: 0, items }, 1)
}
