/**
 * Numbers that a plotter reports (HP 07470-90001, chapter 7): 1 a command that is not known, 2 a wrong number of
 * parameters, 3 a parameter out of range or a character that may not stand there, 5 an unknown character set,
 * 6 a position out of range, 7 more than the polygon buffer holds.
 */
export type FaultNumber = 1 | 2 | 3 | 5 | 6 | 7

/** What is wrong with a place of the file, without the place. */
export interface Fault {
  readonly error: FaultNumber
  /** stable word for programs, such as `unknown_command` */
  readonly code: string
  /** what was read */
  readonly value: string
  /** what is allowed, as a clause */
  readonly limit: string
}

/** A fault with its place. */
export interface PlotFault extends Fault {
  /** byte, from 0 */
  readonly offset: number
  /** counts from 1 */
  readonly command: number
  /** what was read and what is allowed, in one sentence */
  readonly what: string
}

export const fault = (error: FaultNumber, code: string, value: string, limit: string): Fault => ({
  error,
  code,
  value,
  limit,
})

/** Thrown inside the reader where it goes no further; what was read so far is still given back. */
export class Halt extends Error {
  readonly offset: number
  constructor(offset: number, why: string) {
    super(why)
    this.name = 'Halt'
    this.offset = offset
  }
}
