/**
 * Length round an object of `diameter` along the middle of a film of `filmThickness`, all mm. The middle of a
 * bent sheet keeps its length, so a thickness t adds pi t whatever the diameter. On a side that leans the sheet lies
 * square to the side, not to the axis: there t counts by the `cosine` of the lean, 1 upright and 0 on a flat ring.
 */
export function wrapLength(diameter: number, filmThickness: number, cosine = 1): number {
  return Math.PI * (diameter + filmThickness * cosine)
}

/**
 * Diameter under a tape that reads `reading` all the way round, mm; the tape reads along its own middle. A level tape
 * cannot bend edgeways: on a side that leans it stands upright on one edge, so its thickness always counts in full.
 */
export function diameterFromGirth(reading: number, tapeThickness: number): number {
  return reading / Math.PI - tapeThickness
}
