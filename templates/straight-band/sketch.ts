import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { bandSketch } from '../band-sketch.ts'
import { girthWords } from '../girth-words.ts'
import { isSlanted, rimLetters, rimWords } from '../rim-measures.ts'
import { rimSketch, withRimSketch } from '../rim-sketch.ts'
import type { BandForm } from '../round-band.ts'
import type { StraightValues } from './template.ts'

const standIn: BandForm = {
  bottomGirth: 280,
  topGirth: 280,
  slant: 45,
  bottomGap: 0,
  topGap: 0,
  topRim: { tangent: 0.3, high: 0 },
}

/** The tin with its measures, or with the letters of the fields; `form` is its film where rims slant. */
export function straightSketch(values: StraightValues | undefined, form: BandForm | undefined, say: Say): Picture {
  if (!values) {
    const words = {
      round: 'A  girth (D: diameter across, S: span round to the other edge)',
      side: 'B  height',
      gap: 'G  gap',
    }
    return withRimSketch(bandSketch(undefined, words), standIn, rimLetters.words, rimLetters.caption)
  }
  const { girth, diameter, span, height, gap } = values
  const round = girth
    ? girthWords('girth', girth, say)
    : diameter
      ? `diameter ${say(diameter)}`
      : `span ${say(span ?? 0)}`
  if (form && isSlanted(values)) {
    const part = gap !== undefined || span !== undefined
    const words = { side: `height ${say(height)}`, top: round, left: part ? 'left edge' : 'seam line' }
    return rimSketch(form, { ...rimWords(values, say), ...words })
  }
  const across = girth ?? (diameter ?? (span ?? 0) / 2.8) * Math.PI
  return bandSketch(
    { bottom: across, top: across, height, part: gap !== undefined || span !== undefined },
    { round, side: `height ${say(height)}`, gap: gap ? `gap ${say(gap)}` : 'gap' },
  )
}
