import type { Development } from '../../src/panel/development.ts'
import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { across, faceSketch } from '../face-sketch.ts'

export function discSketch(face: Development, measured: { readonly diameter: number } | undefined, say: Say): Picture {
  const { level } = across(face)
  return faceSketch(
    face,
    [{ ...level, beside: 0, text: measured ? say(measured.diameter) : 'A  diameter', textAt: 0.27 }],
    {
      rim: { bottom: 8, top: 8 },
      under: measured ? [] : ['Swing the tape until it reads the most: that is through the middle.'],
    },
  )
}
