import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { bandSketch } from '../band-sketch.ts'
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
  const [bottom, top] = [v.bottomGirth ?? v.bottomDiameter ?? 0, v.topGirth ?? v.topDiameter ?? 0]
  const side = v.slant === undefined ? `height ${say(v.height ?? 0)}` : `slant ${say(v.slant)}`
  const part = v.gap !== undefined || v.bottomGap !== undefined
  if (form && isSlanted(v)) {
    const words = {
      side,
      bottom: `bottom ${say(bottom)}`,
      top: `top ${say(top)}`,
      left: part ? 'left edge' : 'seam line',
    }
    return rimSketch(form, { ...rimWords(v, say), ...words })
  }
  return bandSketch(
    {
      bottom: v.bottomGirth ?? (v.bottomDiameter ?? 0) * Math.PI,
      top: v.topGirth ?? (v.topDiameter ?? 0) * Math.PI,
      height: v.slant ?? v.height ?? 0,
      part,
    },
    {
      round: `bottom ${say(bottom)}`,
      top: `top ${say(top)}`,
      side,
      gap: v.gap === undefined ? 'gap' : `gap ${say(v.gap)}`,
    },
  )
}
