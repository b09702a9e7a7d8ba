/** How much longer than the shortest closed tours are ours, and how long does it take? Over known instances. */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Point } from '../../src/geometry/point.ts'
import { shortTrip, touched } from '../../src/stroke/travel.ts'

/** TSPLIB95 (G. Reinelt, ORSA Journal on Computing 3, 1991), beside the project; `npm run bench` runs at its top. */
const folder = '../shared/data/travel'

interface Instance {
  readonly name: string
  readonly points: readonly (readonly [number, number])[]
  readonly rounding: string
  readonly optimal_length: number
}

/** Length of a closed tour, each way rounded as the instance says. */
function roundedLength(points: readonly Point[], rounding: string): number {
  const round = rounding.startsWith('ceil') ? Math.ceil : (d: number) => Math.floor(d + 0.5)
  return points.reduce((sum, p, i) => {
    const q = points[(i + 1) % points.length] ?? p
    return sum + round(Math.hypot(q.x - p.x, q.y - p.y))
  }, 0)
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length

/** Prints percent over the shortest and the time, instance by instance, then in the mean and by size. */
export function travelFigures(): void {
  if (!existsSync(folder)) {
    console.log(`travel: no instances in ${folder}, so nothing is measured`)
    return
  }
  const instances = readdirSync(folder)
    .filter((file) => file.endsWith('.json'))
    .map((file) => JSON.parse(readFileSync(join(folder, file), 'utf8')) as Instance)
    .sort((a, b) => a.points.length - b.points.length)
  const figures = instances.map(({ name, points, rounding, optimal_length }) => {
    const places = points.map(([x, y]) => ({ x, y }))
    const begin = performance.now()
    const visits = shortTrip(places.map((place) => touched([place])))
    const seconds = (performance.now() - begin) / 1000
    const stops = new Set(visits.map(({ stop }) => stop))
    if (stops.size !== places.length) throw new Error(`${name}: ${stops.size} of ${places.length} points visited`)
    const tour = visits.flatMap(({ stop }) => places[stop] ?? [])
    const over = 100 * (roundedLength(tour, rounding) / optimal_length - 1)
    const per = (10_000 * seconds) / places.length
    console.log(
      `  ${name.padEnd(10)} ${String(places.length).padStart(6)} points: ${over.toFixed(2).padStart(5)} % over, ${seconds.toFixed(2)} s, ${per.toFixed(2)} s per 10,000`,
    )
    return { count: places.length, over, per }
  })
  console.log(
    `travel, ${figures.length} closed tours: ${mean(figures.map(({ over }) => over)).toFixed(2)} % over (aim 3)`,
  )
  for (const [low, high] of [
    [0, 300],
    [300, 1000],
    [1000, 3000],
    [3000, 10_000],
    [10_000, 100_000],
  ] as const) {
    const own = figures.filter(({ count }) => count >= low && count < high)
    const over = mean(own.map((figure) => figure.over))
    const per = mean(own.map((figure) => figure.per))
    console.log(`  ${low} to ${high} points: ${over.toFixed(2)} % over, ${per.toFixed(2)} s per 10,000 (aim 2)`)
  }
}
