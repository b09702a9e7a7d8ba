/**
 * A place along something, told by film and by tape: mm from the start along the middle of the film, and what a tape
 * laid along the object reads from there. Both lie off the object's skin by half their own thickness, so on whatever
 * bends they differ.
 */
export interface TapedPlace {
  readonly film: number
  readonly tape: number
}

/** Something whose film and tape differ; alike where nothing is told. */
interface Taped {
  /** from its start to its end, growing; between two of them evenly */
  readonly taped?: readonly TapedPlace[]
}

const start: TapedPlace = { film: 0, tape: 0 }

/** An edge by the lengths of its pieces in turn, each of which bends evenly; nothing to tell where both are alike. */
export function tapedBy(pieces: readonly TapedPlace[]): Taped {
  if (pieces.every(({ film, tape }) => film === tape)) return {}
  const taped = [start]
  for (const { film, tape } of pieces) {
    const last = taped.at(-1) ?? start
    taped.push({ film: last.film + film, tape: last.tape + tape })
  }
  return { taped }
}

/** mm of film to where a tape reads `mm` from the start. */
export const filmAt = ({ taped }: Taped, mm: number): number => read(taped, mm, 'tape', 'film')

/** What a tape reads from the start to `mm` of film. */
export const tapeAt = ({ taped }: Taped, mm: number): number => read(taped, mm, 'film', 'tape')

/** What a tape reads all along an edge of `film` mm. */
export const wholeTape = ({ taped }: Taped, film: number): number => taped?.at(-1)?.tape ?? film

/** Past both ends mm for mm. Where one of them turns on the spot and the other does not, the middle of the turn. */
function read(places: Taped['taped'], mm: number, from: keyof TapedPlace, to: keyof TapedPlace): number {
  const [first, last] = [places?.[0], places?.at(-1)]
  if (!places || !first || !last) return mm
  const met = places.filter((place) => place[from] === mm)
  const [near, far] = [met[0], met.at(-1)]
  if (near && far) return (near[to] + far[to]) / 2
  const i = places.findIndex((place) => mm < place[from])
  const [a, b] = [places[i - 1], places[i]]
  if (i < 0) return last[to] + mm - last[from]
  if (!a || !b) return first[to] + mm - first[from]
  return a[to] + ((b[to] - a[to]) * (mm - a[from])) / (b[from] - a[from])
}
