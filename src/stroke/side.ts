import { point } from '../geometry/point.ts'
import { type Blade, drivenPath, leadIn, leadInReach, movingParts, startWay } from './blade.ts'
import { type Bridges, bridged } from './bridges.ts'
import { ordered, repeated } from './order.ts'
import { overcut } from './overcut.ts'
import type { Operation, Stroke } from './stroke.ts'

/** What of a machine bears on how strokes are cut. */
export interface Cutting {
  readonly film: 'roll' | 'sheet'
  readonly tools: Readonly<Partial<Record<Operation, { readonly passes?: number }>>>
  readonly blade: Blade & {
    /** who makes up for the offset: the file, or the machine itself */
    readonly compensate: 'file' | 'machine'
    readonly overcut: number
  }
  readonly bridges: Bridges | undefined
}

/** A stroke of the machine; a lead-in turns the blade on scrap and belongs to nothing that was asked for. */
export interface DrivenStroke extends Stroke {
  readonly leadIn?: true
}

/** One side of a sheet on its way to a file. */
export interface Side {
  /** what was asked for, as it was given */
  readonly asked: readonly Stroke[]
  /** the same in the order in which it is cut */
  readonly strokes: readonly Stroke[]
  /** what the tip goes over: closed cuts run on past their start, bridges left out, passes repeated */
  readonly tip: readonly Stroke[]
  /** where the machine is sent for it */
  readonly driven: readonly DrivenStroke[]
}

/** How far a roll may go back while it is cut, mm: a fold of film that hangs loose (common practice, no source). */
const rollWindow = 400

/** Strokes of one side put in order, and what is driven for them. `scrap` is the width of a free edge round the sheet, mm. */
export function sideOf(asked: readonly Stroke[], cutting: Cutting, scrap: number): Side {
  const from = { from: point(0, 0), ...(cutting.film === 'roll' ? { window: rollWindow } : {}) }
  const strokes = ordered(asked, from)
  const passes = Object.fromEntries(Object.entries(cutting.tools).map(([name, tool]) => [name, tool?.passes ?? 1]))
  const tip = repeated(
    strokes.flatMap((stroke) => tipStrokes(stroke, cutting)),
    passes,
  )
  return { asked, strokes, tip, driven: drivenStrokes(tip, cutting, scrap) }
}

function tipStrokes(stroke: Stroke, { blade, bridges }: Cutting): Stroke[] {
  if (stroke.operation === 'pen' || !stroke.path.closed) return [stroke]
  if (stroke.operation === 'through' && bridges) {
    return bridged(stroke.path, bridges).map((path) => ({ ...stroke, path }))
  }
  return [{ ...stroke, path: overcut(stroke.path, blade.overcut) }]
}

/** The axis's way for strokes done one after the other; the blade keeps its heading in between. */
function drivenStrokes(tip: readonly Stroke[], { blade }: Cutting, scrap: number): DrivenStroke[] {
  if (blade.compensate === 'machine' || blade.offset === 0) return [...tip]
  let heading: number | undefined
  return tip.flatMap((stroke): DrivenStroke[] => {
    if (stroke.operation === 'pen') return [stroke]
    const lead = heading === undefined ? leadStroke(stroke, blade, scrap) : undefined
    const driven = drivenPath(stroke.path, blade, lead ? undefined : heading)
    heading = driven.heading
    return [...(lead ? [lead] : []), { ...stroke, path: driven.path }]
  })
}

/** A stroke on the free edge that brings the blade round for the first cut; none where the edge is too narrow for it. */
function leadStroke(stroke: Stroke, blade: Blade, scrap: number): DrivenStroke | undefined {
  const reach = leadInReach(blade) + 0.5
  const [first] = movingParts(stroke.path)
  if (!first || 2 * reach > scrap) return undefined
  const way = startWay(first)
  const path = leadIn(Math.atan2(way.y, way.x), point(reach, reach), blade)
  return { operation: stroke.operation, name: 'lead-in on scrap', path, leadIn: true }
}
