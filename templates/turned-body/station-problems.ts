import type { Problem } from '../../src/measure/problem.ts'
import { type Station, slantsOf, sumsOf } from './profile.ts'

/** The least that two stations may be apart along the side, mm. */
const leastSlant = 1

/** Everything about the list of stations that cannot be, or is missing; the girths are looked at last. */
export function stationProblems(stations: readonly Station[]): Problem[] {
  if (stations.length < 2) {
    return [
      {
        code: 'too_few_stations',
        field: 'stations',
        value: `${stations.length} in the list`,
        limit: 'a side runs from one girth to another, so that takes 2 or more',
        cure: 'Measure at the lower edge of the film, at its upper edge, and where the side bends.',
      },
    ]
  }
  const places = stations.flatMap(placeProblems)
  if (places.length > 0) return places
  const mixed = mixedProblems(stations)
  if (mixed.length > 0) return mixed
  const order = orderProblems(stations)
  return order.length > 0 ? order : jumpProblems(stations)
}

function placeProblems({ height, along }: Station, i: number): Problem[] {
  if ((height === undefined) !== (along === undefined)) return []
  return [
    {
      code: height === undefined ? 'missing' : 'contradiction',
      field: `stations[${i}].height`,
      value: height === undefined ? 'not given' : `${height} mm beside along ${along} mm`,
      limit: 'a girth stands at one of height and along',
      cure: height === undefined ? 'Measure height from the base, or along the side.' : 'Keep the one you measured.',
    },
  ]
}

function mixedProblems(stations: readonly Station[]): Problem[] {
  const byHeight = stations.filter((station) => station.height !== undefined).length
  if (byHeight === 0 || byHeight === stations.length) return []
  const wanted = byHeight * 2 >= stations.length ? 'height' : 'along'
  const odd = stations.findIndex((station) => station[wanted] === undefined)
  return [
    {
      code: 'contradiction',
      field: `stations[${odd}]`,
      value: `measured by ${wanted === 'height' ? 'along' : 'height'}, others by ${wanted}`,
      limit: 'all stations are measured in one way',
      cure: `Give ${wanted} for this one too.`,
    },
  ]
}

function orderProblems(stations: readonly Station[]): Problem[] {
  const slants = slantsOf(stations)
  return slants.flatMap((slant, i): Problem[] => {
    const [low, high] = [stations[i], stations[i + 1]]
    const field = high?.height === undefined ? 'along' : 'height'
    const [from, to] = [low?.[field] ?? 0, high?.[field] ?? 0]
    if (to >= from && slant >= leastSlant) return []
    const back = to < from
    return [
      {
        code: back ? 'stations_out_of_order' : 'stations_too_near',
        field: `stations[${i + 1}].${field}`,
        value: `${to} mm`,
        limit: back
          ? `the station before it stands at ${from} mm, and they run from the base up`
          : `that is ${slant.toFixed(2)} mm along the side from the station before it, and the least is ${leastSlant} mm`,
        cure: back ? 'Put the stations in order, or measure it again.' : 'Leave one of the two out.',
      },
    ]
  })
}

/** Steps of girth that no side of that length can make: a radius changes by no more than the way along the side. */
function jumpProblems(stations: readonly Station[]): Problem[] {
  const slants = slantsOf(stations)
  const jump = (i: number) => Math.abs((stations[i + 1]?.girth ?? 0) - (stations[i]?.girth ?? 0))
  const most = (i: number) => 2 * Math.PI * (slants[i] ?? 0)
  // A level step measured by height makes exactly its own slant, so leave room for rounding.
  const jumps = slants.map((_, i) => i).filter((i) => jump(i) > most(i) * (1 + 1e-9))
  return jumps.map((i) => {
    const near = (k: number) => jumps.filter((j) => j === k || j === k - 1).length
    const [before, after] = [roughnessWithout(stations, i), roughnessWithout(stations, i + 1)]
    const even = Math.abs(before - after) <= 1e-9 * (before + after)
    const first = even ? near(i) > near(i + 1) : before < after
    const [worst, other] = first ? [i, i + 1] : [i + 1, i]
    return {
      code: 'girth_jumps',
      field: `stations[${worst}].girth`,
      value: `${stations[worst]?.girth} mm`,
      limit:
        `from stations[${i}] to stations[${i + 1}] the girth changes by ${jump(i).toFixed(1)} mm over ` +
        `${(slants[i] ?? 0).toFixed(1)} mm of side, and a side of that length changes it by ${most(i).toFixed(1)} mm ` +
        'at most (2 pi times its length)',
      cure:
        `Measure this girth again first, then stations[${other}].girth and the way between them; ` +
        'check that no diameter was written for a girth.',
    }
  })
}

/** Sum of the changes of slope along the side when one station is left out: least where that one is wrong. */
function roughnessWithout(stations: readonly Station[], out: number): number {
  const places = sumsOf(slantsOf(stations))
  const kept = stations.map((_, i) => i).filter((i) => i !== out)
  const slopes = kept.slice(1).map((i, k) => {
    const before = kept[k] ?? 0
    const rise = (stations[i]?.girth ?? 0) - (stations[before]?.girth ?? 0)
    return rise / ((places[i] ?? 0) - (places[before] ?? 0))
  })
  return slopes.slice(1).reduce((sum, slope, i) => sum + Math.abs(slope - (slopes[i] ?? 0)), 0)
}
