import type { Development } from '../../src/panel/development.ts'
import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { across, faceSketch } from '../face-sketch.ts'

export function ovalSketch(
  face: Development,
  measured: { readonly width: number; readonly height: number } | undefined,
  say: Say,
): Picture {
  const { below, right, drops } = across(face)
  return faceSketch(
    face,
    [
      { ...below, beside: -8, text: measured ? say(measured.width) : 'A  width' },
      { ...right, beside: -8, text: measured ? say(measured.height) : 'B  height' },
    ],
    {
      lines: [...drops.below, ...drops.right],
      rim: { top: 8 },
      under: measured ? [] : ['Width and height each where they read the most.'],
    },
  )
}
