import { type Unit, writeLength } from '../measure/length.ts'
import { markOut } from '../panel/mark-out.ts'
import type { MarkOut } from '../panel/mark-out-words.ts'
import type { Panel } from '../panel/panel.ts'

/** A panel's marking-out list in a job's unit; in mm for metres, which are written to whole millimetres. */
export const markingList = (panel: Panel, unit: Unit): MarkOut =>
  markOut(panel, (length) => writeLength(length, unit === 'm' ? 'mm' : unit))
