import { type Field, goBack, keep, type Plot, put } from './field.ts'
import { leastLast } from './least-linear.ts'
import { touches } from './overlap.ts'
import { type HalfPlane, roomBeside } from './room.ts'
import { apart } from './rows.ts'
import type { Laid } from './shape.ts'

/** How far a piece may go at once along x and y, as a share of a middling piece's shorter side. */
const goShare = 0.2

/**
 * Moves all pieces of a plot together, none turned, so that the plot is used least far: a linear programme in which
 * each piece keeps to room that is free of its neighbours (compaction as by Li and Milenkovic, European Journal of
 * Operational Research 84, 1995). They may overlap a little when it begins, and then lie apart. True when it came to
 * an end; else all stay where they were. Pauses.
 */
export function* press(field: Field, b: number): Generator<undefined, boolean> {
  const plot = field.plots[b] as Plot
  const { lowX, lowY, highX, highY } = field
  const pieces = Array.from({ length: field.free }, (_, i) => i).filter((i) => field.plot[i] === b)
  const others = Array.from({ length: field.count - field.free }, (_, k) => field.free + k).filter(
    (i) => field.plot[i] === b,
  )
  pieces.sort(
    (i, j) => (lowX[i] as number) + (highX[i] as number) - (lowX[j] as number) - (highX[j] as number) || i - j,
  )
  const sides = pieces.map((i) =>
    Math.min((highX[i] as number) - (lowX[i] as number), (highY[i] as number) - (lowY[i] as number)),
  )
  const side = sides.sort((p, q) => p - q)[sides.length >> 1]
  if (side === undefined) return false
  const go = goShare * side
  const n = 2 * pieces.length + 1
  const low = new Float64Array(n).fill(-go)
  const high = new Float64Array(n).fill(go)
  let end = -Infinity
  for (const [k, i] of pieces.entries()) {
    low[2 * k] = Math.max(-go, plot.lowX - (lowX[i] as number))
    high[2 * k] = Math.min(go, plot.highX - (highX[i] as number))
    low[2 * k + 1] = Math.max(-go, plot.lowY - (lowY[i] as number))
    high[2 * k + 1] = Math.min(go, plot.highY - (highY[i] as number))
    end = Math.max(end, highX[i] as number)
  }
  // does a piece fill the plot? It may as well move by next to nothing, and is put back afterwards
  for (let j = 0; j < n; j++) {
    const [from, to] = [low[j] as number, high[j] as number]
    if (to - from >= 4 * apart) continue
    low[j] = (from + to) / 2 - 2 * apart
    high[j] = (from + to) / 2 + 2 * apart
  }
  const at: number[] = []
  const by: number[] = []
  const least: number[] = []
  low[n - 1] = -1.5 * go
  high[n - 1] = 2 * go
  const neighbours: number[] = []
  for (const [k, i] of pieces.entries()) {
    if ((highX[i] as number) > end - 2 * go) {
      at.push(n - 1, 2 * k, 0, 0)
      by.push(1, -1, 0, 0)
      least.push((highX[i] as number) - end)
    }
    const right = (highX[i] as number) + 2 * go
    const add = (j: number, other: number) => {
      if ((lowX[j] as number) > right || (highX[j] as number) < (lowX[i] as number) - 2 * go) return true
      if ((lowY[j] as number) > (highY[i] as number) + 2 * go || (highY[j] as number) < (lowY[i] as number) - 2 * go)
        return true
      const planes = planesOf(field, i, j, 2 * go)
      if (!planes) return false
      neighbours.push(i, j)
      for (const { normalX, normalY, least: bar } of planes) {
        // free of it however the two move?
        if (-2 * go * (Math.abs(normalX) + Math.abs(normalY)) >= bar) continue
        at.push(2 * k, 2 * k + 1, other < 0 ? 0 : 2 * other, other < 0 ? 0 : 2 * other + 1)
        by.push(normalX, normalY, other < 0 ? 0 : -normalX, other < 0 ? 0 : -normalY)
        least.push(bar)
      }
      return true
    }
    for (let q = 0; q < k; q++) if (!add(pieces[q] as number, q)) return false
    for (const j of others) if (!add(j, -1)) return false
    yield undefined
  }
  const solving = leastLast(
    { count: n, at: Int32Array.from(at), by: Float64Array.from(by), least: Float64Array.from(least), low, high },
    1e-4 * go,
  )
  let step = solving.next()
  for (; !step.done; step = solving.next()) {
    field.work += 300 * least.length + 2 * n * n
    yield undefined
  }
  const moves = step.value
  if (!moves) return false
  const before = keep(field)
  for (const [k, i] of pieces.entries()) {
    const laid = field.at[i] as Laid
    const x = (field.x[i] as number) + (moves[2 * k] as number)
    const y = (field.y[i] as number) + (moves[2 * k + 1] as number)
    const [mostX, mostY] = [plot.highX - laid.highX, plot.highY - laid.highY]
    const [leastX, leastY] = [plot.lowX - laid.lowX, plot.lowY - laid.lowY]
    put(field, i, laid, Math.max(leastX, Math.min(x, mostX)), Math.max(leastY, Math.min(y, mostY)), b)
  }
  plot.limit = Math.max(plot.lowX, ...pieces.map((i) => highX[i] as number))
  for (let k = 0; k < neighbours.length; k += 2) {
    const [i, j] = [neighbours[k] as number, neighbours[k + 1] as number]
    const dx = (field.x[i] as number) - (field.x[j] as number)
    const dy = (field.y[i] as number) - (field.y[j] as number)
    if (!touches(field.at[i] as Laid, dx, dy, field.at[j] as Laid)) continue
    goBack(field, before)
    return false
  }
  return true
}

function planesOf(field: Field, i: number, j: number, far: number): readonly HalfPlane[] | undefined {
  const a = field.at[i] as Laid
  const b = field.at[j] as Laid
  const dx = (field.x[i] as number) - (field.x[j] as number)
  const dy = (field.y[i] as number) - (field.y[j] as number)
  field.work += 2 * a.x.length * b.x.length
  // do the boxes alone leave more room than is asked for?
  if (a.lowX + dx - b.highX > far + apart || b.lowX - a.highX - dx > far + apart) return []
  return roomBeside(a, dx, dy, b, far)
}
