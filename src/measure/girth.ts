/**
 * Length round an object of `diameter` along the middle of a film of `filmThickness`, all mm. The middle of a
 * bent sheet keeps its length, so a thickness t adds pi t whatever the diameter.
 */
export function wrapLength(diameter: number, filmThickness: number): number {
  return Math.PI * (diameter + filmThickness)
}

/** Diameter under a tape that reads `reading` all the way round, mm; the tape reads along its own middle. */
export function diameterFromGirth(reading: number, tapeThickness: number): number {
  return reading / Math.PI - tapeThickness
}

/** Length of a film all the way round where a tape reads `reading`, mm; shorter where the tape is the thicker. */
export function filmGirth(reading: number, tapeThickness: number, filmThickness: number): number {
  return reading + Math.PI * (filmThickness - tapeThickness)
}
