import { lineTo, openPath } from '../src/geometry/path.ts'
import { between, point } from '../src/geometry/point.ts'
import type { Development } from '../src/panel/development.ts'
import type { Stretch } from '../src/panel/panel.ts'
import type { Drawn, Picture, Words } from '../src/picture/picture.ts'
import { filmOnBand, sideOf } from './band-view.ts'
import type { Seen } from './film-on-object.ts'
import { type BandForm, developBand } from './round-band.ts'
import { bodyView, drawn, levelHalf, silhouettes, words } from './round-body-sketch.ts'

/** A band round its object, as it was measured: film and tape without thickness. */
export interface ShownBand {
  readonly form: BandForm
  readonly film: Development
  /** where the panel hangs, if not where the shape puts it */
  readonly hung?: Stretch | undefined
}

/** A band without openings, for what is only shown. */
export function plainBand(form: BandForm): ShownBand {
  const [film] = developBand({ ...form, openings: { openings: [], points: [] }, marks: [], notes: [] })
  return { form, film }
}

interface BandWords {
  readonly round: string
  readonly top?: string
  readonly side: string
  /** at what stays bare, or at the seam */
  readonly seam: string
}

/** The hinge is shown this far round from the front, radians: to the left, so that what lies opposite shows behind. */
const hingeAt = -0.6

/** A round object seen from a little above, with the film on it and where the tape goes; 150 mm wide. */
export function bandSketch({ form, film, hung }: ShownBand, said: BandWords): Picture {
  const { radius, lean, rise, half } = sideOf(form)
  const end = (up: number) => ({ r: radius + up * lean, z: (up + half) * rise })
  const [low, high] = [end(-half), end(half)]
  const view = bodyView([low, high], { low: point(40, 13), high: point(104, 92) })
  const seen: Seen = {
    at: (turn, up) => {
      const { r, z } = end(up)
      return point(view.x(r * Math.sin(turn + hingeAt)), view.y(z) - view.dip(r) * Math.cos(turn + hingeAt))
    },
    shows: (turn) => Math.cos(turn + hingeAt) > 0,
  }
  const [foot, head] = [view.y(low.z), view.y(high.z)]
  const [a, b] = [view.x(low.r) - view.middle, view.x(high.r) - view.middle]
  const items: (Drawn | Words)[] = [
    ...drawn('object', levelHalf(view, high, 'back'), levelHalf(view, high, 'front'), levelHalf(view, low, 'front')),
    ...drawn('hidden', levelHalf(view, low, 'back')),
    ...drawn('object', ...silhouettes(view, [low, high])),
    ...filmOnBand(form, film, hung ?? film.hinge, seen),
  ]
  const line = (x1: number, y1: number, x2: number, y2: number) =>
    items.push(...drawn('dimension', openPath(point(x1, y1), lineTo(point(x2, y2)))))
  // What stays bare lies opposite the hinge, behind: half way up it.
  const aside = Math.max(a, b)
  const bare = seen.at(Math.PI, 0)
  const beside = point(view.middle + aside + 12, between(point(0, foot), point(0, head), 0.5).y + 4)
  line(bare.x, bare.y, beside.x, beside.y)
  items.push(words(said.seam, point(beside.x + 1, beside.y - 1.4)))
  // Height or slant, along the left side.
  const left = view.middle
  line(left - a - 6, foot, left - b - 6, head)
  line(left - a - 8, foot, left - a - 1, foot)
  line(left - b - 8, head, left - b - 1, head)
  items.push(words(said.side, point(4, 12)))
  line(20, 16, left - (a + b) / 2 - 6, (foot + head) / 2)
  // Girths: the tape lies on the dashes.
  const tape = (r: number, z: number) => ({ r, z })
  const scale = a / low.r
  items.push(...drawn('bare', levelHalf(view, tape(low.r + 1 / scale, low.z + 3 / scale), 'front')))
  items.push(words(said.round, point(view.middle, foot - view.dip(low.r) - 7), 'middle'))
  const roof = Math.max(head + view.dip(high.r), foot + view.dip(low.r))
  if (said.top) {
    items.push(...drawn('bare', levelHalf(view, tape(high.r + 1 / scale, high.z - 3 / scale), 'front')))
    items.push(words(said.top, point(view.middle, roof + 5), 'middle'))
  }
  return { title: 'Where to measure', width: 150, height: Math.max(roof + 14, 60), items }
}
