import type { Dialect } from './dialect.ts'
import type { Lines } from './lines.ts'
import { turnNumbers } from './turns.ts'
import type { UnitStroke } from './units.ts'

/**
 * Strokes as differences of whole absolute coordinates, so that error never adds up. Each begins with an absolute
 * move, as does what follows an arc or would be a difference past the range.
 */
export const relative: Dialect = {
  close: ';',
  beforeTool: [],
  park: ['PU', 'PA0,0', 'SP0'],
  draw(strokes, lines, { range }) {
    for (const stroke of strokes) {
      lines.feed()
      lines.command('PA', stroke.x, stroke.y)
      lines.add('PD')
      drawRelative(stroke, lines, range)
      lines.add('PU')
    }
  },
}

function drawRelative(stroke: UnitStroke, lines: Lines, range: number): void {
  let { x, y } = stroke
  let known = true
  for (const leg of stroke.legs) {
    if (leg.kind === 'turn') {
      lines.command('AA', ...turnNumbers(leg))
      known = false
      continue
    }
    let steps: number[] = []
    for (let i = 0; i < leg.to.length; i += 2) {
      const toX = leg.to[i] as number
      const toY = leg.to[i + 1] as number
      if (known && Math.abs(toX - x) <= range && Math.abs(toY - y) <= range) {
        steps.push(toX - x, toY - y)
      } else {
        lines.list('PR', steps)
        lines.command('PA', toX, toY)
        steps = []
      }
      known = true
      x = toX
      y = toY
    }
    lines.list('PR', steps)
  }
}
