import { boundsOf } from '../geometry/bounds.ts'
import { flatten } from '../geometry/flatten.ts'
import { endOf, polyline } from '../geometry/path.ts'
import { add, type Point, point } from '../geometry/point.ts'
import { intersection, type Rings, withRoom } from '../geometry/polygon.ts'
import { transform, translation } from '../geometry/transform.ts'
import { freePlace } from '../sheet/free-place.ts'
import type { Scrap } from '../sheet/scrap.ts'
import { type Blade, drivenPath, movingParts, startWay } from './blade.ts'
import { type Bridges, bridged } from './bridges.ts'
import { facing, type LeadIn, type LeadInForm, leadIn, leadInForms } from './lead-in.ts'
import { ordered, repeated } from './order.ts'
import { overcut } from './overcut.ts'
import type { Operation, Stroke } from './stroke.ts'

/** What of a machine bears on how strokes are cut. */
export interface Cutting {
  readonly film: 'roll' | 'sheet'
  readonly tools: Readonly<
    Partial<Record<Operation, { readonly number: number; readonly force?: number; readonly passes?: number }>>
  >
  readonly blade: Blade & {
    /** who makes up for the offset: the file, or the machine itself */
    readonly compensate: 'file' | 'machine'
    readonly overcut: number
  }
  readonly bridges: Bridges | undefined
  /** does a person change the tool wherever another is selected? */
  readonly changedByHand?: true
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

/** Strokes of one side put in order, and what is driven for them; `scrap` is where a blade may be turned first. */
export function sideOf(asked: readonly Stroke[], cutting: Cutting, scrap: Scrap): Side {
  const { film, changedByHand: inOne = false } = cutting
  const strokes = ordered(asked, { from: point(0, 0), inOne, ...(film === 'roll' ? { window: rollWindow } : {}) })
  const passes = Object.fromEntries(Object.entries(cutting.tools).map(([name, tool]) => [name, tool?.passes ?? 1]))
  const tip = repeated(
    strokes.flatMap((stroke) => tipStrokes(stroke, cutting)),
    passes,
  )
  return {
    asked,
    strokes,
    tip,
    driven: drivenStrokes(tip, cutting, { ...scrap, lines: [...scrap.lines, ...cutsOnScrap(asked)] }),
  }
}

/** Sides of one sheet that are done one after the other, as one. */
export const joinedSide = (sides: readonly Side[]): Side => ({
  asked: sides.flatMap(({ asked }) => asked),
  strokes: sides.flatMap(({ strokes }) => strokes),
  tip: sides.flatMap(({ tip }) => tip),
  driven: sides.flatMap(({ driven }) => driven),
})

function tipStrokes(stroke: Stroke, { blade, bridges }: Cutting): Stroke[] {
  if (stroke.operation === 'pen' || !stroke.path.closed) return [stroke]
  if (stroke.operation === 'through' && bridges) {
    return bridged(stroke.path, bridges).map((path) => ({ ...stroke, path }))
  }
  return [{ ...stroke, path: overcut(stroke.path, blade.overcut) }]
}

/** Cuts that may run over scrap: a closed one of a piece runs round its film or inside it, which is none. */
const cutsOnScrap = (asked: readonly Stroke[]): (readonly Point[])[] =>
  asked
    .filter(({ operation, piece, path }) => operation !== 'pen' && (piece === undefined || !path.closed))
    .map(({ path }) => [...flatten(path, coarse), endOf(path)])

/**
 * The axis's way for strokes done one after the other. A blade keeps its heading from stroke to stroke; how it stands is
 * not known at first, nor after another tool had its turn.
 */
function drivenStrokes(tip: readonly Stroke[], cutting: Cutting, scrap: Scrap): DrivenStroke[] {
  const { blade, tools } = cutting
  if (blade.compensate === 'machine' || blade.offset === 0) return [...tip]
  const driven: DrivenStroke[] = []
  const leads = leadsOf(blade)
  let free = scrap
  let from = point(0, 0)
  let taken: number | undefined
  let heading: number | undefined
  for (const stroke of tip) {
    const tool = tools[stroke.operation]?.number
    if (tool !== taken) heading = undefined
    taken = tool
    if (stroke.operation === 'pen') {
      driven.push(stroke)
      from = endOf(stroke.path)
      continue
    }
    const lead = heading === undefined ? leadStroke(stroke, cutting.film, leads, free, from) : undefined
    if (lead) {
      driven.push(lead.stroke)
      free = { ...free, taken: [...free.taken, [lead.room]] }
    }
    const way = drivenPath(stroke.path, blade, lead ? undefined : heading)
    driven.push({ ...stroke, path: way.path })
    heading = way.heading
    from = endOf(way.path)
  }
  return driven
}

/** A lead-in keeps so far from everything else, mm. */
const clear = 0.5
/** Chords of what it keeps clear of, mm. */
const coarse = 0.1
/** The lead-ins of a blade by their form, each worked out once. */
function leadsOf(blade: Blade): (form: LeadInForm) => LeadIn {
  const known = new Map<LeadInForm, LeadIn>()
  return (form) => {
    const lead = known.get(form) ?? leadIn(blade, form)
    known.set(form, lead)
    return lead
  }
}

/** A stroke on scrap, as near as may be to `from`, that brings the blade round for a cut; none where there is no room. */
function leadStroke(
  { operation, path }: Stroke,
  film: Cutting['film'],
  leads: (form: LeadInForm) => LeadIn,
  scrap: Scrap,
  from: Point,
) {
  const isRoll = film === 'roll'
  const [first] = movingParts(path)
  if (!first) return undefined
  const way = startWay(first)
  for (const { film: place, form } of leadInForms.flatMap((forms) => placesFor(forms, scrap, from.x, isRoll))) {
    const lead = facing(leads(form), Math.atan2(way.y, way.x))
    const room = withRoom([lead.room], clear)[0]?.map((p) => add(p, from)) ?? []
    const move = freePlace(room, { ...scrap, film: place })
    if (!move) continue
    const to = add(from, move)
    const own = transform(lead.path, translation(to.x, to.y))
    return {
      stroke: { operation, name: 'lead-in on scrap', path: own, leadIn: true } as const,
      room: room.map((p) => add(p, move)),
    }
  }
  return undefined
}

/**
 * Where a lead-in of these forms may lie, the best first: on a roll where it does not move the film much, in the margin
 * rather than in the waste. Only where there is no such place a shorter one is tried.
 */
function placesFor(forms: readonly LeadInForm[], { film, margin }: Scrap, x: number, isRoll: boolean) {
  const near = isRoll ? [margin, film].map((rings) => stretchOf(rings, x - rollWindow / 2, x + rollWindow / 2)) : []
  return [...near, margin, film].flatMap((place) => forms.map((form) => ({ film: place, form })))
}

/** What of rings lies from `low` to `high` along the film. */
function stretchOf(rings: Rings, low: number, high: number): Rings {
  if (rings.length === 0) return []
  const { low: least, high: most } = boundsOf(rings.map((ring) => polyline(ring)))
  const [bottom, top] = [least.y - 1, most.y + 1]
  return intersection(rings, [[point(low, bottom), point(high, bottom), point(high, top), point(low, top)]])
}
