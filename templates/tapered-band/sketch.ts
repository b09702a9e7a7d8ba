import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { bandSketch } from '../band-sketch.ts'
import { girthWords } from '../girth-words.ts'
import { isSlanted, rimLetters, rimWords } from '../rim-measures.ts'
import { rimSketch, withRimSketch } from '../rim-sketch.ts'
import type { BandForm } from '../round-band.ts'
import type { TaperedValues } from './template.ts'

const standIn: BandForm = {
  bottomGirth: 290,
  topGirth: 230,
  slant: 45,
  bottomGap: 0,
  topGap: 0,
  topRim: { tangent: 0.3, high: 0 },
}

/** The pail with its measures, or with the letters of the fields; `form` is its film. */
export function taperedSketch(v: TaperedValues | undefined, form: BandForm | undefined, say: Say): Picture {
  if (!v) {
    const words = {
      round: 'A  girth at the lower edge',
      top: 'C  girth at the upper edge',
      side: 'B  slant',
      gap: 'G  gap',
    }
    return withRimSketch(bandSketch(undefined, words), standIn, rimLetters.words, rimLetters.caption)
  }
  const words = (edge: string, girth: number | undefined, diameter = 0) =>
    girth === undefined ? `${edge} ${say(diameter)} across` : girthWords(`${edge} girth`, girth, say)
  const bottom = words('bottom', v.bottomGirth, v.bottomDiameter)
  const top = words('top', v.topGirth, v.topDiameter)
  const side = v.slant === undefined ? `height ${say(v.height ?? 0)}` : `slant ${say(v.slant)}`
  const part = v.gap !== undefined || v.bottomGap !== undefined
  if (form && isSlanted(v)) {
    const left = part ? 'left edge' : 'seam line'
    return rimSketch(form, { ...rimWords(v, say), side, bottom, top, left })
  }
  return bandSketch(
    {
      bottom: v.bottomGirth ?? (v.bottomDiameter ?? 0) * Math.PI,
      top: v.topGirth ?? (v.topDiameter ?? 0) * Math.PI,
      height: v.slant ?? v.height ?? 0,
      part,
    },
    {
      round: bottom,
      top,
      side,
      gap: v.gap === undefined ? 'gap' : `gap ${say(v.gap)}`,
    },
  )
}
