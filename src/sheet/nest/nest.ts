import type { Point } from '../../geometry/point.ts'
import { turned } from '../../geometry/point.ts'
import type { Nest, NestPiece, NestProblem, NestState, Place, Ring } from './problem.ts'

interface Rect {
  readonly x0: number
  readonly y0: number
  readonly x1: number
  readonly y1: number
}

const boxOf = (ring: Ring): Rect => ({
  x0: Math.min(...ring.map((p) => p.x)),
  y0: Math.min(...ring.map((p) => p.y)),
  x1: Math.max(...ring.map((p) => p.x)),
  y1: Math.max(...ring.map((p) => p.y)),
})

const slack = 1e-6

const meet = (a: Rect, b: Rect) =>
  a.x0 < b.x1 - slack && b.x0 < a.x1 - slack && a.y0 < b.y1 - slack && b.y0 < a.y1 - slack

function isIn(ring: Ring, p: Point): boolean {
  let inside = false
  ring.forEach((b, i) => {
    const a = ring.at(i - 1) as Point
    if (a.y > p.y !== b.y > p.y && p.x < a.x + ((p.y - a.y) / (b.y - a.y)) * (b.x - a.x)) inside = !inside
  })
  return inside
}

/** Does a part of the edge run through the inside of the box? */
function crosses(a: Point, b: Point, r: Rect): boolean {
  let [t0, t1] = [0, 1]
  for (const [p, q, low, high] of [
    [a.x, b.x, r.x0 + slack, r.x1 - slack],
    [a.y, b.y, r.y0 + slack, r.y1 - slack],
  ] as const) {
    if (p === q) {
      if (p <= low || p >= high) return false
      continue
    }
    const [u, v] = [(low - p) / (q - p), (high - p) / (q - p)]
    t0 = Math.max(t0, Math.min(u, v))
    t1 = Math.min(t1, Math.max(u, v))
  }
  return t0 < t1
}

/** Boxes of the pieces, bottom left first. */
export const nest: Nest = function* (problem: NestProblem): Generator<NestState, NestState> {
  const { pieces, beds } = problem
  const places: (Place | undefined)[] = pieces.map(() => undefined)
  const taken: Rect[][] = beds.map(() => [])
  const frames = beds.map(({ region }) => boxOf(region.outer))
  const boxAt = ({ region }: NestPiece, angle: number) => boxOf(region.outer.map((p) => turned(p, angle)))
  const put = (i: number, place: Place, box: Rect) => {
    places[i] = place
    const { x, y } = place
    taken[place.bed]?.push({ x0: box.x0 + x, y0: box.y0 + y, x1: box.x1 + x, y1: box.y1 + y })
  }
  const fits = (bed: number, r: Rect) => {
    const region = beds[bed]?.region
    const frame = frames[bed]
    if (!region || !frame || r.x0 < frame.x0 - slack || r.y0 < frame.y0 - slack) return false
    if (r.x1 > frame.x1 + slack || r.y1 > frame.y1 + slack) return false
    if (taken[bed]?.some((other) => meet(other, r))) return false
    const middle = { x: (r.x0 + r.x1) / 2, y: (r.y0 + r.y1) / 2 }
    if (!isIn(region.outer, middle) || region.holes.some((hole) => isIn(hole, middle))) return false
    return [region.outer, ...region.holes].every((ring) =>
      ring.every((b, k) => !crosses(ring.at(k - 1) as Point, b, r)),
    )
  }
  const spotOn = (i: number, bed: number): { place: Place; box: Rect } | undefined => {
    const piece = pieces[i] as NestPiece
    const turns = piece.turns === 'any' ? [0, Math.PI / 2, Math.PI / 6, Math.PI / 3, Math.PI / 4] : piece.turns
    let best: { place: Place; box: Rect; key: number } | undefined
    for (const angle of turns) {
      const box = boxAt(piece, angle)
      const region = beds[bed]?.region
      const rings = region ? [region.outer, ...region.holes] : []
      const others = taken[bed] ?? []
      const corners = rings.flat()
      const frame = frames[bed] as Rect
      const xs = [...new Set([...others.map((r) => r.x1), ...corners.map((p) => p.x), frame.x1 - (box.x1 - box.x0)])]
      const ys = [...new Set([...others.map((r) => r.y1), ...corners.map((p) => p.y), frame.y1 - (box.y1 - box.y0)])]
      for (const x of xs.slice(0, 300)) {
        for (const y of ys.slice(0, 300)) {
          const key = (x + box.x1 - box.x0) * 1e4 + y
          if (best && key >= best.key) continue
          const r = { x0: x, y0: y, x1: x + box.x1 - box.x0, y1: y + box.y1 - box.y0 }
          if (fits(bed, r)) best = { place: { bed, x: x - box.x0, y: y - box.y0, angle }, box, key }
        }
      }
    }
    return best
  }
  pieces.forEach((piece, i) => {
    if (piece.pinned) put(i, piece.pinned, boxAt(piece, piece.pinned.angle))
  })
  const order = beds.map((_, bed) => bed)
  const rank = { free: 0, length: 1, whole: 2 } as const
  order.sort((a, b) => rank[beds[a]?.paid ?? 'free'] - rank[beds[b]?.paid ?? 'free'] || a - b)
  const groups = new Map<string, number[]>()
  pieces.forEach((piece, i) => {
    const key = piece.group === undefined ? `one ${i}` : `group ${piece.group}`
    groups.set(key, [...(groups.get(key) ?? []), i])
  })
  for (const own of groups.values()) {
    const free = own.filter((i) => !places[i])
    const pinnedOn = own.flatMap((i) => places[i]?.bed ?? [])[0]
    for (const bed of pinnedOn === undefined ? order : [pinnedOn]) {
      const before = [...(taken[bed] ?? [])]
      for (const i of free) {
        const spot = spotOn(i, bed)
        if (!spot) break
        put(i, spot.place, spot.box)
      }
      if (free.every((i) => places[i])) break
      for (const i of free) places[i] = undefined
      taken[bed] = before
    }
  }
  const used = taken.map((own) => Math.max(0, ...own.map((r) => r.x1)))
  const paid = beds.reduce((sum, { paid: how, region }, bed) => {
    const frame = frames[bed] as Rect
    const high = frame.y1 - frame.y0
    if (how === 'free' || !used[bed]) return sum
    return sum + (how === 'length' ? used[bed] * high : (frame.x1 - frame.x0) * high * (region ? 1 : 0))
  }, 0)
  const state = { round: 0, places, used, paid, atLeast: 0 }
  yield state
  return state
}
