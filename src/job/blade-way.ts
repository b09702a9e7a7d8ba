import { hpglBytes } from '../file/hpgl/write.ts'
import { point } from '../geometry/point.ts'
import type { Machine } from '../machine/profile.ts'
import type { Side } from '../stroke/side.ts'
import type { FilmSide } from './as-planned.ts'
import { hpglOf } from './hpgl-of.ts'
import type { BladeWay, TipWay } from './preview-data.ts'
import { readBack } from './read-back.ts'

/** What the tool's tip does on one side of a sheet, from the file that is cut, read back; y down from `height`, mm. */
export function bladeWay(side: Side, faces: FilmSide, machine: Machine, height: number): BladeWay {
  const { check, tips } = readBack('file', side, faces, hpglBytes(hpglOf(side.driven, machine)), machine)
  const strokes = tips.map(
    ({ operation, name, way }): TipWay => ({ operation, name, points: way.map(({ x, y }) => point(x, height - y)) }),
  )
  const { worst: distance, at, stroke } = check
  return { strokes, ...(stroke === '' ? {} : { worst: { distance, stroke, x: at.x, y: height - at.y } }) }
}
