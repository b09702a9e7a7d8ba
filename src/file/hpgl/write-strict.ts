import type { Dialect } from './dialect.ts'
import { drawAbsolute } from './write-absolute.ts'

/** What the oldest readers take: absolute, a comma between numbers, `;` after every command, each stroke on its own lines. */
export const strict: Dialect = {
  close: ';',
  beforeTool: [],
  park: ['PU', 'PU0,0', 'SP0'],
  draw(strokes, lines) {
    for (const stroke of strokes) {
      lines.feed()
      lines.command('PU', stroke.x, stroke.y)
      drawAbsolute(stroke, lines)
      lines.add('PU')
    }
  },
}
