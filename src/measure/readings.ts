/** Accuracy class printed on a tape sold in the EU or the UK. */
export type TapeClass = 'I' | 'II' | 'III'

/** mm, and mm per metre begun: Directive 2014/32/EU Annex X (MI-008) chapter I; UK SI 2016/1153 Schedule 1I. */
const errorTerms: Readonly<Record<TapeClass, readonly [a: number, b: number]>> = {
  I: [0.1, 0.1],
  II: [0.3, 0.2],
  III: [0.6, 0.4],
}

/**
 * How far off a tape of the class may be at `mm`, either way, in mm: a + b L, with L in metres rounded up to the
 * next whole one. The further term for a reading that starts at the tape's hook is left out. The sign of `mm`
 * does not count.
 */
export function tapeErrorLimit(mm: number, tapeClass: TapeClass): number {
  const [a, b] = errorTerms[tapeClass]
  return a + b * Math.ceil(Math.abs(mm) / 1000)
}

/** What several readings of one length say together; all in mm. */
interface Combined {
  readonly mean: number
  /** the greatest less the least; 0 of one reading */
  readonly spread: number
  /** the tape's error limit at the mean */
  readonly limit: number
  /** do the readings differ more than the tape explains? */
  readonly doubtful: boolean
}

/** Sums of tenths are not exact in binary; a spread of just the limit stays free of doubt. */
const slack = 1e-9

/**
 * One or more readings, mm, of one length. Two readings may each be off by the limit, opposite ways, so they are
 * doubtful past a spread of twice the limit. Throws a RangeError when there is no reading.
 */
export function combineReadings(readings: readonly number[], tape: TapeClass): Combined {
  if (readings.length === 0) throw new RangeError('no reading to combine')
  const mean = readings.reduce((sum, reading) => sum + reading, 0) / readings.length
  const greatest = readings.reduce((a, b) => Math.max(a, b))
  const least = readings.reduce((a, b) => Math.min(a, b))
  const spread = greatest - least
  const limit = tapeErrorLimit(mean, tape)
  return { mean, spread, limit, doubtful: spread > 2 * limit + slack }
}
