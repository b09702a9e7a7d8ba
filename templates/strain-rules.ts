import { arcTo, closedPath, lineTo, type Path, type Segment } from '../src/geometry/path.ts'
import type { Point } from '../src/geometry/point.ts'
import type { Strain } from '../src/panel/strain.ts'
import { onPanel, type Surface } from '../src/panel/surface.ts'

/** Strain below this is rounding, not geometry. */
const rounding = 1e-9

/**
 * Strain wanted at the edges of a strip `width` mm wide that lies with its middle line true, where the product of both
 * curvatures is `curvature` (1/mm^2): a line at the distance x from a straightest one has 1 - K x^2 / 2 of its length
 * (Gauss, geodesic parallels, to the second order). Below 0 it must shrink.
 */
export function stripStrain(curvature: number, width: number): number {
  return (-curvature * width * width) / 8
}

export const stripRule =
  'Strip rule: with the middle line laid true, the edges of a strip of width w want the strain -K w^2/8, K being the ' +
  'product of both curvatures (Gauss, geodesic parallels, second order).'

const coneRule =
  'Cone rule: the panel is the cone through the two girths at its edges; the strain is the girth of the curved side over ' +
  'that of the cone, less 1 (about K w^2/8 in the middle of a band of width w, K being the product of both curvatures).'

export const discRule =
  'Disc rule: the disc has the area of the cap, so at the angle c from its middle it stretches outward by ' +
  '1/cos(c/2) - 1 and shrinks round by 1 - cos(c/2) (Lambert azimuthal equal-area: Snyder, USGS PP 1395, pp. 182-190).'

/** Stretch and shrink with what is only rounding taken out. */
export function strainOf(seen: readonly number[], cells: Strain['cells'], rule: string): Strain {
  const plain = (strain: number) => (Math.abs(strain) < rounding ? 0 : strain)
  return {
    stretch: seen.reduce((most, strain) => Math.max(most, plain(strain)), 0),
    shrink: seen.reduce((least, strain) => Math.min(least, plain(strain)), 0),
    cells: cells.map(({ path, strain }) => ({ path, strain: plain(strain) })),
    rule,
  }
}

/**
 * Strain of a band cut as a cone and laid on a curved side. `misfit` gives the strain of the girth at the share 0..1 of
 * the way up; it is 0 at both ends.
 * @param mid girth of the cone halfway up, mm
 */
export function bandStrain(surface: Surface, mid: number, slant: number, misfit: (share: number) => number): Strain {
  const [columns, rows, looks] = [6, 8, 64]
  const at = (column: number, row: number) =>
    onPanel(surface, (column / columns - 0.5) * mid, (row / rows - 0.5) * slant)
  const turn = (-surface.taper * mid) / columns
  const level = (to: Point, sweep: number): Segment => (sweep === 0 ? lineTo(to) : arcTo(to, sweep))
  const cell = (column: number, row: number): Path =>
    closedPath(at(column, row), [
      level(at(column + 1, row), turn),
      lineTo(at(column + 1, row + 1)),
      level(at(column, row + 1), -turn),
      lineTo(at(column, row)),
    ])
  const cells = Array.from({ length: columns * rows }, (_, i) => {
    const row = Math.floor(i / columns)
    return { path: cell(i % columns, row), strain: misfit((row + 0.5) / rows) }
  })
  const seen = Array.from({ length: looks + 1 }, (_, i) => misfit(i / looks))
  return strainOf(seen, cells, coneRule)
}

/**
 * What the strain means for the film, in words.
 * @param filmStretch how much the film may stretch or shrink and still lie, relative; undefined where nobody knows
 * @param inside what stays within a limit, as a clause
 */
export function strainNotes(
  strain: Pick<Strain, 'stretch' | 'shrink'>,
  filmStretch: number | undefined,
  inside: (limit: number) => string,
): string[] {
  const worst = Math.max(strain.stretch, -strain.shrink)
  if (worst === 0) return ['It unrolls exactly: the film need not stretch.']
  const parts = [
    ...(strain.stretch > 0 ? [`stretch by up to ${percent(strain.stretch)}`] : []),
    ...(strain.shrink < 0 ? [`shrink by up to ${percent(-strain.shrink)}`] : []),
  ]
  const asked = `To lie, the film must ${parts.join(' and ')}.`
  if (filmStretch === undefined) return [`${asked} How much this film takes is not known.`]
  return worst <= filmStretch
    ? [`${asked} It takes ${percent(filmStretch)}, so it lies.`]
    : [`${asked} It takes only ${percent(filmStretch)}, so it will pucker or lift: ${inside(filmStretch)}.`]
}

function percent(share: number): string {
  return `${Number((share * 100).toPrecision(3))} %`
}
