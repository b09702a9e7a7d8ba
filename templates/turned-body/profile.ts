import { keptShape } from './kept-shape.ts'

/** One girth of a turned body with its place: upright from the base, or along the side from the first one. mm. */
export interface Station {
  readonly girth: number
  readonly height?: number | undefined
  readonly along?: number | undefined
}

/** Distance along the side from each station to the next, on straight sides, mm. */
export function slantsOf(stations: readonly Station[]): number[] {
  return stations.slice(1).map((station, i) => {
    const before = stations[i] ?? station
    if (station.along !== undefined && before.along !== undefined) return station.along - before.along
    const rise = (station.height ?? Number.NaN) - (before.height ?? Number.NaN)
    return Math.hypot(rise, (station.girth - before.girth) / (2 * Math.PI))
  })
}

/** Sums of a list, from 0: one more than it has. */
export function sumsOf(list: readonly number[]): number[] {
  const sums = [0]
  for (const mm of list) sums.push((sums.at(-1) ?? 0) + mm)
  return sums
}

/** The side of a turned body as a smooth curve; `t` counts mm along the straight sides between the stations. */
export interface Profile {
  readonly girth: (t: number) => number
  readonly girthRate: (t: number) => number
  /** along the curved side from the first station, mm */
  readonly arc: (t: number) => number
  readonly arcRate: (t: number) => number
  /** product of both curvatures, 1/mm^2; at a station that of the piece below it */
  readonly curvature: (t: number) => number
  /** mm up, or along the side, as the stations are told */
  readonly place: (t: number) => number
  /** mm up for each mm of `t` */
  readonly rise: (t: number) => number
  /** `t` of each station */
  readonly knots: readonly number[]
}

/**
 * A side through the stations, by curves that make no bulge of their own unless others are given. Where the places were
 * taken along the side, the girth is a curve over that arc; where heights were taken, girth and height are curves over
 * the straight distances, and the arc is summed.
 */
export function profileOf(stations: readonly Station[], curve = keptShape): Profile {
  const knots = sumsOf(slantsOf(stations))
  const girth = curve(
    knots,
    stations.map((station) => station.girth),
  )
  const common = { girth: (t: number) => girth(t).value, girthRate: (t: number) => girth(t).slope, knots }
  if (stations.every((station) => station.along !== undefined)) {
    return {
      ...common,
      arc: (t) => t,
      arcRate: () => 1,
      // K = -r'' / r, by the arc
      curvature: (t) => -girth(t).bend / girth(t).value,
      place: (t) => t + (stations[0]?.along ?? 0),
      rise: (t) => Math.sqrt(Math.max(0, 1 - (girth(t).slope / (2 * Math.PI)) ** 2)),
    }
  }
  const height = curve(
    knots,
    stations.map((station) => station.height ?? 0),
  )
  const speed = (t: number) => Math.hypot(height(t).slope, girth(t).slope / (2 * Math.PI))
  const reached = sumsOf(knots.slice(1).map((knot, i) => summed(speed, knots[i] ?? 0, knot)))
  return {
    ...common,
    arc: (t) => {
      const i = Math.max(
        0,
        knots.findLastIndex((knot) => knot <= t),
      )
      return (reached[i] ?? 0) + summed(speed, knots[i] ?? 0, t)
    },
    arcRate: speed,
    curvature: (t) => {
      const [c, z] = [girth(t), height(t)]
      const turn = (c.slope * z.bend - z.slope * c.bend) / (2 * Math.PI)
      return (z.slope * turn) / (speed(t) ** 4 * (c.value / (2 * Math.PI)))
    },
    place: (t) => height(t).value,
    rise: (t) => height(t).slope,
  }
}

// 8-point Gauss-Legendre rule on -1..1 (Abramowitz and Stegun, table 25.4)
const gauss: readonly (readonly [number, number])[] = [
  [0.1834346424956498, 0.362683783378362],
  [0.525532409916329, 0.3137066458778873],
  [0.7966664774136267, 0.2223810344533745],
  [0.9602898564975363, 0.1012285362903763],
]

/** Integral over a smooth stretch, in four parts. */
function summed(value: (t: number) => number, from: number, to: number): number {
  const parts = 4
  const half = (to - from) / parts / 2
  let sum = 0
  for (let part = 0; part < parts; part++) {
    const middle = from + half * (2 * part + 1)
    for (const [x, w] of gauss) sum += w * (value(middle - half * x) + value(middle + half * x))
  }
  return sum * half
}
