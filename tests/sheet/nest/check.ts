import { areaD, differenceD, EndType, FillRule, inflatePathsD, intersectD, JoinType, type PathsD } from 'clipper2-ts'
import type { NestProblem, NestState, Place, Region, Ring } from '../../../src/sheet/nest/problem.ts'

/** How far pieces may lie in each other or past the bed's edge, mm. */
const micrometre = 0.001
/** Decimal places the clipping library works with. */
const decimals = 6
/** What its rounding to those places may leave of an empty area, mm^2. */
const speck = 1e-6

const laid = (ring: Ring, { x, y, angle }: Place) =>
  ring.map((p) => ({
    x: p.x * Math.cos(angle) - p.y * Math.sin(angle) + x,
    y: p.x * Math.sin(angle) + p.y * Math.cos(angle) + y,
  }))

const pathsOf = ({ outer, holes }: Region, place: Place): PathsD => [
  laid(outer, place),
  ...holes.map((hole) => laid(hole, place).reverse()),
]

const total = (paths: PathsD) => paths.reduce((sum, path) => sum + areaD(path), 0)

const shrunk = (paths: PathsD) => inflatePathsD(paths, -micrometre, JoinType.Miter, EndType.Polygon, 2, decimals)

/**
 * Everything that is wrong with a layout, by the clipping library: overlaps and reaching past the bed by more than a
 * micrometre, turns that are not allowed, pinned pieces moved, groups torn, and sums that are not what they say.
 */
export function faultsOf({ pieces, beds }: NestProblem, state: NestState): string[] {
  const faults: string[] = []
  if (state.places.length !== pieces.length) faults.push(`${state.places.length} places for ${pieces.length} pieces`)
  const here = { bed: 0, x: 0, y: 0, angle: 0 }
  const lying = pieces.map(({ region }, i) => {
    const place = state.places[i]
    if (!place) return undefined
    const outer = laid(region.outer, place)
    const [xs, ys] = [outer.map((p) => p.x), outer.map((p) => p.y)]
    return {
      place,
      paths: shrunk(pathsOf(region, place)),
      reach: Math.max(...xs),
      box: { left: Math.min(...xs), right: Math.max(...xs), low: Math.min(...ys), high: Math.max(...ys) },
    }
  })
  const groups = new Map<string, number>()
  for (const [i, piece] of pieces.entries()) {
    const own = lying[i]
    if (piece.pinned && JSON.stringify(own?.place) !== JSON.stringify(piece.pinned)) faults.push(`pinned ${i} moved`)
    if (!own) continue
    const bed = beds[own.place.bed]
    if (!bed) {
      faults.push(`${i} lies on no bed`)
      continue
    }
    if (piece.group !== undefined) {
      if ((groups.get(piece.group) ?? own.place.bed) !== own.place.bed) faults.push(`group ${piece.group} torn`)
      groups.set(piece.group, own.place.bed)
    }
    if (piece.pinned) continue
    if (piece.turns !== 'any' && !piece.turns.includes(own.place.angle))
      faults.push(`${i} turned by ${own.place.angle}`)
    const outside = total(differenceD(own.paths, pathsOf(bed.region, here), FillRule.NonZero, decimals))
    if (outside > speck) faults.push(`${i} reaches past bed ${own.place.bed} by ${outside} mm^2`)
  }
  for (const [i, a] of lying.entries()) {
    for (const [j, b] of lying.entries()) {
      if (!a || !b || j <= i || a.place.bed !== b.place.bed || (pieces[i]?.pinned && pieces[j]?.pinned)) continue
      // boxes that do not meet hold nothing that does
      const isAside =
        a.box.left > b.box.right || b.box.left > a.box.right || a.box.low > b.box.high || b.box.low > a.box.high
      if (isAside) continue
      const common = total(intersectD(a.paths, b.paths, FillRule.NonZero, decimals))
      if (common > speck) faults.push(`${i} and ${j} overlap by ${common} mm^2`)
    }
  }
  let paid = 0
  for (const [b, bed] of beds.entries()) {
    const reach = Math.max(0, ...lying.flatMap((own) => (own?.place.bed === b ? [own.reach] : [])))
    if (Math.abs(reach - (state.used[b] ?? Number.NaN)) > 1e-9)
      faults.push(`bed ${b} used to ${state.used[b]}, not ${reach}`)
    const ys = bed.region.outer.map((p) => p.y)
    if (bed.paid === 'length') paid += reach * (Math.max(...ys) - Math.min(...ys))
    if (bed.paid === 'whole' && reach > 0) paid += areaD([...bed.region.outer])
  }
  if (Math.abs(paid - state.paid) > 1e-6) faults.push(`paid ${state.paid}, not ${paid}`)
  if (state.atLeast > state.paid && state.places.every((place) => place)) faults.push('paid less than the least')
  return faults
}
