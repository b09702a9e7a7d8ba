import type { Problem } from '../measure/problem.ts'
import { pieceName } from '../sheet/piece-names.ts'
import { asked } from './as-planned.ts'
import type { Built } from './panels.ts'
import type { Cut } from './plan-job.ts'

/** Pieces of a job whose outline, openings and inner lines do not all stand once among the strokes of its sheets. */
export function pieceProblems(objects: readonly Built[], cuts: readonly Cut[]): Problem[] {
  const found = new Map<string, number>()
  for (const { film } of cuts) {
    for (const { name } of film.strokes) found.set(name, (found.get(name) ?? 0) + 1)
  }
  return objects.flatMap(({ panels }) =>
    panels.flatMap(({ panel, copies }) =>
      Array.from({ length: copies }, (_, i) => pieceName({ panel, copy: i + 1, copies })).flatMap((name) =>
        Object.entries({ outline: 1, opening: panel.holes.length, inside: panel.inner.length }).flatMap(
          ([what, wanted]) => {
            const own = found.get(`${name}: ${what}`) ?? 0
            return own === wanted ? [] : [asked(`${name}: ${what}`, `cut ${own} times`, `${wanted} was asked for`)]
          },
        ),
      ),
    ),
  )
}
