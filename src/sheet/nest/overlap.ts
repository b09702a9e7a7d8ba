import type { Laid } from './shape.ts'

/** Room for the edges of the first outline that come near the second: both ends, x and y. Nothing in it outlives a call. */
const scratch = { edges: new Float64Array(1024) }

/** Is the point inside the rings, by the crossings of a ray to the right? */
function isInside({ x, y, next }: Laid, px: number, py: number): boolean {
  let inside = false
  for (let i = 0; i < x.length; i++) {
    const k = next[i] as number
    const ay = y[i] as number
    const by = y[k] as number
    if (ay > py === by > py) continue
    const ax = x[i] as number
    if (px < (((x[k] as number) - ax) * (py - ay)) / (by - ay) + ax) inside = !inside
  }
  return inside
}

/** Do two outlines have a point in common, the first moved by (dx, dy)? */
export function touches(a: Laid, dx: number, dy: number, b: Laid): boolean {
  let lowX = Math.max(a.lowX + dx, b.lowX)
  let highX = Math.min(a.highX + dx, b.highX)
  let lowY = Math.max(a.lowY + dy, b.lowY)
  let highY = Math.min(a.highY + dy, b.highY)
  if (lowX > highX || lowY > highY) return false
  const { x: xa, y: ya, next: nextA } = a
  if (scratch.edges.length < 4 * xa.length) scratch.edges = new Float64Array(8 * xa.length)
  const { edges } = scratch
  let near = 0
  // the box round all that the first has in the common box
  let nearLowX = Infinity
  let nearHighX = -Infinity
  let nearLowY = Infinity
  let nearHighY = -Infinity
  for (let i = 0; i < xa.length; i++) {
    const k = nextA[i] as number
    const x1 = (xa[i] as number) + dx
    const x2 = (xa[k] as number) + dx
    if (x1 < lowX ? x2 < lowX : x1 > highX && x2 > highX) continue
    const y1 = (ya[i] as number) + dy
    const y2 = (ya[k] as number) + dy
    if (y1 < lowY ? y2 < lowY : y1 > highY && y2 > highY) continue
    edges[near] = x1
    edges[near + 1] = y1
    edges[near + 2] = x2
    edges[near + 3] = y2
    near += 4
    if (x1 < nearLowX) nearLowX = x1
    if (x2 < nearLowX) nearLowX = x2
    if (x1 > nearHighX) nearHighX = x1
    if (x2 > nearHighX) nearHighX = x2
    if (y1 < nearLowY) nearLowY = y1
    if (y2 < nearLowY) nearLowY = y2
    if (y1 > nearHighY) nearHighY = y1
    if (y2 > nearHighY) nearHighY = y2
  }
  if (near > 0) {
    lowX = Math.max(lowX, nearLowX)
    highX = Math.min(highX, nearHighX)
    lowY = Math.max(lowY, nearLowY)
    highY = Math.min(highY, nearHighY)
    const { x: xb, y: yb, next: nextB } = b
    for (let j = 0; j < xb.length; j++) {
      const k = nextB[j] as number
      const x1 = xb[j] as number
      const x2 = xb[k] as number
      if (x1 < lowX ? x2 < lowX : x1 > highX && x2 > highX) continue
      const y1 = yb[j] as number
      const y2 = yb[k] as number
      if (y1 < lowY ? y2 < lowY : y1 > highY && y2 > highY) continue
      const leastX = Math.min(x1, x2)
      const mostX = Math.max(x1, x2)
      const leastY = Math.min(y1, y2)
      const mostY = Math.max(y1, y2)
      const ux = x2 - x1
      const uy = y2 - y1
      for (let e = 0; e < near; e += 4) {
        const ax = edges[e] as number
        const bx = edges[e + 2] as number
        if ((ax < leastX && bx < leastX) || (ax > mostX && bx > mostX)) continue
        const ay = edges[e + 1] as number
        const by = edges[e + 3] as number
        if ((ay < leastY && by < leastY) || (ay > mostY && by > mostY)) continue
        const s1 = ux * (ay - y1) - uy * (ax - x1)
        const s2 = ux * (by - y1) - uy * (bx - x1)
        if ((s1 > 0 && s2 > 0) || (s1 < 0 && s2 < 0)) continue
        const vx = bx - ax
        const vy = by - ay
        const t1 = vx * (y1 - ay) - vy * (x1 - ax)
        const t2 = vx * (y2 - ay) - vy * (x2 - ax)
        if ((t1 > 0 && t2 > 0) || (t1 < 0 && t2 < 0)) continue
        return true
      }
    }
  }
  // no edges meet: one may still lie wholly in the other
  if (
    a.lowX + dx > b.lowX &&
    a.highX + dx < b.highX &&
    a.lowY + dy > b.lowY &&
    a.highY + dy < b.highY &&
    isInside(b, (xa[0] as number) + dx, (ya[0] as number) + dy)
  )
    return true
  return (
    b.lowX > a.lowX + dx &&
    b.highX < a.highX + dx &&
    b.lowY > a.lowY + dy &&
    b.highY < a.highY + dy &&
    isInside(a, (b.x[0] as number) - dx, (b.y[0] as number) - dy)
  )
}

/**
 * How deep the discs of two outlines lie in each other, the first moved by (dx, dy): over all pairs the depth, weighted
 * by the smaller radius; 0 where none overlap. A depth below `tail`, mm, counts as the hyperbola that goes on where discs
 * are apart. Above `most` the sum may stop short. Measure and tail after Gardeyn, Vanden Berghe and Wauters, arXiv:2509.13329.
 */
export function discDepth(a: Laid, dx: number, dy: number, b: Laid, tail: number, most: number): number {
  const { discX: xa, discY: ya, discR: ra } = a
  const { discX: xb, discY: yb, discR: rb } = b
  const count = xb.length
  const tail2 = tail * tail
  let sum = 0
  for (let i = 0; i < xa.length; i++) {
    const x = (xa[i] as number) + dx
    const y = (ya[i] as number) + dy
    const r = ra[i] as number
    if (x + r <= b.lowX || x - r >= b.highX || y + r <= b.lowY || y - r >= b.highY) continue
    for (let j = 0; j < count; j++) {
      const ex = (xb[j] as number) - x
      const ey = (yb[j] as number) - y
      const s = rb[j] as number
      const square = ex * ex + ey * ey
      const reach = r + s
      if (square >= reach * reach) continue
      const depth = reach - Math.sqrt(square)
      sum += (depth >= tail ? depth : tail2 / (2 * tail - depth)) * Math.min(r, s)
    }
    if (sum > most) return sum
  }
  return sum
}

/**
 * What the two nearest discs count for where outlines overlap and no discs do: less the farther apart they are, so that
 * there is always a way downhill.
 */
export function nearestDiscs(a: Laid, dx: number, dy: number, b: Laid, tail: number): number {
  const { discX: xa, discY: ya, discR: ra } = a
  const { discX: xb, discY: yb, discR: rb } = b
  const count = xb.length
  let most = 0
  let inverse = Infinity
  for (let i = 0; i < xa.length; i++) {
    const x = (xa[i] as number) + dx
    const y = (ya[i] as number) + dy
    const r = ra[i] as number
    for (let j = 0; j < count; j++) {
      const ex = (xb[j] as number) - x
      const ey = (yb[j] as number) - y
      const s = rb[j] as number
      const square = ex * ex + ey * ey
      const least = Math.min(r, s)
      // only nearer than this does it count for more than the one before
      const bar = least * inverse - 2 * tail + r + s
      if (bar <= 0 || square >= bar * bar) continue
      most = least / (2 * tail + Math.sqrt(square) - r - s)
      inverse = 1 / most
    }
  }
  return most * tail * tail
}
