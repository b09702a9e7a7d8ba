import type { Problem } from '../measure/problem.ts'
import type { Piece, Pin } from '../sheet/sheet.ts'
import type { Built } from './panels.ts'

/** More pieces than this are not laid out at once: 10,000 of five sizes took 113 s and 860 MB (measured). */
const mostPieces = 10_000

/** A job of too many pieces, told before any of them is laid. */
export function tooManyPieces(objects: readonly Built[]): Problem | undefined {
  const counts = objects.map(({ object, panels }) => ({
    name: object.name,
    pieces: panels.reduce((sum, { copies }) => sum + copies, 0),
  }))
  const all = counts.reduce((sum, { pieces }) => sum + pieces, 0)
  if (all <= mostPieces) return undefined
  const most = counts.reduce((a, b) => (b.pieces > a.pieces ? b : a))
  return {
    code: 'too_many_pieces',
    field: most.name,
    value: `${most.pieces} of ${all} pieces in all`,
    limit: `the most that are laid out at once is ${mostPieces}`,
    cure: 'Give fewer copies, or split the job.',
  }
}

/**
 * Every piece to cut, with what its object says of how it is laid; or pins that belong to no piece.
 * @param first name of the stock that a pin means which names none
 */
export function jobPieces(
  objects: readonly Built[],
  first: string | undefined,
): {
  readonly pieces: readonly Piece[]
  readonly problems: readonly Problem[]
} {
  const problems: Problem[] = []
  const pieces = objects.flatMap(({ object, panels }) => {
    const { turn, group, pinned = [] } = object
    const known = panels.map(({ panel }) => panel.name)
    const pins = new Map<string, Pin>()
    pinned.forEach(({ copy, panel = known[0] ?? '', stock = first, sheet, x, y, angle }, i) => {
      const own = panels.find((each) => each.panel.name === panel || each.panel.name === `${object.name} ${panel}`)
      if (!own || copy > own.copies) {
        problems.push({
          code: 'pinned_unknown',
          field: `${object.name}: pinned[${i}]`,
          value: own ? `copy ${copy} of ${own.panel.name}` : `"${panel}"`,
          limit: own ? `there are ${own.copies} of it` : `its panels are ${known.join(', ')}`,
          cure: own ? 'Count copies from 1.' : 'Name one of them.',
        })
        return
      }
      pins.set(`${own.panel.name} ${copy}`, { ...(stock === undefined ? {} : { stock }), sheet, x, y, angle })
    })
    return panels.flatMap(({ panel, copies }) =>
      Array.from({ length: copies }, (_, i): Piece => {
        const pin = pins.get(`${panel.name} ${i + 1}`)
        return {
          panel,
          copy: i + 1,
          copies,
          ...(turn === undefined ? {} : { turn }),
          ...(group === undefined ? {} : { group }),
          ...(pin === undefined ? {} : { pin }),
        }
      }),
    )
  })
  return { pieces, problems }
}
