import { writeHpgl } from '../file/hpgl/write.ts'
import { defaultTolerance } from '../geometry/flatten.ts'
import { mapPoint } from '../geometry/transform.ts'
import { unitsFromSheet } from '../machine/axes.ts'
import { type Machine, reachOf } from '../machine/profile.ts'
import type { Stroke } from '../stroke/stroke.ts'

/** HP-GL as a machine takes it, one character a byte: its tools, its axes, its dialect. Throws a `Refusal`. */
export function hpglOf(driven: readonly Stroke[], machine: Machine): string {
  const { unitsPerMm, tools, axes, range, dialect, encodedBits, arcs, lineBytes, start, end } = machine
  const units = unitsFromSheet(machine)
  return writeHpgl(driven, {
    unitsPerMm: unitsPerMm.x,
    pens: {},
    tools,
    area: reachOf(machine).high,
    toUnits: (p) => mapPoint(units, p),
    negative: axes.origin === 'middle',
    range,
    tolerance: defaultTolerance,
    dialect,
    encodedBits,
    arcs,
    lineBytes,
    start,
    end,
  })
}
