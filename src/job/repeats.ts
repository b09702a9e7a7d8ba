/** The places of names that stand before them already, each with the place of the first of its name; undefined is none. */
export function repeats(names: readonly (string | undefined)[]): { readonly at: number; readonly first: number }[] {
  const seen = new Map<string, number>()
  return names.flatMap((name, at) => {
    if (name === undefined) return []
    const first = seen.get(name)
    if (first !== undefined) return [{ at, first }]
    seen.set(name, at)
    return []
  })
}
