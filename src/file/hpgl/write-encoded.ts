import type { Dialect } from './dialect.ts'
import { encodeNumber } from './encoded.ts'
import { turnNumbers } from './turns.ts'

/**
 * Polyline encoded moves, several strokes in a command: every command begins with an absolute pair, so that a lost
 * byte spoils one line, and goes on in differences of whole absolute coordinates. HP 5961-0509, pages 20-34 to 20-41.
 * @param bits of a byte that the link carries: 7 for base 32, 8 for base 64
 */
export function encoded(bits: 7 | 8): Dialect {
  const base = bits === 7 ? 32 : 64
  const head = bits === 7 ? 'PE7' : 'PE'
  return {
    close: ';',
    beforeTool: ['PU'],
    park: ['PU', 'PU0,0', 'SP0'],
    draw(strokes, lines, { lineBytes, range }) {
      let open = ''
      let x = 0
      let y = 0
      const close = () => {
        if (open !== '') lines.add(open)
        open = ''
      }
      const move = (toX: number, toY: number, up: '<' | '') => {
        const near = Math.abs(toX - x) <= range && Math.abs(toY - y) <= range
        if (open !== '' && near) {
          const pair = up + encodeNumber(toX - x, base) + encodeNumber(toY - y, base)
          if (open.length + pair.length + 2 <= lineBytes) open += pair
          else close()
        } else {
          close()
        }
        if (open === '') open = `${head}${up}=${encodeNumber(toX, base)}${encodeNumber(toY, base)}`
        x = toX
        y = toY
      }
      for (const stroke of strokes) {
        move(stroke.x, stroke.y, '<')
        // A command that ends with a pen-up move leaves the pen up.
        let down = false
        for (const leg of stroke.legs) {
          if (leg.kind === 'turn') {
            close()
            if (!down) lines.add('PD')
            lines.command('AA', ...turnNumbers(leg))
          } else {
            for (let i = 0; i < leg.to.length; i += 2) move(leg.to[i] as number, leg.to[i + 1] as number, '')
          }
          down = true
        }
      }
      close()
    },
  }
}
