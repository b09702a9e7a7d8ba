import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { bandSketch, plainBand, type ShownBand } from '../band-sketch.ts'
import { girthWords } from '../girth-words.ts'
import { isSlanted, rimLetters, rimWords } from '../rim-measures.ts'
import { rimSketch, withRimSketch } from '../rim-sketch.ts'
import type { BandForm } from '../round-band.ts'
import type { StraightValues } from './template.ts'

/** Shown when no measures are given: a tin with a handle, and one whose rim slants. */
const standIn: BandForm = { bottomGirth: 280, topGirth: 280, slant: 90, bottomGap: 30, topGap: 30 }
const slantedStandIn: BandForm = {
  ...standIn,
  slant: 45,
  bottomGap: 0,
  topGap: 0,
  topRim: { tangent: 0.3, high: 0 },
}

/** The tin with its measures, or with the letters of the fields; `shown` is its film. */
export function straightSketch(values: StraightValues | undefined, shown: ShownBand | undefined, say: Say): Picture {
  if (!values || !shown) {
    const words = {
      round: 'A  girth (D: diameter across, S: span round to the other edge)',
      side: 'B  height',
      seam: 'G  gap',
    }
    const picture = bandSketch(plainBand(standIn), words)
    return withRimSketch(picture, plainBand(slantedStandIn), rimLetters.words, rimLetters.caption)
  }
  const { girth, diameter, span, height, gap } = values
  const round = girth
    ? girthWords('girth', girth, say)
    : diameter
      ? `diameter ${say(diameter)}`
      : `span ${say(span ?? 0)}`
  const part = gap !== undefined || span !== undefined
  if (isSlanted(values)) {
    const words = { side: `height ${say(height)}`, top: round, left: part ? 'left edge' : 'seam line' }
    return rimSketch(shown, { ...rimWords(values, say), ...words })
  }
  const known = girth !== undefined || diameter !== undefined
  const bare = gap ? `gap ${say(gap)}` : known ? 'gap' : 'gap, not to scale'
  return bandSketch(shown, { round, side: `height ${say(height)}`, seam: part ? bare : 'seam' })
}
