import { costOf, type Field, goBack, type Kept, keep, lossOf, type Plot, put } from './field.ts'
import { blankOf, copyInto, type Laid, type Shape, turnInto } from './shape.ts'

export interface Patience {
  /** sweeps without less overlap before a new start from the least */
  readonly sweeps: number
  /** such starts without less overlap before it is given up */
  readonly starts: number
}

interface Spot {
  laid: Laid
  x: number
  y: number
  plot: number
  cost: number
}

/** How many places are looked at for a piece: all over, and about where it lies; and how many of the best are followed. */
const spreadSamples = 20
const nearSamples = 10
const followed = 3

/** Sides of steps, shares of the piece's shorter side: while following, and at the end. */
const coarse = { from: 0.25, to: 0.02 }
const fine = { from: 0.01, to: 0.001 }
const turnStep = { coarse: 0.1, fine: 0.01 }

/** Dearness of an overlapping pair grows by this at least and at most, and fades by this when the two are free. */
const [leastGrowth, mostGrowth, fade] = [1.2, 2, 0.95]

/**
 * Moves pieces until none overlap, nor anything that is no bed: pairs that overlap time and again grow dear (guided local
 * search, as described by Imamichi, Yagiura, Nagamochi 2009 and Gardeyn et al. 2025). Pauses after every move; true when
 * it came to an end without overlap, else the field is left where there was least of it.
 */
export function* separate(
  field: Field,
  mayLie: (piece: number, plot: number) => boolean,
  patience: Patience,
  chance: () => number,
): Generator<undefined, { readonly done: boolean; readonly loss: number }> {
  field.dear.fill(1)
  const mover = moverOf(field, mayLie, chance)
  let total = overlaps(field)
  let least = total.sum
  let leastKept: Kept | undefined
  let barren = 0
  let leastAtStart = least
  let strikes = 0
  while (total.sum > 0) {
    const order = shuffled(total.colliding, chance)
    for (const i of order) {
      mover(i)
      yield
    }
    total = overlaps(field)
    if (total.sum === 0) return { done: true, loss: 0 }
    if (total.sum < least) {
      if (total.sum < 0.98 * least) barren = 0
      least = total.sum
      leastKept = keep(field)
    } else barren++
    if (barren > patience.sweeps) {
      barren = 0
      strikes = least < 0.98 * leastAtStart ? 0 : strikes + 1
      leastAtStart = least
      if (leastKept) goBack(field, leastKept)
      if (strikes >= patience.starts) return { done: false, loss: least }
      total = overlaps(field)
    }
    makeDear(field, total)
    yield
  }
  return { done: true, loss: 0 }
}

interface Overlaps {
  readonly sum: number
  readonly most: number
  readonly colliding: readonly number[]
  /** pairs that overlap: both pieces, and how badly */
  readonly pairs: readonly number[]
}

/** All pairs that overlap. */
function overlaps(field: Field): Overlaps {
  const { count, free, lowX, lowY, highX, highY } = field
  const pairs: number[] = []
  const hit = new Uint8Array(count)
  let sum = 0
  let most = 0
  const order = Array.from({ length: count }, (_, i) => i).filter((i) => (field.plot[i] as number) >= 0)
  order.sort((a, b) => (lowX[a] as number) - (lowX[b] as number) || a - b)
  for (let p = 0; p < order.length; p++) {
    const i = order[p] as number
    const right = highX[i] as number
    for (let q = p + 1; q < order.length; q++) {
      const j = order[q] as number
      if ((lowX[j] as number) > right) break
      if ((lowY[j] as number) > (highY[i] as number) || (highY[j] as number) < (lowY[i] as number)) continue
      if (i >= free && j >= free) continue
      const loss = lossOf(field, i, field.at[i] as Laid, field.x[i] as number, field.y[i] as number, j)
      if (loss === 0) continue
      pairs.push(i, j, loss)
      hit[i] = 1
      hit[j] = 1
      sum += loss
      if (loss > most) most = loss
    }
  }
  const colliding: number[] = []
  for (let i = 0; i < free; i++) if (hit[i]) colliding.push(i)
  return { sum, most, colliding, pairs }
}

function makeDear({ dear, count }: Field, { pairs, most }: Overlaps): void {
  const before = new Float64Array(pairs.length / 3)
  for (let p = 0; p < pairs.length; p += 3)
    before[p / 3] = dear[(pairs[p] as number) * count + (pairs[p + 1] as number)] as number
  for (let k = 0; k < dear.length; k++) {
    const value = dear[k] as number
    if (value > 1) dear[k] = Math.max(1, value * fade)
  }
  for (let p = 0; p < pairs.length; p += 3) {
    const [i, j, loss] = [pairs[p] as number, pairs[p + 1] as number, pairs[p + 2] as number]
    const value = (before[p / 3] as number) * (leastGrowth + (mostGrowth - leastGrowth) * (loss / most))
    dear[i * count + j] = value
    dear[j * count + i] = value
  }
}

function shuffled(items: readonly number[], chance: () => number): number[] {
  const order = items.slice()
  for (let k = order.length - 1; k > 0; k--) {
    const other = Math.floor(chance() * (k + 1))
    const held = order[k] as number
    order[k] = order[other] as number
    order[other] = held
  }
  return order
}

/** Moves a piece to the cheapest place found, if that is cheaper than where it lies. */
function moverOf(
  field: Field,
  mayLie: (piece: number, plot: number) => boolean,
  chance: () => number,
): (piece: number) => void {
  const spots: Spot[] = []
  const trialOf = new Map<Shape, Laid>()
  const spareOf = new Map<Shape, Laid[]>()
  let held = 0

  /** Keeps a place among the best; what turns freely stands in arrays of its own for as long as it is among them. */
  const offer = (laid: Laid, x: number, y: number, plot: number, cost: number, spare: Laid[] | undefined) => {
    let slot = held
    if (held < followed) held++
    else {
      slot = 0
      for (let k = 1; k < followed; k++) if ((spots[k] as Spot).cost > (spots[slot] as Spot).cost) slot = k
    }
    let lies = laid
    if (spare) {
      lies = spare[slot] as Laid
      copyInto(laid, lies)
    }
    const spot = spots[slot]
    if (spot) {
      spot.laid = lies
      spot.x = x
      spot.y = y
      spot.plot = plot
      spot.cost = cost
    } else spots[slot] = { laid: lies, x, y, plot, cost }
  }

  const bar = () => {
    if (held < followed) return Infinity
    let most = 0
    for (let k = 0; k < followed; k++) most = Math.max(most, (spots[k] as Spot).cost)
    return most
  }

  return (i) => {
    const shape = field.shapes[i] as Shape
    const here = field.plot[i] as number
    const now = costOf(field, i, field.at[i] as Laid, field.x[i] as number, field.y[i] as number, Infinity)
    if (now === 0) return
    held = 0
    let trial: Laid | undefined
    let spare: Laid[] | undefined
    if (shape.isFree) {
      trial = trialOf.get(shape) ?? blankOf(shape.searched)
      trialOf.set(shape, trial)
      spare = spareOf.get(shape) ?? Array.from({ length: followed }, () => blankOf(shape.searched))
      spareOf.set(shape, spare)
    }
    offer(field.at[i] as Laid, field.x[i] as number, field.y[i] as number, here, now, spare)
    /** Is there no overlap at all? */
    const look = (laid: Laid, x: number, y: number, plot: number): boolean => {
      const bound = bar()
      const cost = costOf(field, i, laid, x, y, bound)
      if (cost === 0) put(field, i, laid, x, y, plot)
      else if (cost < bound) offer(laid, x, y, plot, cost, spare)
      return cost === 0
    }
    const own = field.plots[here] as Plot
    for (let k = 0; k < nearSamples; k++) {
      const laid = field.at[i] as Laid
      const x = (field.x[i] as number) + (chance() - 0.5) * (laid.highX - laid.lowX)
      const y = (field.y[i] as number) + (chance() - 0.5) * (laid.highY - laid.lowY)
      const isFree = look(
        laid,
        within(x, own.lowX - laid.lowX, own.limit - laid.highX),
        within(y, own.lowY - laid.lowY, own.highY - laid.highY),
        here,
      )
      if (isFree) return
    }
    const rooms = roomsOf(field, i, mayLie)
    for (let k = 0; k < spreadSamples && rooms.length > 0; k++) {
      const b = rooms.length === 1 ? (rooms[0] as number) : drawnPlot(field, rooms, chance)
      const plot = field.plots[b] as Plot
      let laid = shape.laid[Math.floor(chance() * shape.laid.length)] as Laid
      if (trial) {
        turnInto(shape.searched, chance() * 2 * Math.PI, trial)
        field.work += 4 * trial.x.length + 100
        laid = trial
      }
      const roomX = plot.limit - laid.highX - (plot.lowX - laid.lowX)
      const roomY = plot.highY - laid.highY - (plot.lowY - laid.lowY)
      if (roomX < 0 || roomY < 0) continue
      const isFree = look(laid, plot.lowX - laid.lowX + chance() * roomX, plot.lowY - laid.lowY + chance() * roomY, b)
      if (isFree) return
    }
    for (let k = 0; k < held; k++) {
      const spot = spots[k] as Spot
      descend(field, i, spot, coarse, turnStep.coarse, trial, chance)
      if (spot.cost > 0) continue
      put(field, i, spot.laid, spot.x, spot.y, spot.plot)
      return
    }
    let best = spots[0] as Spot
    for (let k = 1; k < held; k++) if ((spots[k] as Spot).cost < best.cost) best = spots[k] as Spot
    if (best.cost > 0) descend(field, i, best, fine, turnStep.fine, trial, chance)
    if (best.cost < now) put(field, i, best.laid, best.x, best.y, best.plot)
  }
}

const within = (value: number, low: number, high: number): number => (value < low ? low : Math.min(value, high))

/** The plots that are open to a piece. */
function roomsOf(field: Field, i: number, mayLie: (piece: number, plot: number) => boolean): number[] {
  const open: number[] = []
  for (let b = 0; b < field.plots.length; b++) {
    const plot = field.plots[b] as Plot
    if (plot.limit > plot.lowX && mayLie(i, b)) open.push(b)
  }
  return open
}

const room = (plot: Plot): number => (plot.limit - plot.lowX) * (plot.highY - plot.lowY)

/** One of the plots, each as often as it is big. */
function drawnPlot(field: Field, rooms: readonly number[], chance: () => number): number {
  let left = chance() * rooms.reduce((sum, b) => sum + room(field.plots[b] as Plot), 0)
  for (const b of rooms) {
    left -= room(field.plots[b] as Plot)
    if (left < 0) return b
  }
  return rooms.at(-1) as number
}

/** Walks a spot downhill: along x, y, either diagonal, or turning, with steps that grow while they help and else shrink. */
function descend(
  field: Field,
  i: number,
  spot: Spot,
  step: { readonly from: number; readonly to: number },
  turn: number,
  trial: Laid | undefined,
  chance: () => number,
): void {
  const { laid } = spot
  const plot = field.plots[spot.plot] as Plot
  const side = Math.min(laid.highX - laid.lowX, laid.highY - laid.lowY)
  const shape = field.shapes[i] as Shape
  let stepX = side * step.from
  let stepY = stepX
  let stepTurn = turn
  const end = side * step.to
  const endTurn = (turn * step.to) / step.from
  while ((stepX > end || stepY > end) && spot.cost > 0) {
    const axis = Math.floor(chance() * (trial ? 5 : 4))
    let isBetter = false
    if (axis === 4 && trial) {
      for (const sign of [1, -1]) {
        const angle = spot.laid.angle + sign * stepTurn
        turnInto(shape.searched, angle, trial)
        field.work += 4 * trial.x.length + 100
        const lowX = plot.lowX - trial.lowX
        const highX = plot.limit - trial.highX
        const lowY = plot.lowY - trial.lowY
        const highY = plot.highY - trial.highY
        if (lowX > highX || lowY > highY) continue
        const x = within(spot.x, lowX, highX)
        const y = within(spot.y, lowY, highY)
        const cost = costOf(field, i, trial, x, y, spot.cost)
        if (cost >= spot.cost) continue
        copyInto(trial, spot.laid)
        spot.x = x
        spot.y = y
        spot.cost = cost
        isBetter = true
      }
      stepTurn *= isBetter ? 1.1 : 0.5
      if (stepTurn < endTurn) stepTurn = endTurn
      continue
    }
    const lies = spot.laid
    const lowX = plot.lowX - lies.lowX
    const highX = plot.limit - lies.highX
    const lowY = plot.lowY - lies.lowY
    const highY = plot.highY - lies.highY
    const dx = axis === 1 ? 0 : stepX
    const dy = axis === 0 ? 0 : axis === 3 ? -stepY : stepY
    const fromX = spot.x
    const fromY = spot.y
    for (let sign = 1; sign >= -1; sign -= 2) {
      const x = within(fromX + sign * dx, lowX, highX)
      const y = within(fromY + sign * dy, lowY, highY)
      if (x === fromX && y === fromY) continue
      const cost = costOf(field, i, lies, x, y, spot.cost)
      if (cost >= spot.cost) continue
      spot.x = x
      spot.y = y
      spot.cost = cost
      isBetter = true
    }
    const factor = isBetter ? 1.1 : 0.5
    if (axis === 0) stepX *= factor
    else if (axis === 1) stepY *= factor
    else {
      const root = isBetter ? 1.05 : Math.SQRT1_2
      stepX *= root
      stepY *= root
    }
  }
}
