import type { Point } from '../../geometry/point.ts'

/** A closed ring in mm, counter-clockwise, its first point not repeated. */
export type Ring = readonly Point[]

/** An area with holes. */
export interface Region {
  readonly outer: Ring
  readonly holes: readonly Ring[]
}

/** A place on a bed: turned about the piece's own origin by `angle`, radians, then moved by x and y, mm. Never mirrored. */
export interface Place {
  /** which of the beds, from 0 */
  readonly bed: number
  readonly x: number
  readonly y: number
  readonly angle: number
}

/**
 * What is to be laid, all that it must keep to itself included: half of the gap all round, and the ends of slits. Two
 * of them may touch but not overlap; one may lie in another's hole.
 */
export interface NestPiece {
  readonly region: Region
  /** the angles it may be laid at, radians */
  readonly turns: 'any' | readonly number[]
  /** pieces of one group lie on one bed */
  readonly group?: string
  /** where it stays, whatever else moves; its angle need not be among `turns` */
  readonly pinned?: Place
}

/** What pieces are laid on, margins and bad spots taken off, half of the gap given back. */
export interface Bed {
  readonly region: Region
  /**
   * `length`: only what is used of it from x = 0 along x is paid, as of a roll; `whole`: all of it, as of a sheet; `free`: nothing, as
   * of an offcut.
   */
  readonly paid: 'length' | 'whole' | 'free'
}

export interface NestProblem {
  readonly pieces: readonly NestPiece[]
  /** to be used in any order; the cheapest answer uses the least new film, then the fewest beds, then the least of the last one */
  readonly beds: readonly Bed[]
}

export interface Effort {
  /** whole number; same problem, seed and rounds give the same layout on every machine */
  readonly seed: number
  /** how long to go on, in rounds of about equal work each; 0 is the quick first layout alone */
  readonly rounds: number
}

/** The best layout found so far. */
export interface NestState {
  readonly round: number
  /** for each piece its place, undefined where no bed had room */
  readonly places: readonly (Place | undefined)[]
  /** for each bed, how far along x pieces reach, mm; 0 where it is not used */
  readonly used: readonly number[]
  /** mm^2 of film that is paid for */
  readonly paid: number
  /** no layout of these pieces can be paid with less, mm^2 */
  readonly atLeast: number
}

/**
 * Lays pieces on beds, better and better. Every step is a short piece of work, a few hundredths of a second, after which
 * the caller may stop and keep the state; the last state is returned.
 */
export type Nest = (problem: NestProblem, effort: Effort) => Generator<NestState, NestState>
