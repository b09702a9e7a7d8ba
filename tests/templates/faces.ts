import { expect } from 'vitest'
import { pathLength } from '../../src/geometry/length.ts'
import { type Path, pieces } from '../../src/geometry/path.ts'
import { cross, type Point } from '../../src/geometry/point.ts'
import { segmentPoint } from '../../src/geometry/segment.ts'
import type { Development } from '../../src/panel/development.ts'

/** The one panel of a flat face. */
export const faceOf = (developments: readonly Development[]): Development => {
  const [face, ...others] = developments
  return face && others.length === 0 ? face : expect.fail(`${developments.length} panels`)
}

export const edgeOf = ({ edges }: Development, name: string): Path =>
  edges.find((edge) => edge.name === name)?.path ?? expect.fail(`no ${name} edge`)

export const roundLength = ({ edges }: Development): number =>
  edges.reduce((sum, { path }) => sum + pathLength(path), 0)

/** Points round the bare outline, `count` on every segment, each segment by equal steps of its own parameter. */
export const pointsRound = ({ edges }: Development, count: number): Point[] =>
  edges.flatMap(({ path }) =>
    [...pieces(path)].flatMap(({ from, segment }) =>
      Array.from({ length: count }, (_, i) => segmentPoint(from, segment, i / count)),
    ),
  )

/** Area of a polygon by the surveyor's formula, mm^2. */
export const polygonArea = (points: readonly Point[]): number =>
  points.reduce((sum, p, i) => sum + cross(p, points[(i + 1) % points.length] ?? p) / 2, 0)

/** Each edge begins where the one before it ends, to the last bit. */
export function expectClosed({ edges }: Development): void {
  edges.forEach(({ path }, i) => {
    const before = edges.at(i - 1)?.path
    expect(path.start).toEqual(before?.segments.at(-1)?.to)
  })
}
