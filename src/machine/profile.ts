import type { Operation } from '../stroke/stroke.ts'

/** What a cutter can do, mm unless said. */
export interface Machine {
  readonly name: string
  /** largest x and y a tool reaches from the origin at the lower left */
  readonly area: { readonly x: number; readonly y: number }
  readonly unitsPerMm: number
  /** pen number of each operation; without `pen` nothing is drawn, because a blade would cut the labels */
  readonly pens: Readonly<Partial<Record<Operation, number>>>
  /** does the machine take coordinates past 32767 units? */
  readonly wideRange: boolean
}

/** The largest coordinate of the plain 16-bit range, plotter units. */
const plainLimit = 32767

/** How far x and y can go with the machine's area and number range, mm. */
export function reachOf(machine: Machine): { x: number; y: number } {
  const range = machine.wideRange ? Infinity : Math.floor(plainLimit / machine.unitsPerMm)
  return { x: Math.min(machine.area.x, range), y: Math.min(machine.area.y, range) }
}
