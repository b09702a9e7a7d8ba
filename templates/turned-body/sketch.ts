import { lineTo, openPath, polyline } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import type { Stretch } from '../../src/panel/panel.ts'
import type { Say } from '../../src/panel/template.ts'
import { dimension } from '../../src/picture/dimension.ts'
import type { Drawn, Picture, Words } from '../../src/picture/picture.ts'
import { hangsInMiddle } from '../hung.ts'
import {
  bodyView,
  type Callout,
  callouts,
  drawn,
  fits,
  hingeUpSide,
  lettering,
  levelHalf,
  type SidePoint,
  silhouettes,
  stackUpSide,
  upFront,
  words,
} from '../round-body-sketch.ts'
import { profileOf, type Station, slantsOf } from './profile.ts'
import type { TurnedValues } from './template.ts'

/** A flask with a foot, a belly and a neck, mm. */
const standIn: readonly Station[] = [
  { girth: 190, height: 16 },
  { girth: 285, height: 55 },
  { girth: 270, height: 95 },
  { girth: 150, height: 130 },
  { girth: 140, height: 150 },
]

/** Place of the station that carries the letters. */
const lettered = 2

/** The body with its girths, or with the letters of the fields at one of them; 150 mm wide. */
export function turnedSketch(values: TurnedValues | undefined, say: Say, hung?: Stretch): Picture {
  const stations = values?.stations ?? standIn
  const tall = Math.max(86, 6 * stations.length + 6)
  const { levels, side } = sideOf(stations, values?.sides === 'straight')
  const foot = side[0] ?? { r: 1, z: 0 }
  // What stands below the film: the height of the first station is measured from the base.
  const base = { r: foot.r, z: foot.z - (stations[0]?.height ?? 0) }
  const view = bodyView([base, ...side], { low: point(24, 8), high: point(82, 8 + tall) })
  const top = levels.at(-1) ?? foot
  const items: (Drawn | Words)[] = [
    ...drawn('object', ...silhouettes(view, [base, ...side])),
    ...drawn('object', levelHalf(view, base, 'front'), levelHalf(view, top, 'back')),
    ...drawn('object', levelHalf(view, top, 'front')),
    ...drawn('bare', ...levels.map((level) => levelHalf(view, level, 'front'))),
    ...(values?.cover !== 'gores'
      ? stackUpSide(view, side, levels, values?.seams ?? 'half round', hung)
      : hangsInMiddle(hung)
        ? hingeUpSide(view, side)
        : []),
  ]
  if (values?.cover === 'gores') {
    const half = Math.PI / values.gores
    items.push(...drawn('bare', upFront(view, side, -half), upFront(view, side, half)))
  }
  const rightEnd = (level: SidePoint) => point(view.x(level.r), view.y(level.z))
  const left = view.x(-Math.max(...side.map(({ r }) => r))) - 1
  const upright = (level: SidePoint, text: string) =>
    dimension(point(left, view.y(base.z)), point(left, view.y(level.z)), 7, text, lettering)
  const heading = Math.max(view.y(top.z) + view.dip(top.r) + 6, 6 * stations.length + 14)
  const ceiling = heading - 6
  if (values) {
    const by = stations[0]?.along === undefined ? 'height' : 'along the side'
    items.push(...upright(top, say(top.z - base.z)), words(`girth, and ${by}`, point(90, heading)))
    const list = levels.map((level, i): Callout => ({ text: stationText(stations[i], say), to: rightEnd(level) }))
    items.push(...callouts(list, 96, 4, ceiling))
    return { title: 'Where to measure', width: 150, height: heading + 10, items }
  }
  const shown = levels[lettered] ?? top
  items.push(...upright(shown, 'B  height'))
  // The way along the side, beside it.
  const beside = side.filter(({ z }) => z <= shown.z).map(({ r, z }) => point(view.x(r) + 4, view.y(z)))
  items.push(...drawn('dimension', polyline(beside)))
  for (const end of [beside[0], beside.at(-1)]) {
    if (end) items.push(...drawn('dimension', openPath(point(end.x - 3, end.y), lineTo(point(end.x + 2, end.y)))))
  }
  const half = beside[Math.floor(beside.length / 3)] ?? point(0, 0)
  items.push(
    ...callouts(
      [
        { text: 'S  along the side', to: half },
        { text: 'A  girth, tape level', to: onFront(view, shown) },
        { text: 'next girth, and so on', to: onFront(view, levels[lettered + 1] ?? top) },
      ],
      96,
      4,
      ceiling,
    ),
    words('dashes: the tape', point(90, heading)),
  )
  return { title: 'Where to measure', width: 150, height: heading + 10, items }
}

/** A place on the front of a level circle, right of the middle. */
function onFront(view: ReturnType<typeof bodyView>, { r, z }: SidePoint) {
  return point(view.x(0.94 * r), view.y(z) - view.dip(r) * Math.sqrt(1 - 0.94 ** 2))
}

function stationText(station: Station | undefined, say: Say): string {
  const girth = say(station?.girth ?? 0)
  const whole = `${girth} at ${say(station?.height ?? station?.along ?? 0)}`
  return fits(whole, 96) ? whole : girth
}

/** The levels of the stations, and the side through them from the lowest up; heights from the first station. */
function sideOf(stations: readonly Station[], straight: boolean): { levels: SidePoint[]; side: SidePoint[] } {
  const radius = (girth: number) => girth / (2 * Math.PI)
  const rise = (way: number, aside: number) => Math.sqrt(Math.max(0, way * way - aside * aside))
  if (straight) {
    const slants = slantsOf(stations)
    const levels: SidePoint[] = []
    stations.forEach((station, i) => {
      const before = levels.at(-1) ?? { r: radius(station.girth), z: 0 }
      const r = radius(station.girth)
      levels.push({ r, z: before.z + rise(slants[i - 1] ?? 0, r - before.r) })
    })
    return { levels, side: levels }
  }
  const profile = profileOf(stations)
  const each = 24
  const places = profile.knots.flatMap((knot, i) => {
    const next = profile.knots[i + 1]
    return next === undefined ? [knot] : Array.from({ length: each }, (_, k) => knot + ((next - knot) * k) / each)
  })
  const side: SidePoint[] = []
  places.forEach((t, i) => {
    const r = radius(profile.girth(t))
    const before = side.at(-1) ?? { r, z: 0 }
    const way = i === 0 ? 0 : profile.arc(t) - profile.arc(places[i - 1] ?? t)
    side.push({ r, z: before.z + rise(way, r - before.r) })
  })
  return { levels: side.filter((_, i) => i % each === 0), side }
}
