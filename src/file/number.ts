/**
 * The one gate from a number to text in a drawing: at most `places` decimals (0..100), trailing zeros dropped,
 * never an exponent and never -0. Refuses what is not finite, and 1e21 or more, which has no plain form.
 */
export function decimal(value: number, places: number): string {
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
