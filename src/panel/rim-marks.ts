import type { ObjectMark } from './panel.ts'
import type { Say } from './template.ts'

/** A tick that stands on the rim of an opening, because the opening takes away the edge that its mark is told from. */
export interface RimTick {
  /** of the mark that it meets, such as `hinge top` */
  readonly mark: string
  /** mm from the measured edge to the tick, along its line */
  readonly inward: number
  /** mm from the tick to the mark at the other end of its line; undefined where that one stands on a rim too */
  readonly across: number | undefined
}

/**
 * Marks on the object for the ticks of the film, told anew where an opening lies: there is nothing to mark in it, so the
 * mark goes on its rim, where the tick stands.
 */
export function marksOnRims(marks: readonly ObjectMark[], ticks: readonly RimTick[], say: Say): ObjectMark[] {
  return marks.map(({ code, text }) => {
    const told = ticks.flatMap(({ mark, inward, across }) => {
      const from = across === undefined ? '' : `, ${say(across)} straight from the mark at the other end`
      const where = `mark the rim of the opening, ${say(inward)} in from there on the same line${from}.`
      if (mark === code) return [`An opening lies there, with nothing to mark: ${where}`]
      const end = mark.startsWith(`${code} `) ? mark.slice(code.length + 1) : ''
      return end === 'bottom' || end === 'top' ? [`At its ${end} end lies an opening: ${where}`] : []
    })
    return { code, text: [text, ...told].join(' ') }
  })
}
