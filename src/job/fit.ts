import { layOut } from '../sheet/lay-out.ts'
import type { Plan } from './plan-job.ts'

/** What each stock that a job may use could take of it by itself. */
export function fitLines({ request, say }: Plan): string[] {
  const panels = [...new Map(request.pieces.map((piece) => [piece.panel, piece])).values()]
  return request.stocks.map((stock) => {
    const alone = { ...request, stocks: [stock] }
    const free = request.pieces.map(({ pin: _, ...piece }) => piece)
    const whole = layOut({ ...alone, pieces: free }, { seed: 1, rounds: 0 })
    if (whole.problems.length === 0) {
      const length = whole.sheets.reduce((sum, sheet) => sum + sheet.length, 0)
      return `${stock.name}: the whole job${stock.kind === 'roll' ? `, ${say(length)} of it` : ''}`
    }
    const fitting = panels.filter(({ panel, turn }) => {
      const piece = { panel, copy: 1, copies: 1, ...(turn === undefined ? {} : { turn }) }
      return layOut({ ...alone, pieces: [piece] }, { seed: 1, rounds: 0 }).problems.length === 0
    })
    const names = fitting.map(({ panel }) => panel.name)
    return `${stock.name}: ${names.length > 0 ? names.join(', ') : 'nothing of it'}`
  })
}
