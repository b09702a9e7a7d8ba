import Flatbush from 'flatbush'
import { signedArea } from '../geometry/area.ts'
import { type Box, boundsOf } from '../geometry/bounds.ts'
import { toChord } from '../geometry/chord.ts'
import { flatten } from '../geometry/flatten.ts'
import type { Path } from '../geometry/path.ts'
import { between, cross, distance, norm, type Point, subtract } from '../geometry/point.ts'
import { edgesMeet } from '../geometry/valid.ts'

/** Chords that stand for the lines, mm, and how near to a line a point says nothing about its sides, mm. */
const fine = 0.005
const hair = 0.02
/** A slanting chord is put into the index in parts of about this size, mm, and in no more than so many of them. */
const indexedPart = 5
const mostParts = 64

/** A closed line to ask whether points lie inside. */
interface Loop {
  readonly number: number
  readonly box: Box
  /** mm^2, positive where it runs counter-clockwise */
  readonly area: number
  readonly corners: readonly Point[]
}

type Chord = readonly [Point, Point]

const chordOf = ({ corners }: Loop, i: number): Chord => [
  corners[i] as Point,
  corners[(i + 1) % corners.length] as Point,
]

/**
 * Of each path, the closed ones that it lies inside of without another between, by number. A path lies inside where no
 * point of it is outside and some are not on the line. Two lines that cross, or are one and the same, are beside each
 * other. Takes n log n for n lines that keep clear of each other; what touches is held against every line round it.
 */
export function enclosing(paths: readonly Path[]): number[][] {
  const all = paths.map(heldOf)
  const loops = all.flatMap(({ loop }) => loop ?? [])
  if (loops.length === 0) return paths.map(() => [])
  const field = new Field(loops)
  const found: (readonly number[] | undefined)[] = paths.map(() => undefined)
  const roundOf = (number: number): readonly number[] => {
    const one = all[number] as Held
    const known = found[number] ?? nearestRound(one, field, found) ?? roundAll(one)
    found[number] = known
    return known
  }
  /** By a look at every loop whose box lies round it: of those round it, the ones that lie round none of the others. */
  const roundAll = (one: Held): readonly number[] => {
    const round = field.allRound(one)
    const farther = new Set(round.flatMap(roundOf))
    return round.filter((number) => !farther.has(number))
  }
  // Whatever stands to the right of a line's rightmost place reaches farther right than the line, and comes before it.
  const order = [...all].sort((a, b) => b.right.x - a.right.x || sizeOf(b) - sizeOf(a) || a.number - b.number)
  for (const { number } of order) roundOf(number)
  return found.map((round = []) => [...round])
}

/** A path as it is held against loops. */
interface Held {
  readonly number: number
  readonly loop: Loop | undefined
  /** corners of its chords and places between them, and the rightmost of these */
  readonly places: readonly Point[]
  readonly right: Point
  readonly box: Box
}

const sizeOf = ({ loop }: Held): number => Math.abs(loop?.area ?? 0)

function heldOf(path: Path, number: number): Held {
  const corners = flatten(path, fine)
  const places = placesOn(corners, path.closed)
  const right = places.reduce((most, p) => (p.x > most.x ? p : most))
  const box = boundsOf([path])
  const isLoop = path.closed && path.segments.length > 0
  return { number, loop: isLoop ? { number, box, area: signedArea(path), corners } : undefined, places, right, box }
}

/**
 * The loops nearest round a path by the one that stands to the right of it: that loop itself where it lies round the
 * path, else those round that loop. Undefined where lines come so near each other that this does not tell.
 */
function nearestRound(
  one: Held,
  field: Field,
  found: readonly (readonly number[] | undefined)[],
): readonly number[] | undefined {
  const met = field.rightOf(one.right, one.number)
  if (met === 'unsure') return undefined
  if (met === undefined) return []
  if (!field.isClear(met.loop)) return undefined
  const round = met.isInside ? [met.loop.number] : found[met.loop.number]
  return round?.every((number) => field.holds(number, one)) ? round : undefined
}

/** What a box in the index of chords stands for: a loop, and which of its chords. */
interface Owner {
  readonly loop: Loop
  readonly chord: number
}

/** All closed lines, chord by chord. */
class Field {
  readonly #loops: ReadonlyMap<number, Loop>
  readonly #boxes: Flatbush
  readonly #order: readonly Loop[]
  readonly #chords: Flatbush
  /** of each box in the index of chords */
  readonly #owners: Owner[] = []
  readonly #clear = new Map<Loop, boolean>()
  readonly #sides = new Map<Loop, (p: Point) => 1 | 0 | -1>()
  readonly #end: number

  constructor(loops: readonly Loop[]) {
    this.#order = loops
    this.#loops = new Map(loops.map((loop) => [loop.number, loop]))
    this.#boxes = new Flatbush(loops.length)
    for (const { box } of loops) this.#boxes.add(box.low.x, box.low.y, box.high.x, box.high.y)
    this.#boxes.finish()
    this.#end = loops.reduce((end, { box }) => Math.max(end, box.high.x), -Infinity)
    const parts = loops.flatMap((loop) =>
      loop.corners.flatMap((_, chord) => partsOf(chordOf(loop, chord)).map((part) => ({ loop, chord, part }))),
    )
    this.#chords = new Flatbush(parts.length)
    for (const { loop, chord, part } of parts) {
      this.#owners.push({ loop, chord })
      addChord(this.#chords, part)
    }
    this.#chords.finish()
  }

  /** The chords whose boxes reach into a box. */
  #near(low: Point, high: Point): Owner[] {
    return this.#chords.search(low.x, low.y, high.x, high.y).flatMap((i) => this.#owners[i] ?? [])
  }

  /** The loop whose line comes first to the right of a place, and whether the place lies on its inner side. */
  rightOf(p: Point, but: number): { readonly loop: Loop; readonly isInside: boolean } | 'unsure' | undefined {
    const round = { low: { x: p.x - hair, y: p.y - hair }, high: { x: p.x + hair, y: p.y + hair } }
    const beside = this.#near(round.low, round.high).some(
      ({ loop, chord }) => loop.number !== but && toChord(p, ...chordOf(loop, chord)) < 2 * hair,
    )
    if (beside) return 'unsure'
    for (let reach = 1; ; reach *= 4) {
      const far = p.x + reach
      let first = Infinity
      let met: { readonly loop: Loop; readonly isInside: boolean } | undefined
      let next = Infinity
      for (const { loop, chord } of this.#near(p, { x: far, y: p.y })) {
        const [a, b] = chordOf(loop, chord)
        if (loop.number === but || a.y > p.y === b.y > p.y) continue
        const x = a.x + ((p.y - a.y) / (b.y - a.y)) * (b.x - a.x)
        if (x < p.x || x > far) continue
        if (x < first) {
          if (met && met.loop !== loop) next = first
          first = x
          met = { loop, isInside: b.y > a.y === loop.area > 0 }
        } else if (loop !== met?.loop) next = Math.min(next, x)
      }
      if (met && next - first < 2 * hair) return 'unsure'
      // A line just past the stretch might lie on the one that was found.
      if (met && first + 2 * hair < far) return met
      if (far > this.#end + hair) return met
    }
  }

  /** Does the line of a loop keep clear of all others? */
  isClear(loop: Loop): boolean {
    const known = this.#clear.get(loop)
    if (known !== undefined) return known
    const isClear = loop.corners.every((_, i) => {
      const [a, b] = chordOf(loop, i)
      const meets = (k: number) => {
        const { loop: other, chord } = this.#owners[k] as Owner
        return other !== loop && isNear([a, b], chordOf(other, chord))
      }
      return partsOf([a, b]).every(([p, q]) => {
        const low = { x: Math.min(p.x, q.x) - hair, y: Math.min(p.y, q.y) - hair }
        const high = { x: Math.max(p.x, q.x) + hair, y: Math.max(p.y, q.y) + hair }
        return this.#chords.search(low.x, low.y, high.x, high.y, meets).length === 0
      })
    })
    this.#clear.set(loop, isClear)
    return isClear
  }

  /** Does a path lie inside the loop of a number? */
  holds(number: number, { loop: own, places, box, number: but }: Held): boolean {
    const loop = this.#loops.get(number)
    if (!loop || number === but || !boxHolds(loop.box, box)) return false
    if (own && Math.abs(own.area) >= Math.abs(loop.area)) return false
    let side = this.#sides.get(loop)
    if (!side) {
      side = sideOf(loop)
      this.#sides.set(loop, side)
    }
    return liesInside(places, side)
  }

  /** The numbers of all loops round a path, in no order. */
  allRound(one: Held): number[] {
    const { low, high } = one.box
    return this.#boxes
      .search(low.x, low.y, high.x, high.y)
      .flatMap((i) => this.#order[i]?.number ?? [])
      .filter((number) => this.holds(number, one))
  }
}

function addChord(index: Flatbush, [a, b]: Chord): void {
  index.add(Math.min(a.x, b.x), Math.min(a.y, b.y), Math.max(a.x, b.x), Math.max(a.y, b.y))
}

/** A chord in parts whose boxes are narrow. */
function partsOf([a, b]: Chord): Chord[] {
  const slant = Math.min(Math.abs(b.x - a.x), Math.abs(b.y - a.y))
  const count = Math.min(mostParts, Math.ceil(slant / indexedPart) || 1)
  // Both ends as they are, so that no height is passed over.
  const at = (k: number) => (k === 0 ? a : k === count ? b : between(a, b, k / count))
  return Array.from({ length: count }, (_, k) => [at(k), at(k + 1)])
}

/** Do two chords come within two hairs of each other? */
function isNear([a, b]: Chord, [c, d]: Chord): boolean {
  const way = subtract(b, a)
  const room = 2 * hair * norm(way)
  const [atC, atD] = [cross(way, subtract(c, a)), cross(way, subtract(d, a))]
  // Both ends on one side of the other's endless line, and clear of it?
  if (Math.min(atC, atD) > room || Math.max(atC, atD) < -room) return false
  return (
    Math.min(toChord(a, c, d), toChord(b, c, d), toChord(c, a, b), toChord(d, a, b)) < 2 * hair || edgesMeet(a, b, c, d)
  )
}

const boxHolds = (outer: Box, inner: Box): boolean =>
  inner.low.x > outer.low.x - hair &&
  inner.low.y > outer.low.y - hair &&
  inner.high.x < outer.high.x + hair &&
  inner.high.y < outer.high.y + hair

/** Corners of the chords and places between them, closely enough that no crossing of a hair's depth is passed over. */
function placesOn(corners: readonly Point[], closed: boolean): readonly Point[] {
  const round = closed ? [...corners, ...corners.slice(0, 1)] : corners
  if (round.length === 1) return round
  return round.slice(1).flatMap((q, i) => {
    const p = round[i] ?? q
    const parts = Math.min(16, 2 + Math.floor(distance(p, q) / 20))
    return Array.from({ length: parts }, (_, k) => between(p, q, k / parts))
  })
}

function liesInside(places: readonly Point[], side: (p: Point) => 1 | 0 | -1): boolean {
  let inside = false
  for (const p of places) {
    const own = side(p)
    if (own < 0) return false
    if (own > 0) inside = true
  }
  return inside
}

/** Tells of places: 1 inside the loop, -1 outside, 0 on its line or within a hair of it. */
function sideOf(loop: Loop): (p: Point) => 1 | 0 | -1 {
  const { corners, box } = loop
  const index = new Flatbush(corners.length)
  for (const i of corners.keys()) addChord(index, chordOf(loop, i))
  index.finish()
  return (p) => {
    const isOn = (i: number) => toChord(p, ...chordOf(loop, i)) < hair
    if (index.search(p.x - hair, p.y - hair, p.x + hair, p.y + hair).some(isOn)) return 0
    let inside = false
    for (const i of index.search(p.x, p.y, box.high.x, p.y)) {
      const [a, b] = chordOf(loop, i)
      if (a.y > p.y !== b.y > p.y && a.x + ((p.y - a.y) / (b.y - a.y)) * (b.x - a.x) > p.x) inside = !inside
    }
    return inside ? 1 : -1
  }
}
