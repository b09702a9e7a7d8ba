import { plainMarks } from './plain-marks.ts'

const form = /^(-?\d+(?:[.,]\d+)?)\s*(?:°|deg|degrees?)?$/i

/** Degrees as people write them: 30, "22,5", "30 deg", "30°"; undefined where it is no angle. */
export function readAngle(typed: number | string): number | undefined {
  if (typeof typed === 'number') return Number.isFinite(typed) ? typed : undefined
  const found = form.exec(plainMarks(typed).trim())
  return found ? Number(found[1]?.replace(',', '.')) : undefined
}
