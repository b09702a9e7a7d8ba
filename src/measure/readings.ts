/** Accuracy class printed on a tape sold in the EU or the UK. */
export type TapeClass = 'I' | 'II' | 'III'

/** What readings were taken with: a tape of a class, or a calliper where a length is too thin for a tape. */
export type Gauge = TapeClass | 'calliper'

/** mm, and mm per metre begun: Directive 2014/32/EU Annex X (MI-008) chapter I; UK SI 2016/1153 Schedule 1I. */
const errorTerms: Readonly<Record<TapeClass, readonly [a: number, b: number]>> = {
  I: [0.1, 0.1],
  II: [0.3, 0.2],
  III: [0.6, 0.4],
}

/** How far off a hand-held calliper may be, mm (common practice, no source). */
const calliperLimit = 0.02

/**
 * How far off a tape of the class may be at `mm`, either way, in mm: a + b L, with L in metres rounded up to the
 * next whole one. The further term for a reading that starts at the tape's hook is left out. The sign of `mm`
 * does not count.
 */
export function tapeErrorLimit(mm: number, tapeClass: TapeClass): number {
  const [a, b] = errorTerms[tapeClass]
  return a + b * Math.ceil(Math.abs(mm) / 1000)
}

/**
 * Past this spread, mm, readings cannot be of one length: what the tape may err by, four times over, but no less than
 * the 3 mm or 1 % by which a hand holds a tape askew; of a calliper 0.1 mm or a tenth (common practice, no source).
 */
function mostApart(mm: number, limit: number, gauge: Gauge): number {
  const size = Math.abs(mm)
  return gauge === 'calliper' ? Math.max(0.1, 0.1 * size) : Math.max(4 * limit, 3, 0.01 * size)
}

/** What several readings of one length say together; all in mm. */
interface Combined {
  readonly mean: number
  /** the greatest less the least; 0 of one reading */
  readonly spread: number
  /** the spread that the gauge explains */
  readonly explained: number
  /** the spread past which they cannot be of one length */
  readonly most: number
  /** do they agree, differ by more than the gauge explains, or contradict each other? */
  readonly verdict: 'agree' | 'doubtful' | 'apart'
}

/** Sums of tenths are not exact in binary; a spread of just the limit stays free of doubt. */
const slack = 1e-9

/**
 * One or more readings, mm, of one length. Two readings may each be off by the gauge's limit, opposite ways, so they
 * are doubtful past a spread of twice the limit. Throws a RangeError when there is no reading.
 */
export function combineReadings(readings: readonly number[], gauge: Gauge): Combined {
  if (readings.length === 0) throw new RangeError('no reading to combine')
  const mean = readings.reduce((sum, reading) => sum + reading, 0) / readings.length
  const greatest = readings.reduce((a, b) => Math.max(a, b))
  const least = readings.reduce((a, b) => Math.min(a, b))
  const spread = greatest - least
  const limit = gauge === 'calliper' ? calliperLimit : tapeErrorLimit(mean, gauge)
  const [explained, most] = [2 * limit, mostApart(mean, limit, gauge)]
  const verdict = spread > most + slack ? 'apart' : spread > explained + slack ? 'doubtful' : 'agree'
  return { mean, spread, explained, most, verdict }
}

/**
 * Places in the list of the readings farthest from the median of the others; none of fewer than three readings, nor
 * where all are equally far.
 */
export function oddReadings(readings: readonly number[]): number[] {
  if (readings.length < 3) return []
  const away = readings.map((mm, i) => Math.abs(mm - median(readings.filter((_, k) => k !== i))))
  const most = away.reduce((a, b) => Math.max(a, b))
  const found = [...away.keys()].filter((i) => (away[i] as number) > most - slack)
  return found.length === readings.length ? [] : found
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length / 2
  return ((sorted[Math.ceil(middle) - 1] as number) + (sorted[Math.floor(middle)] as number)) / 2
}
