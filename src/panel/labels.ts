import { endOf, type Path, rectangle } from '../geometry/path.ts'
import { add, between, distance, leftOf, point, scaled, subtract, turned, unit } from '../geometry/point.ts'
import { intersection, offsetRings, type Rings, ringsArea, ringsOf, simplified } from '../geometry/polygon.ts'
import { transform, turning } from '../geometry/transform.ts'
import { lettersWidth } from './lettering.ts'
import type { Label, PanelEdge } from './panel.ts'
import type { Spot } from './ticks.ts'

/** Flattening for finding room, mm. */
const rough = 0.2
const sizes = [6, 5, 4, 3]

/** The largest label of the panel's name that stands clear of edge and openings; none where nothing fits. */
export function nameLabel(
  name: string,
  spots: readonly Pick<Label, 'at' | 'turn'>[],
  outline: Path,
  holes: readonly Path[],
): Label[] {
  const free: Rings = offsetRings(simplified(ringsOf([outline], rough), rough), -2, 'mitre')
  const taken = simplified(ringsOf(holes, rough), rough)
  const text = `${name} ↑ UP`
  for (const height of sizes) {
    const half = lettersWidth(text, height) / 2 + 1
    const box = ringsOf([rectangle(point(-half, -1), point(half, height + 1))])[0] ?? []
    for (const { at, turn } of spots) {
      const placed = [box.map((p) => add(at, turned(p, turn)))]
      const inside = ringsArea(intersection(placed, free)) > ringsArea(placed) - 0.01
      if (!inside || (taken.length > 0 && ringsArea(intersection(placed, taken)) > 0.01)) continue
      return [{ text, at, height, turn }]
    }
  }
  return []
}

/** The word along a straight lap that is wide enough, clear of openings, so that it goes on last. */
export function lapLabels(edges: readonly PanelEdge[], openings: readonly Path[]): Label[] {
  return edges.flatMap(({ outline, allowance, lapped }): Label[] => {
    if (!lapped || allowance < 5 || outline.segments.length > 1) return []
    const [foot, end] = [outline.start, endOf(outline)]
    const height = Math.min(3, allowance / 2)
    const width = lettersWidth('OVERLAP', height) + 6
    if (distance(foot, end) <= width) return []
    // The baseline runs along the edge, letters standing to its left, inside the overlap.
    const way = unit(subtract(end, foot))
    const turn = Math.atan2(way.y, way.x)
    const shift = scaled(leftOf(way), (allowance - height) / 2)
    const room = width / 2 / distance(foot, end)
    const free = [0.5, 0.25, 0.75, room, 1 - room]
      .filter((share) => share >= room && share <= 1 - room)
      .map((share) => add(between(foot, end, share), shift))
      .find((at) => {
        const box = transform(rectangle(point(-width / 2, 0), point(width / 2, height)), turning(turn, at))
        return Math.abs(ringsArea(intersection(ringsOf([box], rough), ringsOf(openings, rough)))) <= 0.01
      })
    return free ? [{ text: 'OVERLAP', at: free, height, turn }] : []
  })
}

/** The code of each seam beside the middle of its edge, so that two edges find each other. */
export function seamLabels(seams: readonly { readonly spot: Spot; readonly code: string }[]): Label[] {
  const height = 3
  return seams.map(({ spot: { at, heading }, code }) => {
    const aside = add(scaled(leftOf(heading), 3), scaled(heading, 1.5 + lettersWidth(code, height) / 2))
    return { text: code, at: add(at, aside), height, turn: Math.atan2(heading.y, heading.x) }
  })
}
