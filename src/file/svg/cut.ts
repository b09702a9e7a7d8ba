import { strokeStyles } from '../../picture/strokes-picture.ts'
import { looks } from '../../picture/styles.ts'
import type { Stroke } from '../../stroke/stroke.ts'
import { decimal } from '../number.ts'
import { addChild, svgDocument, svgPlaces } from './document.ts'
import { writePathData } from './pathdata.ts'

/**
 * SVG for software that drives a cutter: 1:1 in mm, one titled group an operation in the order of their first strokes,
 * nothing but paths in it. `size` in mm; y is flipped about the height as it is written.
 */
export function writeCutSvg(
  strokes: readonly Stroke[],
  size: { readonly width: number; readonly height: number },
): string {
  const height = Number(decimal(size.height, svgPlaces))
  return svgDocument(size.width, size.height, (root) => {
    for (const operation of new Set(strokes.map((stroke) => stroke.operation))) {
      const look = looks[strokeStyles[operation]]
      const group = addChild(root, 'g', {
        id: operation,
        'data-operation': operation,
        fill: 'none',
        stroke: look.colour,
        'stroke-width': decimal(look.width, svgPlaces),
        ...(look.dashes.length > 0
          ? { 'stroke-dasharray': look.dashes.map((dash) => decimal(dash, svgPlaces)).join(' ') }
          : {}),
      })
      addChild(group, 'title').words(look.means)
      for (const stroke of strokes) {
        if (stroke.operation !== operation) continue
        addChild(group, 'path', { d: writePathData(stroke.path, height, svgPlaces), 'data-name': stroke.name })
      }
    }
  })
}
