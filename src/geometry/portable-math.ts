/**
 * Sine, tangent and their like from plain IEEE 754 arithmetic alone, which is the same everywhere. What a browser or a
 * version of Node has of its own under these names differs in the last bit, and a last bit decides where of two equal
 * places comes first. The builds put these in place of `Math.sin` and so on, in libraries too, so that a page and the
 * command write the same bytes. Kernels and constants of sine, cosine and arc tangent are those of fdlibm (Sun
 * Microsystems, 1993, freely distributable): within one unit in the last place.
 */

const invPio2 = 0.6366197723675814
/** Pi/2 in three parts of 33 bits, and what is left after each. */
const [pio2a, pio2b, pio2c, pio2cTail] = [
  1.5707963267341256, 6.077100506303966e-11, 2.0222662487111665e-21, 8.4784276603689e-32,
]
const pio2bTail = 2.0222662487959506e-21
/** Beyond this the parts are no longer exact multiples; angles of drawings never come near. */
const farthest = 1e6

/** An angle as quarter turns and the rest, in two parts, within an eighth of a turn. */
function reduced(x: number): { readonly quarter: number; readonly high: number; readonly low: number } {
  const own = Math.abs(x) > farthest ? x % (2 * Math.PI) : x
  const n = Math.round(own * invPio2)
  if (n === 0) return { quarter: 0, high: own, low: 0 }
  const first = own - n * pio2a
  let rest = first
  let tail = n * pio2b
  let next = rest - tail
  tail = n * pio2bTail - (rest - next - tail)
  if (Math.abs(next - tail) < Math.abs(own) * 1e-12) {
    // all but cancelled: a third part
    rest = next
    tail = n * pio2c
    next = rest - tail
    tail = n * pio2cTail - (rest - next - tail)
  }
  const high = next - tail
  return { quarter: n & 3, high, low: next - high - tail }
}

const [S1, S2, S3, S4, S5, S6] = [
  -0.16666666666666632, 0.00833333333332249, -0.0001984126982985795, 2.7557313707070068e-6, -2.5050760253406863e-8,
  1.58969099521155e-10,
]

function sineKernel(x: number, y: number): number {
  const z = x * x
  const v = z * x
  const r = S2 + z * (S3 + z * (S4 + z * (S5 + z * S6)))
  return x - (z * (0.5 * y - v * r) - y - v * S1)
}

const [C1, C2, C3, C4, C5, C6] = [
  0.0416666666666666, -0.001388888888887411, 2.480158728947673e-5, -2.7557314351390663e-7, 2.087572321298175e-9,
  -1.1359647557788195e-11,
]

function cosineKernel(x: number, y: number): number {
  const z = x * x
  const r = z * (C1 + z * (C2 + z * (C3 + z * (C4 + z * (C5 + z * C6)))))
  const half = 0.5 * z
  const w = 1 - half
  return w + (1 - w - half + (z * r - x * y))
}

export function sin(x: number): number {
  if (x === 0 || !Number.isFinite(x)) return x - (Number.isFinite(x) ? 0 : x)
  const { quarter, high, low } = reduced(x)
  const value = quarter % 2 === 0 ? sineKernel(high, low) : cosineKernel(high, low)
  return quarter < 2 ? value : -value
}

export function cos(x: number): number {
  if (!Number.isFinite(x)) return Number.NaN
  const { quarter, high, low } = reduced(x)
  const value = quarter % 2 === 0 ? cosineKernel(high, low) : sineKernel(high, low)
  return quarter === 0 || quarter === 3 ? value : -value
}

export function tan(x: number): number {
  return x === 0 ? x : sin(x) / cos(x)
}

const atanHigh = [0.4636476090008061, 0.7853981633974483, 0.982793723247329, 1.5707963267948966]
const atanLow = [2.2698777452961687e-17, 3.061616997868383e-17, 1.3903311031230998e-17, 6.123233995736766e-17]
const A = [
  0.3333333333333293, -0.19999999999876483, 0.14285714272503466, -0.11111110405462356, 0.09090887133436507,
  -0.0769187620504483, 0.06661073137387531, -0.058335701337905735, 0.049768779946159324, -0.036531572744216916,
  0.016285820115365782,
] as const

export function atan(value: number): number {
  if (value === 0 || Number.isNaN(value)) return value
  const own = Math.abs(value)
  // beyond this the arc is a quarter turn to the last bit
  if (own > 1e20) return value > 0 ? Math.PI / 2 : -Math.PI / 2
  let part = -1
  let x = own
  if (own >= 2.4375) [part, x] = [3, -1 / own]
  else if (own >= 1.1875) [part, x] = [2, (own - 1.5) / (1 + 1.5 * own)]
  else if (own >= 0.6875) [part, x] = [1, (own - 1) / (own + 1)]
  else if (own >= 0.4375) [part, x] = [0, (2 * own - 1) / (2 + own)]
  const z = x * x
  const w = z * z
  const s1 = z * (A[0] + w * (A[2] + w * (A[4] + w * (A[6] + w * (A[8] + w * A[10])))))
  const s2 = w * (A[1] + w * (A[3] + w * (A[5] + w * (A[7] + w * A[9]))))
  const arc =
    part < 0 ? x - x * (s1 + s2) : (atanHigh[part] as number) - (x * (s1 + s2) - (atanLow[part] as number) - x)
  return value < 0 ? -arc : arc
}

/** What pi is above the nearest double. */
const piLow = 1.2246467991473532e-16

export function atan2(y: number, x: number): number {
  if (Number.isNaN(x) || Number.isNaN(y)) return Number.NaN
  const below = y < 0 || Object.is(y, -0)
  const signed = (arc: number) => (below ? -arc : arc)
  const isLeft = x < 0 || Object.is(x, -0)
  if (y === 0) return signed(isLeft ? Math.PI : 0)
  if (x === 0) return signed(Math.PI / 2)
  if (Math.abs(x) === Infinity) {
    if (Math.abs(y) === Infinity) return signed(isLeft ? (3 * Math.PI) / 4 : Math.PI / 4)
    return signed(isLeft ? Math.PI : 0)
  }
  if (Math.abs(y) === Infinity) return signed(Math.PI / 2)
  const arc = atan(Math.abs(y / x))
  return signed(isLeft ? Math.PI - (arc - piLow) : arc)
}

export function asin(x: number): number {
  return x === 0 ? x : atan2(x, Math.sqrt((1 - x) * (1 + x)))
}

export function acos(x: number): number {
  return atan2(Math.sqrt((1 - x) * (1 + x)), x)
}

export function hypot(...values: readonly number[]): number {
  let most = 0
  let sum = 0
  for (const value of values) {
    most = Math.max(most, Math.abs(value))
    sum += value * value
  }
  if (most === 0 || most === Infinity || (sum > 1e-280 && sum < 1e300)) return most === Infinity ? most : Math.sqrt(sum)
  let scaled = 0
  for (const value of values) scaled += (value / most) * (value / most)
  return most * Math.sqrt(scaled)
}

const { pow: platformPow } = Math

/** Whole powers by multiplying; others are left to the platform, and nothing here asks for them. */
export function pow(base: number, power: number): number {
  if (!Number.isInteger(power) || Math.abs(power) > 1100) return platformPow(base, power)
  let [left, square, product] = [Math.abs(power), base, 1]
  while (left > 0) {
    if (left % 2 === 1) product *= square
    square *= square
    left = Math.floor(left / 2)
  }
  return power < 0 ? 1 / product : product
}
