/** Is there a number without a unit in a value as it was written, at any depth? */
export function hasBare(value: unknown): boolean {
  if (typeof value === 'number') return true
  if (typeof value === 'string') return /^[\d\s.,/+-]*\d[\d\s.,/+-]*$/.test(value)
  return typeof value === 'object' && value !== null && Object.values(value).some(hasBare)
}
