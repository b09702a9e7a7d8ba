import { readPlot } from '../file/hpgl/read.ts'
import { writeDrawing } from '../file/svg/draw.ts'
import { boundsOf } from '../geometry/bounds.ts'
import { scaling, transform } from '../geometry/transform.ts'
import { pathFromMachine } from '../machine/axes.ts'
import type { Machine } from '../machine/profile.ts'
import { strokesPicture } from '../picture/strokes-picture.ts'
import { operations, type Stroke } from '../stroke/stroke.ts'

/** What a machine did with the bytes that it carried out, as a drawing on film of its size; SVG. */
export function drawnSvg(done: Uint8Array, machine: Machine | undefined): string {
  const strokes = readPlot(done, { unitsPerMm: 1 }).strokes.map(({ pen, path }): Stroke => {
    const operation = operations.find((each) => machine?.tools[each]?.number === pen) ?? 'kiss'
    const onSheet = machine ? pathFromMachine(machine, path) : transform(path, scaling(1 / 40, 1 / 40))
    return { operation, name: `pen ${pen}`, path: onSheet }
  })
  const { high } = strokes.length > 0 ? boundsOf(strokes.map(({ path }) => path)) : { high: { x: 90, y: 90 } }
  const size = machine?.film === 'sheet' ? machine.area : { x: high.x + 10, y: machine?.area.y ?? high.y + 10 }
  return writeDrawing(strokesPicture(strokes, size, 'What was cut'))
}
