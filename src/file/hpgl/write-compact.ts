import type { Dialect } from './dialect.ts'
import { drawAbsolute } from './write-absolute.ts'

/**
 * As few bytes as absolute commands take: the next mnemonic ends a command, a sign parts numbers, and a stroke that
 * begins where the last one ended is not travelled to.
 */
export const compact: Dialect = {
  close: '',
  beforeTool: ['PU'],
  park: ['PU0,0', 'SP0;'],
  draw(strokes, lines) {
    let x: number | undefined
    let y: number | undefined
    for (const stroke of strokes) {
      if (stroke.x === x && stroke.y === y) lines.add('PU')
      else lines.command('PU', stroke.x, stroke.y)
      drawAbsolute(stroke, lines)
      const last = stroke.legs.at(-1)
      const to = last?.kind === 'chords' ? last.to : []
      x = to.at(-2)
      y = to.at(-1)
    }
  },
}
