import type { Development } from '../src/panel/development.ts'
import type { Stretch } from '../src/panel/panel.ts'
import { onObject } from '../src/panel/surface.ts'
import type { Drawn } from '../src/picture/picture.ts'
import { filmOnObject, type Seen } from './film-on-object.ts'
import { type BandForm, laidOut } from './round-band.ts'

/** Radius of a band's object half way up the left edge, how fast it grows up the side, and how upright the side stands. */
export function sideOf(form: BandForm) {
  const { mid, half } = laidOut(form)
  const lean = (form.topGirth - form.bottomGirth) / (2 * Math.PI * form.slant)
  return { half, lean, radius: mid / (2 * Math.PI), rise: Math.sqrt(Math.max(0, 1 - lean * lean)) }
}

/** The film of a band on its object; `seen` counts radians round from the hinge, and mm up the side from its middle. */
export function filmOnBand(form: BandForm, film: Development, hung: Stretch, seen: Seen): Drawn[] {
  const { mid, surface, low, high } = laidOut(form)
  const wrap = {
    place: (p: Stretch['from']) => {
      const { round, up } = onObject(surface, p)
      return { round: (2 * Math.PI * round) / mid, up }
    },
    low: (p: Stretch['from']) => low.up(onObject(surface, p).round),
    high: (p: Stretch['from']) => high.up(onObject(surface, p).round),
  }
  return filmOnObject(film, hung, wrap, seen)
}
