const powers = [1, 10, 100, 1000, 10_000, 100_000, 1_000_000]
/** Numbers below this many of their last place are told from their neighbours by a double, with much to spare. */
const most = 1e12
/** Nearer than this to a half of the last place rounding is left to the exact way. */
const nearHalf = 1e-3

/**
 * The one gate from a number to text in a drawing: at most `places` decimals (0..100), trailing zeros dropped,
 * never an exponent and never -0. Refuses what is not finite, and 1e21 or more, which has no plain form.
 */
export function decimal(value: number, places: number): string {
  const power = powers[places]
  if (power !== undefined) {
    const scaled = Math.abs(value) * power
    const whole = Math.round(scaled)
    if (scaled < most && Math.abs(Math.abs(scaled - whole) - 0.5) > nearHalf)
      return plain(value < 0, whole, power, places)
  }
  return exact(value, places)
}

/** The text of `whole` / `power`, which is 10^places. */
function plain(isNegative: boolean, whole: number, power: number, places: number): string {
  const units = Math.floor(whole / power)
  let rest = whole - units * power
  const sign = isNegative && whole > 0 ? '-' : ''
  if (rest === 0) return `${sign}${units}`
  let digits = places
  while (rest % 10 === 0) {
    rest /= 10
    digits--
  }
  return `${sign}${units}.${String(rest).padStart(digits, '0')}`
}

/** Rounded by the exact value of the number, which takes longer. */
function exact(value: number, places: number): string {
  if (!(Math.abs(value) < 1e21)) throw new RangeError(`${value} cannot be written as a plain number`)
  const fixed = value.toFixed(places)
  let end = fixed.length
  if (places > 0) {
    while (fixed.endsWith('0', end)) end--
    if (fixed.endsWith('.', end)) end--
  }
  const text = fixed.slice(0, end)
  return text === '-0' ? '0' : text
}
