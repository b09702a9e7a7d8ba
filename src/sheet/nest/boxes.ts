/** One way to lay an upright box: how much of the strip's width it takes, and of its length, mm. */
export interface BoxTurn {
  readonly across: number
  readonly along: number
}

export interface BoxPlace {
  /** which of the box's turns */
  readonly turn: number
  readonly x: number
  readonly y: number
}

/** Below this two lengths are the same, mm. */
const same = 1e-6

/**
 * Lays upright boxes on a strip, each in the gap that reaches least far, and there the one that fits best: exactly across
 * and level with a wall first, then across, then level, then any; of equal ones the first in the order. Rules in the
 * manner of Leung, Zhang and Sim, European Journal of Operational Research 215 (2011).
 */
function boxLayer(boxes: readonly (readonly BoxTurn[])[], width: number) {
  const n = boxes.length
  const turns = Math.max(...boxes.map((ways) => ways.length))
  const across = new Float64Array(n * turns).fill(Infinity)
  const along = new Float64Array(n * turns).fill(Infinity)
  for (const [i, ways] of boxes.entries()) {
    for (const [t, way] of ways.entries()) {
      across[i * turns + t] = way.across
      along[i * turns + t] = way.along
    }
  }
  const placeX = new Float64Array(n)
  const placeY = new Float64Array(n)
  const placeTurn = new Int32Array(n)
  const left = new Int32Array(n)
  // the sky line: where each step begins across the strip, and how far along it reaches
  const from = new Float64Array(2 * n + 4)
  const reach = new Float64Array(2 * n + 4)
  let steps = 0

  const remove = (k: number) => {
    for (let m = k; m + 1 < steps; m++) {
      from[m] = from[m + 1] as number
      reach[m] = reach[m + 1] as number
    }
    steps--
  }
  const insert = (k: number) => {
    for (let m = steps; m > k; m--) {
      from[m] = from[m - 1] as number
      reach[m] = reach[m - 1] as number
    }
    steps++
  }
  const merge = (k: number) => {
    if (k + 1 < steps && Math.abs((reach[k + 1] as number) - (reach[k] as number)) < same) remove(k + 1)
    if (k > 0 && Math.abs((reach[k - 1] as number) - (reach[k] as number)) < same) remove(k)
  }

  /** The length that boxes laid in this order take; Infinity when it is more than `bound`. */
  const lay = (order: Int32Array, bound: number): number => {
    left.set(order)
    let waiting = n
    let length = 0
    steps = 1
    from[0] = 0
    reach[0] = 0
    while (waiting > 0) {
      let k = 0
      for (let m = 1; m < steps; m++) if ((reach[m] as number) < (reach[k] as number) - same) k = m
      const start = from[k] as number
      const end = k + 1 < steps ? (from[k + 1] as number) : width
      const gap = end - start
      const level = reach[k] as number
      const low = k > 0 ? (reach[k - 1] as number) - level : Infinity
      const high = k + 1 < steps ? (reach[k + 1] as number) - level : Infinity
      const wall = Math.max(low, high)
      const other = Math.min(low, high)
      let best = -1
      let bestAt = -1
      let bestTurn = 0
      for (let p = 0; p < waiting && best < 7; p++) {
        const i = left[p] as number
        for (let t = 0; t < turns; t++) {
          const a = across[i * turns + t] as number
          if (a > gap + same) continue
          const b = along[i * turns + t] as number
          let score = Math.abs(b - wall) < same ? 3 : Math.abs(b - other) < same ? 2 : b < wall ? 1 : 0
          if (gap - a < same) score += 4
          else if (score === 1) score = 0
          if (score <= best) continue
          best = score
          bestAt = p
          bestTurn = t
        }
      }
      if (bestAt < 0) {
        // nothing fits: the gap is lost up to the nearer wall
        reach[k] = level + other
        if (!(other < Infinity)) return Infinity
        merge(k)
        continue
      }
      const i = left[bestAt] as number
      const a = across[i * turns + bestTurn] as number
      const b = along[i * turns + bestTurn] as number
      if (level + b > length) length = level + b
      if (length > bound) return Infinity
      for (let p = bestAt; p + 1 < waiting; p++) left[p] = left[p + 1] as number
      waiting--
      placeX[i] = level
      placeTurn[i] = bestTurn
      if (gap - a < same) {
        placeY[i] = start
        reach[k] = level + b
        merge(k)
      } else if (low >= high) {
        placeY[i] = start
        insert(k)
        reach[k] = level + b
        from[k + 1] = start + a
        reach[k + 1] = level
        merge(k)
      } else {
        placeY[i] = end - a
        insert(k)
        reach[k] = level
        from[k + 1] = end - a
        reach[k + 1] = level + b
        merge(k + 1)
      }
    }
    return length
  }
  const placeOf = (i: number): BoxPlace => ({
    turn: placeTurn[i] as number,
    x: placeX[i] as number,
    y: placeY[i] as number,
  })
  return { lay, placeOf }
}

/** Orders to begin with: by one measure or another, the greatest first. */
const measures: readonly ((way: BoxTurn) => number)[] = [
  ({ across, along }) => across * along,
  ({ across, along }) => Math.max(across, along),
  ({ across, along }) => across + along,
  ({ across, along }) => across * 1e4 + along,
]

/** Tries per pause. */
const triesEach = 40
/** After so many tries without a better length an order is shaken. */
const patience = 20_000

/**
 * Shorter and shorter layouts of boxes by changing places of two in the order, forever; undefined at pauses.
 */
export function* shorterBoxes(
  boxes: readonly (readonly BoxTurn[])[],
  width: number,
  chance: () => number,
): Generator<{ readonly length: number; readonly places: readonly BoxPlace[] } | undefined, never> {
  const { lay, placeOf } = boxLayer(boxes, width)
  const n = boxes.length
  let least = Infinity
  const starts = measures.map((measure) => {
    const size = boxes.map((ways) => Math.max(...ways.map(measure)))
    const order = Int32Array.from({ length: n }, (_, i) => i).sort(
      (a, b) => (size[b] as number) - (size[a] as number) || a - b,
    )
    return { order, length: lay(order, Infinity), barren: 0 }
  })
  for (let turn = 0; ; turn++) {
    const own = starts[turn % starts.length] as { readonly order: Int32Array; length: number; barren: number }
    const { order } = own
    for (let k = 0; k < triesEach; k++) {
      const a = Math.floor(chance() * n)
      const b = Math.floor(chance() * n)
      const held = order[a] as number
      order[a] = order[b] as number
      order[b] = held
      const length = lay(order, own.length)
      if (length > own.length) {
        order[b] = order[a] as number
        order[a] = held
        own.barren++
        continue
      }
      own.barren = length < own.length - same ? 0 : own.barren + 1
      own.length = length
      if (length >= least - same) continue
      least = length
      yield { length, places: boxes.map((_, i) => placeOf(i)) }
    }
    if (own.barren > patience) {
      own.barren = 0
      own.length = Infinity
      for (let k = 0; k < 3 + n / 10; k++) {
        const a = Math.floor(chance() * n)
        const b = Math.floor(chance() * n)
        const held = order[a] as number
        order[a] = order[b] as number
        order[b] = held
      }
      own.length = lay(order, Infinity)
    }
    yield undefined
  }
}
