import { type Profile, profileOf, type Station, slantsOf, sumsOf } from './profile.ts'

/** A direction square to the side, outward: away from the axis, and up. */
interface Normal {
  readonly out: number
  readonly up: number
}

/**
 * The stations as they lie on the middle of a sheet of `thickness` mm on the body: each moved out by half of it, square
 * to the side. On a cone that is the same cone farther along its axis, so a girth grows by pi times the thickness and
 * the cosine of the lean. Where straight sides meet at an angle the two middles meet there as well, as in a mitre.
 */
export function raised(
  stations: readonly Station[],
  thickness: number,
  sides: 'curved' | 'straight' = 'curved',
): Station[] {
  const slants = slantsOf(stations)
  const lines = slants.map((slant, i) => {
    const wider = ((stations[i + 1]?.girth ?? 0) - (stations[i]?.girth ?? 0)) / (2 * Math.PI)
    return { out: Math.sqrt(Math.max(0, 1 - (wider / slant) ** 2)), up: -wider / slant }
  })
  const drawn = profileOf(stations)
  const moves = stations.map((_, i): Normal => {
    const own = sides === 'curved' ? normalAt(drawn, drawn.knots[i] ?? 0) : undefined
    const [before, after] = [own ?? lines[i - 1] ?? lines[i], own ?? lines[i] ?? lines[i - 1]]
    if (!before || !after) return { out: 0, up: 0 }
    // Two sides that fold back on each other would meet nowhere near.
    const half = thickness / 2 / Math.max(leastMeeting, 1 + before.out * after.out + before.up * after.up)
    return { out: (before.out + after.out) * half, up: (before.up + after.up) * half }
  })
  const longer = slants.map((slant, i) => {
    const [line, low, high] = [lines[i], moves[i], moves[i + 1]]
    if (!line || !low || !high) return slant
    return Math.hypot(line.out * slant + high.up - low.up, -line.up * slant + high.out - low.out)
  })
  const alongs = sumsOf(longer)
  return stations.map((station, i) => ({
    girth: station.girth + 2 * Math.PI * (moves[i]?.out ?? 0),
    ...(station.along === undefined
      ? { height: (station.height ?? 0) + (moves[i]?.up ?? 0) }
      : { along: (stations[0]?.along ?? 0) + (alongs[i] ?? 0) }),
  }))
}

/** 1 plus the cosine of the turn between two sides, at the least: a turn of 120 degrees. */
const leastMeeting = 0.5

/** Undefined where the drawn side comes to a halt and turns on the spot: on a sharp edge. */
function normalAt(drawn: Profile, t: number): Normal | undefined {
  if (isEdge(drawn, t)) return undefined
  const [out, wider] = [drawn.rise(t), drawn.girthRate(t) / (2 * Math.PI)]
  const speed = Math.hypot(out, wider)
  return { out: out / speed, up: -wider / speed }
}

/** Does the side turn on the spot there, such as between an upright side and a level one? */
export const isEdge = (drawn: Profile, t: number): boolean =>
  Math.hypot(drawn.rise(t), drawn.girthRate(t) / (2 * Math.PI)) < 0.1
