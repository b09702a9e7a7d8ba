import type { Development } from '../../src/panel/development.ts'
import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { across, faceSketch } from '../face-sketch.ts'

export function stadiumSketch(
  face: Development,
  measured: { readonly length: number; readonly width: number } | undefined,
  say: Say,
): Picture {
  const { below, right, drops } = across(face)
  return faceSketch(
    face,
    [
      { ...below, beside: -8, text: measured ? say(measured.length) : 'A  length' },
      { ...right, beside: -8, text: measured ? say(measured.width) : 'B  width' },
    ],
    {
      lines: [...drops.below, ...drops.right],
      rim: { top: 8 },
      under: measured ? [] : ['Both over all. The ends are half circles as wide as the face.'],
    },
  )
}
