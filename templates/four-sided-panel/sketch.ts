import type { Development } from '../../src/panel/development.ts'
import type { Say } from '../../src/panel/template.ts'
import type { Picture } from '../../src/picture/picture.ts'
import { faceSketch } from '../face-sketch.ts'
import { outlineOf } from '../flat-face.ts'
import type { LengthName } from '../quadrilateral.ts'

/** The face with its sides and the diagonals that were measured, or with the letters of all six. */
export function fourSidedSketch(
  face: Development,
  measured: Partial<Record<LengthName, number | undefined>> | undefined,
  say: Say,
): Picture {
  const { start: a, segments } = outlineOf(face.edges)
  const [b = a, c = a, d = a] = segments.map((segment) => segment.to)
  const words = (name: LengthName, letter: string, plain: string) => {
    const mm = measured?.[name]
    return measured ? (mm === undefined ? undefined : say(mm)) : `${letter}  ${plain}`
  }
  const arrows = [
    { from: a, to: b, beside: -8, text: words('bottom', 'A', 'bottom') },
    { from: b, to: c, beside: -8, text: words('right', 'B', 'right') },
    { from: c, to: d, beside: -8, text: words('top', 'C', 'top') },
    { from: d, to: a, beside: -8, text: words('left', 'D', 'left') },
  ].flatMap(({ text, ...arrow }) => (text === undefined ? [] : [{ ...arrow, text }]))
  const diagonals = [
    { from: a, to: c, text: words('bottomLeftToTopRight', 'E', 'diagonal') },
    { from: b, to: d, text: words('bottomRightToTopLeft', 'F', 'diagonal') },
  ].flatMap(({ text, ...arrow }) => (text === undefined ? [] : [{ ...arrow, beside: 0, text, textAt: 0.25 }]))
  return faceSketch(face, [...arrows, ...diagonals], {
    hingeName: 0.72,
    under: measured
      ? []
      : [
          'E  from the bottom left corner to the top right corner',
          'F  from the bottom right corner to the top left corner',
          'One diagonal is enough; with both, the readings check each other.',
          'fromLeft: along the bottom edge from its left end; fromBottom: square to it',
        ],
  })
}
