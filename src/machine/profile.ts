import type { Operation } from '../stroke/stroke.ts'

/** How one operation is done. */
export interface Tool {
  /** pen number, 1 or more */
  readonly number: number
  /** as the machine counts it */
  readonly force?: number
  /** cm/s */
  readonly speed?: number
  /** how often each stroke is gone over; once unless given */
  readonly passes?: number
}

export const origins = ['low left', 'low right', 'high left', 'high right', 'middle'] as const
export type Origin = (typeof origins)[number]

/** Lengths along (x) and across (y) the film, mm. */
interface Extent {
  readonly x: number
  readonly y: number
}

/** What a cutter can do. Lengths in mm, on the film as seen film side up, x along it to the right and y across it. */
export interface Machine {
  readonly name: string
  /** no cutter at all, but a person with a blade: only paper is written */
  readonly byHand?: true
  readonly film: 'roll' | 'sheet'
  readonly area: Extent
  /** at each side of the area, what no tool reaches */
  readonly margins: { readonly low: Extent; readonly high: Extent }
  readonly axes: {
    /** the corner of the area where the machine counts from; low and high are across the film, left and right along it */
    readonly origin: Origin
    /** does the machine's own first coordinate run across the film? */
    readonly swap: boolean
    /** its second axis lies a quarter turn to the right of its first: told by a person who saw letters come out readable */
    readonly handed?: 'left'
  }
  /** of the machine's own first and second coordinate */
  readonly unitsPerMm: Extent
  /** by how much the machine's second axis leans from square towards its first, radians */
  readonly skew: number
  /** largest coordinate, units */
  readonly range: number
  /** without `pen` nothing is drawn, because a blade would cut the labels */
  readonly tools: Readonly<Partial<Record<Operation, Tool>>>
  /** a person changes the tool wherever a file selects another number: all that one does comes before the next */
  readonly changedByHand?: true
  readonly blade: {
    /** from the swivel axis back to the tip, mm */
    readonly offset: number
    /** who sees to it that the tip cuts what was asked: these files, or the machine's own setting */
    readonly compensate: 'file' | 'machine'
    /** how far a closed cut goes on past its start, mm */
    readonly overcut: number
    /** corners that turn by less are cut without a swivel, radians */
    readonly leastTurn: number
  }
  /** what a through cut leaves standing: `width` mm every `spacing` mm */
  readonly bridges: { readonly spacing: number; readonly width: number } | undefined
  /** sent before and after, printable ASCII */
  readonly start: string
  readonly end: string
  readonly dialect: 'strict' | 'compact' | 'relative' | 'encoded'
  readonly encodedBits: 7 | 8
  /** does it draw arcs itself? */
  readonly arcs: boolean
  /** longest line of a file, bytes */
  readonly lineBytes: number
  /** where its jobs are sent, as `readLinkAddress` reads it */
  readonly link?: string
  /** mm/s, mm/s, mm/s^2 and s, for the estimate of time only */
  readonly pace: {
    readonly down: number
    readonly up: number
    readonly acceleration: number
    readonly lift: number
  }
}

/**
 * How far the farthest place that a tool reaches is from the machine's 0, mm along and across; from the middle, the
 * farther of both ways.
 */
export function farthest({ area, margins, axes }: Pick<Machine, 'area' | 'margins' | 'axes'>): Extent {
  const far = (axis: 'x' | 'y', atHigh: boolean): number => {
    if (axes.origin === 'middle') return area[axis] / 2 - Math.min(margins.low[axis], margins.high[axis])
    return area[axis] - margins[atHigh ? 'low' : 'high'][axis]
  }
  return { x: far('x', axes.origin.endsWith('right')), y: far('y', axes.origin.startsWith('high')) }
}

/**
 * Where tools get to, mm from the lower left corner of the area: between the margins, and no farther than the number
 * range counts, which from the middle it does both ways.
 */
export function reachOf({ area, margins, axes, unitsPerMm, range }: Machine): { low: Extent; high: Extent } {
  const ways = axes.origin === 'middle' ? 2 : 1
  const counted = (axis: 'x' | 'y') => (ways * range) / unitsPerMm[ownAxis(axis, axes)]
  return {
    low: margins.low,
    high: {
      x: Math.min(area.x - margins.high.x, counted('x')),
      y: Math.min(area.y - margins.high.y, counted('y')),
    },
  }
}

/** Which of the machine's own coordinates runs along (x) or across (y) the film. */
export const ownAxis = (axis: 'x' | 'y', { swap }: Machine['axes']): 'x' | 'y' =>
  swap ? (axis === 'x' ? 'y' : 'x') : axis
