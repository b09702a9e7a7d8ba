import type { AnyValues, Say, Specs } from '../panel/template.ts'

/** What a girth comes to across, for shapes that take a diameter in its place. */
export function asides(values: AnyValues, specs: Specs, say: Say): Readonly<Record<string, string>> {
  const found = Object.keys(specs).flatMap((name): [string, string][] => {
    const twin = name.replace(/girth$/i, (word) => (word.startsWith('g') ? 'diameter' : 'Diameter'))
    const girth = values[name]
    if (twin === name || !(twin in specs) || typeof girth !== 'number') return []
    return [[name, `${say(girth / Math.PI)} across, if it is round`]]
  })
  return Object.fromEntries(found)
}
