import type { Say } from '../src/panel/template.ts'

/** A girth and what it comes to across, so that one typed for the other is seen; mm. */
export const girthWords = (called: string, girth: number, say: Say): string =>
  `${called} ${say(girth)}, ${say(girth / Math.PI)} across`
