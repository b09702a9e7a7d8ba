import { isMap, isScalar, parseDocument } from 'yaml'
import type { Machine } from './profile.ts'
import { readProfile } from './read-profile.ts'
import type { LengthName, TestReadings } from './test-readings.ts'

/** A value with its standard uncertainty. */
export interface Estimate {
  readonly value: number
  readonly uncertainty: number
}

/** What a test piece says of the machine that cut it. */
export interface Calibration {
  /** how long the machine makes what should be 1 mm, along its own first (x) and second (y) axis, with the profile as it was */
  readonly scale: { readonly x: Estimate; readonly y: Estimate }
  /** of the machine itself, for the profile */
  readonly unitsPerMm: { readonly x: Estimate; readonly y: Estimate }
  /** of the machine itself, radians, for the profile */
  readonly skew: Estimate
  /** mm; left out where nothing was read of it */
  readonly offset: Estimate | undefined
  /** each length as it was read on average and as the result makes it, mm */
  readonly lengths: readonly { readonly name: LengthName; readonly read: number; readonly fitted: number }[]
  /** standard uncertainty of a single reading that the result reckons with, mm */
  readonly reading: number
  readonly doubts: readonly string[]
}

/** A blade that nothing allows for comes no nearer to a corner of 90 degrees than this many offsets (a tractrix). */
export const cornerShare = 0.662743

/** mm from one rung of the ladder of offsets to the next, and standard uncertainty of a corner seen through a lens. */
const rungStep = 0.1
const cornerReading = 0.05

/** The figure as it came out: its sides along the machine's own axes, mm, and the cosine of the angle between them. */
type Figure = readonly [first: number, second: number, cosine: number]

type Way = 'first' | 'second' | 'sum' | 'difference'

/** Each length as a function of the figure; `sum` runs the way of both axes at once. */
const lengthOf: Readonly<Record<Way, (figure: Figure) => number>> = {
  first: ([a]) => a,
  second: ([, b]) => b,
  sum: ([a, b, c]) => Math.sqrt(a * a + b * b + 2 * a * b * c),
  difference: ([a, b, c]) => Math.sqrt(a * a + b * b - 2 * a * b * c),
}

/** Which of the machine's own ways each length of the test piece runs. */
function waysOf({ origin, swap }: Machine['axes']): Readonly<Record<LengthName, Way>> {
  const along = swap ? 'second' : 'first'
  const across = swap ? 'first' : 'second'
  const turnedOver = origin === 'low right' || origin === 'high left'
  const [rising, falling] = turnedOver ? (['difference', 'sum'] as const) : (['sum', 'difference'] as const)
  return { bottom: along, top: along, left: across, right: across, diagonalAC: rising, diagonalBD: falling }
}

/**
 * Scales, skew and blade offset of a machine from what its test piece measures. The six lengths are adjusted together
 * by least squares: an affine machine turns the square into a parallelogram, whose two sides and angle are three
 * unknowns, so three of the six are over and show a slip. Repeated readings weigh by their number. The uncertainty of
 * a reading is that stated, or more where the readings do not agree as well as that. A rule that is too long or too
 * short falsifies both scales alike, and does not show in the readings; its share is put on top.
 */
export function calibrate(machine: Machine, readings: TestReadings): Calibration {
  const ways = waysOf(machine.axes)
  const means = readings.lengths.map(({ name, read }) => ({
    name,
    way: ways[name],
    n: read.length,
    mean: meanOf(read),
  }))
  const start = (way: Way) => meanOf(means.filter((m) => m.way === way).map((m) => m.mean))
  let figure: Figure = [start('first'), start('second'), 0]
  let normal = normalOf(figure, means)
  for (let i = 0; i < 20; i++) {
    const off = means.map(({ way, mean }) => mean - lengthOf[way](figure))
    const right = [0, 1, 2].map((k) => means.reduce((s, { n }, j) => s + n * at(normal.slopes[j], k) * at(off, j), 0))
    const step = normal.inverse.map((row) => row.reduce((s, v, k) => s + v * at(right, k), 0))
    figure = [figure[0] + at(step, 0), figure[1] + at(step, 1), figure[2] + at(step, 2)]
    normal = normalOf(figure, means)
    if (Math.abs(at(step, 0)) + Math.abs(at(step, 1)) < 1e-10 && Math.abs(at(step, 2)) < 1e-13) break
  }
  const fit = means.map(({ name, way, mean, n }) => ({ name, n, read: mean, fitted: lengthOf[way](figure) }))
  const between = fit.reduce((sum, { n, read, fitted }) => sum + n * (read - fitted) ** 2, 0)
  const within = readings.lengths.reduce((sum, { read }) => sum + scatter(read), 0)
  const over = readings.lengths.reduce((sum, { read }) => sum + read.length, 0) - 3
  const seen = over > 0 ? Math.sqrt((between + within) / over) : 0
  const reading = Math.max(readings.reading, seen)
  const covariance = normal.inverse.map((row) => row.map((v) => v * reading ** 2))
  const spread = (of: (figure: Figure) => number) => uncertaintyOf(of, figure, covariance)
  const ruleShare = readings.rule / Math.sqrt(3) / Math.max(...means.map(({ mean }) => mean))
  const estimate = (of: (figure: Figure) => number, share: number): Estimate => ({
    value: of(figure),
    uncertainty: Math.hypot(spread(of), of(figure) * share),
  })
  const made = (own: 'x' | 'y') => (f: Figure) => axesOf(machine, f, readings.side)[own]
  const perMm = (own: 'x' | 'y') => (f: Figure) => machine.unitsPerMm[own] / made(own)(f)
  const both = <T>(of: (own: 'x' | 'y') => T) => ({ x: of('x'), y: of('y') })
  return {
    scale: both((own) => estimate(made(own), ruleShare)),
    unitsPerMm: both((own) => estimate(perMm(own), ruleShare)),
    skew: estimate((f) => axesOf(machine, f, readings.side).skew, 0),
    offset: offsetOf(readings),
    lengths: fit.map(({ name, read, fitted }) => ({ name, read, fitted })),
    reading,
    doubts: doubtsOf(fit, readings, seen),
  }
}

/**
 * The machine's own axes from the figure it made. With the profile's units k and skew g, a place (x, y) was sent as
 * k.x (x - y tan g), k.y y / cos g, and the machine made of it x and y steps along axes that lean by the true skew.
 */
function axesOf({ skew }: Machine, [a, b, c]: Figure, side: number): { x: number; y: number; skew: number } {
  const along = Math.cos(skew) * ((b * c) / side + (a / side) * Math.tan(skew))
  const square = (Math.cos(skew) * b * Math.sqrt(1 - c * c)) / side
  return { x: a / side, y: Math.hypot(along, square), skew: Math.atan2(along, square) }
}

/** Slopes of each length by the figure, and the inverse of the normal matrix. */
function normalOf(figure: Figure, means: readonly { readonly way: Way; readonly n: number }[]) {
  const slopes = means.map(({ way }) => slopeOf(lengthOf[way], figure))
  const rows = [0, 1, 2].map((i) =>
    [0, 1, 2].map((k) => means.reduce((s, { n }, j) => s + n * at(slopes[j], i) * at(slopes[j], k), 0)),
  )
  return { slopes, inverse: inverted(rows) }
}

/** Slopes by each part of the figure, by central differences. */
function slopeOf(of: (figure: Figure) => number, figure: Figure): number[] {
  return figure.map((_, k) => {
    const h = k === 2 ? 1e-5 : 1e-3
    const moved = (by: number): Figure => [
      figure[0] + (k === 0 ? by : 0),
      figure[1] + (k === 1 ? by : 0),
      figure[2] + (k === 2 ? by : 0),
    ]
    return (of(moved(h)) - of(moved(-h))) / (2 * h)
  })
}

function uncertaintyOf(of: (figure: Figure) => number, figure: Figure, covariance: readonly number[][]): number {
  const slope = slopeOf(of, figure)
  return Math.sqrt(slope.reduce((sum, s, i) => sum + s * slope.reduce((t, u, k) => t + u * at(covariance[i], k), 0), 0))
}

/** The inverse of a symmetric 3 by 3 matrix, by its cofactors. */
function inverted(m: readonly (readonly number[])[]): number[][] {
  const v = (i: number, k: number) => at(m[i % 3], k % 3)
  const cofactor = (i: number, k: number) => v(i + 1, k + 1) * v(i + 2, k + 2) - v(i + 1, k + 2) * v(i + 2, k + 1)
  const whole = [0, 1, 2].reduce((sum, k) => sum + v(0, k) * cofactor(0, k), 0)
  return [0, 1, 2].map((i) => [0, 1, 2].map((k) => cofactor(k, i) / whole))
}

const at = (row: readonly number[] | undefined, i: number): number => row?.[i] ?? Number.NaN
const meanOf = (list: readonly number[]): number => list.reduce((sum, v) => sum + v, 0) / list.length
const scatter = (list: readonly number[]): number => {
  const mean = meanOf(list)
  return list.reduce((sum, v) => sum + (v - mean) ** 2, 0)
}

/** The rung stands for every offset nearer to it than to its neighbours; a corner is a reading like another. */
function offsetOf({ rung, corner }: TestReadings): Estimate | undefined {
  const found: Estimate[] = []
  if (rung.length > 0) {
    const uncertainty = Math.hypot(rungStep / Math.sqrt(12), Math.sqrt(scatter(rung)) / rung.length)
    found.push({ value: meanOf(rung), uncertainty })
  }
  if (corner.length > 0) {
    const each = Math.max(cornerReading, corner.length > 1 ? Math.sqrt(scatter(corner) / (corner.length - 1)) : 0)
    const uncertainty = each / Math.sqrt(corner.length) / cornerShare
    found.push({ value: meanOf(corner) / cornerShare, uncertainty })
  }
  const weight = found.reduce((sum, { uncertainty }) => sum + uncertainty ** -2, 0)
  if (found.length === 0) return undefined
  const value = found.reduce((sum, e) => sum + e.value * e.uncertainty ** -2, 0) / weight
  return { value, uncertainty: weight ** -0.5 }
}

function doubtsOf(
  fit: readonly { readonly name: LengthName; readonly read: number; readonly fitted: number }[],
  { lengths, reading, rung, corner, letters }: TestReadings,
  seen: number,
): string[] {
  const doubts = lengths.flatMap(({ name, read }) => {
    const spread = Math.max(...read) - Math.min(...read)
    return spread > 4 * reading ? [`The readings of ${name} differ by ${spread.toFixed(2)} mm. Read it again.`] : []
  })
  if (seen > 2 * reading) {
    const worst = fit.reduce((a, b) => (Math.abs(b.read - b.fitted) > Math.abs(a.read - a.fitted) ? b : a))
    const off = Math.abs(worst.read - worst.fitted).toFixed(2)
    doubts.push(
      `The lengths do not belong to one figure: ${worst.name} is ${off} mm off the others. Read that again first.`,
    )
  }
  if (letters === undefined) {
    doubts.push(
      'Nothing is said of letters. Where those of the test piece are mirrored, all panels are: write normal or mirrored.',
    )
  }
  const [byRung, byCorner] = [meanOf(rung), meanOf(corner) / cornerShare]
  if (Math.abs(byRung - byCorner) > 0.25) {
    doubts.push(`The best rung says ${byRung.toFixed(2)} mm of blade offset, the corner ${byCorner.toFixed(2)} mm.`)
  }
  return doubts
}

/** Is a change more than the readings can make up? Twice the standard uncertainty, about 95 of 100. */
const tells = (was: number, { value, uncertainty }: Estimate): boolean => Math.abs(value - was) > 2 * uncertainty

/** What of a profile changes, and what stays although it came out a little different. */
export interface Changed {
  readonly text: string
  readonly changes: readonly string[]
  readonly kept: readonly string[]
}

/**
 * A profile's text with what the test piece showed put in; all else stays, comments too. A value that differs by no
 * more than twice its standard uncertainty stays as well. `text` is one that `readProfile` took as `machine`.
 */
export function changedProfile(text: string, machine: Machine, found: Calibration): Changed {
  const document = parseDocument(text)
  const changes: string[] = []
  const kept: string[] = []
  const judge = (what: string, was: number, now: Estimate, unit: string, digits: number): boolean => {
    const words = `${now.value.toFixed(digits)} +- ${now.uncertainty.toFixed(digits)} ${unit}`
    if (tells(was, now)) changes.push(`${what}: ${words}, was ${Number(was.toFixed(digits))}`)
    else kept.push(`${what}: ${words}; ${Number(was.toFixed(digits))} stays`)
    return tells(was, now)
  }
  const { x, y } = machine.unitsPerMm
  const changesX = judge('units in a mm, X', x, found.unitsPerMm.x, 'units', 4)
  const changesY = judge('units in a mm, Y', y, found.unitsPerMm.y, 'units', 4)
  if (changesX || changesY) {
    const units = {
      x: changesX ? rounded(found.unitsPerMm.x.value, 4) : x,
      y: changesY ? rounded(found.unitsPerMm.y.value, 4) : y,
    }
    const before = document.get('unitsPerMm', true)
    if (isMap(before)) {
      before.set('x', units.x)
      before.set('y', units.y)
    } else {
      const both = document.createNode(units, { flow: true })
      if (isScalar(before) && before.comment) both.comment = before.comment
      document.set('unitsPerMm', both)
    }
  }
  const degrees = (radians: number) => (radians * 180) / Math.PI
  const skew = { value: degrees(found.skew.value), uncertainty: degrees(found.skew.uncertainty) }
  if (judge('skew', degrees(machine.skew), skew, 'deg', 3)) {
    document.set('skew', `${rounded(skew.value, 4)} deg`)
  }
  if (found.offset && judge('blade offset', machine.blade.offset, found.offset, 'mm', 2)) {
    document.setIn(['blade', 'offset'], `${rounded(found.offset.value, 2)} mm`)
  }
  const changed = changes.length > 0 ? document.toString({ lineWidth: 0 }) : text
  const { problems } = readProfile(changed)
  const [wrong] = problems
  if (wrong) throw new RangeError(`${wrong.field} would be ${wrong.value}; ${wrong.limit}. Check the readings.`)
  return { text: changed, changes, kept }
}

const rounded = (value: number, digits: number): number => Number(value.toFixed(digits))
