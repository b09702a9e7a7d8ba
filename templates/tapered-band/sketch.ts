import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { bandSketch, plainBand, type ShownBand } from '../band-sketch.ts'
import { girthWords } from '../girth-words.ts'
import { isSlanted, rimLetters, rimWords } from '../rim-measures.ts'
import { rimSketch, withRimSketch } from '../rim-sketch.ts'
import type { BandForm } from '../round-band.ts'
import type { TaperedValues } from './template.ts'

/** Shown when no measures are given: a pail with a handle, and one whose rim slants. */
const standIn: BandForm = { bottomGirth: 240, topGirth: 280, slant: 90, bottomGap: 30, topGap: 30 }
const slantedStandIn: BandForm = {
  bottomGirth: 290,
  topGirth: 230,
  slant: 45,
  bottomGap: 0,
  topGap: 0,
  topRim: { tangent: 0.3, high: 0 },
}

/** The pail with its measures, or with the letters of the fields; `shown` is its film. */
export function taperedSketch(v: TaperedValues | undefined, shown: ShownBand | undefined, say: Say): Picture {
  if (!v || !shown) {
    const words = {
      round: 'A  girth at the lower edge',
      top: 'C  girth at the upper edge',
      side: 'B  slant',
      seam: 'G  gap',
    }
    const picture = bandSketch(plainBand(standIn), words)
    return withRimSketch(picture, plainBand(slantedStandIn), rimLetters.words, rimLetters.caption)
  }
  const words = (edge: string, girth: number | undefined, diameter = 0) =>
    girth === undefined ? `${edge} ${say(diameter)} across` : girthWords(`${edge} girth`, girth, say)
  const bottom = words('bottom', v.bottomGirth, v.bottomDiameter)
  const top = words('top', v.topGirth, v.topDiameter)
  const side = v.slant === undefined ? `height ${say(v.height ?? 0)}` : `slant ${say(v.slant)}`
  const part = v.gap !== undefined || v.bottomGap !== undefined
  if (isSlanted(v)) {
    const left = part ? 'left edge' : 'seam line'
    return rimSketch(shown, { ...rimWords(v, say), side, bottom, top, left })
  }
  const bare = v.gap === undefined ? 'gap' : `gap ${say(v.gap)}`
  return bandSketch(shown, { round: bottom, top, side, seam: part ? bare : 'seam' })
}
