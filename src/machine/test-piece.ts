import { crossMark } from '../geometry/cross-mark.ts'
import { type Path, polyline } from '../geometry/path.ts'
import { type Point, point } from '../geometry/point.ts'
import type { Problem } from '../measure/problem.ts'
import type { Operation, Stroke } from '../stroke/stroke.ts'
import type { Machine, Tool } from './profile.ts'

/** Single-stroke lettering: text, height in mm, place, turn in radians, and which part of the baseline is there. */
export type Letter = (
  text: string,
  height: number,
  at: Point,
  turn?: number,
  anchor?: 'start' | 'middle' | 'end',
) => readonly Path[]

/** A stroke with what it is done with, which may differ from what the profile says of its operation. */
export interface TestStroke {
  readonly stroke: Stroke
  readonly tool: Tool
  /** blade offset that the file makes up for, mm; 0 where it does not */
  readonly offset: number
}

/** Strokes that show what a machine does, mm from the lower left of its area, in the order to be done. */
export interface TestPiece {
  /** of the square between the corner crosses A, B, C, D, mm */
  readonly side: number
  /** along and across the film, with room round it, mm */
  readonly size: { readonly x: number; readonly y: number }
  /** its lower left, by the corner that the machine counts from, so that its coordinates are small; mm */
  readonly corner: Point
  readonly strokes: readonly TestStroke[]
  /** what the ladders step through, in words; empty where the profile has no such figure */
  readonly ladders: readonly string[]
}

/** The side that a steel rule of 300 mm measures along both diagonals. */
const usualSide = 200
/** The ladders take this much inside the crosses. */
const leastInside = 80
/**
 * Least arm of a corner cross, mm, and arm of one that a blade cuts, in offsets. A trailing blade that came down across
 * its line is within a degree of it after 4.74 offsets of straight travel, so that where two arms cross says where the
 * machine went, whatever its offset really is.
 */
const leastArm = 8
const armInOffsets = 6
/** Least room round the crosses, mm, into which a blade overruns by its offset. */
const leastClear = 2
/** A square of a ladder, and the room that it takes with its number, mm. Blades of 1 mm swing 1 mm past a corner. */
const small = 8
const cell = { x: 12, y: 14 }
/** Room below a ladder, mm. */
const below = 3
/** How far a square is cut on past its start, mm. */
const overcut = 1
/** Height of numbers and headings, mm. */
const height = 2.5

/** cm/s that a speed command takes. */
const slowest = 0.1
const fastest = 127

const offsets: readonly number[] = [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1]

interface Rung {
  readonly label: string
  readonly tool: Tool
  readonly offset: number
}

interface Ladder {
  readonly title: string
  readonly rungs: readonly Rung[]
}

const noMachine: Problem = {
  code: 'no_machine',
  field: 'byHand',
  value: 'true',
  limit: 'only a machine has a scale and a blade offset to find',
  cure: 'Measure the 100 mm bars of the paper template instead.',
}

/**
 * A test piece that fits the machine: a square given by four crosses, whose sides and diagonals tell scale and skew; a
 * ladder of small squares cut with blade offsets from 0 to 1 mm; and, where the profile gives them, a ladder of forces
 * and one of speeds about its own. A machine that makes up for the offset itself is to be set to 0 for it.
 */
export function testPiece(machine: Machine, letter: Letter): TestPiece | { readonly problems: readonly Problem[] } {
  if (machine.byHand) return { problems: [noMachine] }
  const { area, margins, axes } = machine
  const arm = Math.max(leastArm, armInOffsets * machine.blade.offset)
  const clear = Math.max(leastClear, machine.blade.offset + 1)
  const taken = 2 * (arm + clear)
  // A machine with a leaning axis does not get to a wedge beside it, which is this wide where the test piece ends.
  const edge = Math.max(margins.low.x, margins.low.y, margins.high.x, margins.high.y)
  const wedge = Math.tan(Math.abs(machine.skew)) * (edge + usualSide + taken) * 1.1
  const room = {
    x: area.x - margins.low.x - margins.high.x - wedge,
    y: area.y - margins.low.y - margins.high.y - wedge,
  }
  const side = Math.min(usualSide, Math.floor((Math.min(room.x, room.y) - taken) / 10) * 10)
  if (side < leastInside + taken) {
    const least = 10 * Math.ceil((leastInside + taken) / 10) + taken
    const problem: Problem = {
      code: 'too_small',
      field: 'area',
      value: `${Number(room.x.toFixed(1))} x ${Number(room.y.toFixed(1))} mm that the tools reach`,
      limit: `a test piece needs ${Number(least.toFixed(1))} mm both ways`,
      cure: 'Cut one panel with known sides instead, and measure that.',
    }
    return { problems: [problem] }
  }
  const whole = side + taken
  const corner = point(
    axes.origin.endsWith('right') ? area.x - margins.high.x - wedge - whole : margins.low.x + wedge,
    axes.origin.startsWith('high') ? area.y - margins.high.y - wedge - whole : margins.low.y + wedge,
  )
  const cutting = machine.tools.kiss ? 'kiss' : 'through'
  const cutTool = machine.tools[cutting] ?? { number: 1 }
  const penTool = machine.tools.pen
  const own = machine.blade.compensate === 'file' ? machine.blade.offset : 0
  const low = point(corner.x + arm + clear, corner.y + arm + clear)
  const high = point(low.x + side, low.y + side)
  const cut = (name: string, path: Path, tool = cutTool, offset = own): TestStroke => ({
    stroke: { operation: cutting, path, name },
    tool,
    offset,
  })
  const marked = (name: string, path: Path): TestStroke =>
    penTool ? { stroke: { operation: 'pen', path, name }, tool: penTool, offset: 0 } : cut(name, path)
  const words = (text: string, at: Point, anchor: 'start' | 'middle') =>
    letter(text, height, at, 0, anchor).map((path) => marked(`number ${text}`, path))
  const corners = [
    { name: 'A', at: low, in: point(1, 1) },
    { name: 'B', at: point(high.x, low.y), in: point(-1, 1) },
    { name: 'C', at: high, in: point(-1, -1) },
    { name: 'D', at: point(low.x, high.y), in: point(1, -1) },
  ]
  const strokes = corners.flatMap(({ name, at, in: way }) =>
    words(name, point(at.x + 5 * way.x, at.y + 5 * way.y - height / 2), 'middle'),
  )
  strokes.push(...corners.flatMap(({ name, at }) => crossMark(at, arm).map((path) => marked(`cross ${name}`, path))))
  const ladders = laddersOf(cutTool, own)
  const left = low.x + arm + clear + cell.x / 2
  const columns = Math.floor((side - taken) / cell.x)
  let top = high.y - arm - clear
  for (const { title, rungs } of ladders) {
    strokes.push(...words(title, point(left - small / 2, top - height), 'start'))
    top -= height + 2
    rungs.forEach(({ label, tool, offset }, i) => {
      const x = left + (i % columns) * cell.x
      const y = top - (Math.floor(i / columns) + 1) * cell.y + 1
      strokes.push(...words(label, point(x, y + small + 1.5), 'middle'))
      strokes.push(cut(`${title} ${label}`, square(point(x, y)), tool, offset))
    })
    top -= Math.ceil(rungs.length / columns) * cell.y + below
  }
  const inOrder: readonly Operation[] = ['pen', cutting]
  return {
    side,
    size: { x: whole, y: whole },
    corner,
    strokes: inOrder.flatMap((operation) => strokes.filter(({ stroke }) => stroke.operation === operation)),
    ladders: ladders.map(({ title, rungs }) => `${title}: ${rungs.map(({ label }) => label).join(', ')}`),
  }
}

/** The ladder of offsets, and those of force and speed about the tool's own, where it has them. */
function laddersOf(tool: Tool, own: number): readonly Ladder[] {
  const { force, speed } = tool
  const ladders: Ladder[] = [
    { title: 'OFFSET', rungs: offsets.map((offset) => ({ label: offset.toFixed(1), tool, offset })) },
  ]
  if (force !== undefined) {
    const step = Math.max(1, Math.round(force / 10))
    const forces = [-2, -1, 0, 1, 2].map((n) => force + n * step).filter((f) => f >= 1)
    ladders.push({
      title: 'FORCE',
      rungs: forces.map((f) => ({ label: `${f}`, tool: { ...tool, force: f }, offset: own })),
    })
  }
  if (speed !== undefined) {
    const speeds = [0.25, 0.5, 1, 1.5].map((share) => Math.min(fastest, Number((share * speed).toPrecision(2))))
    const apart = [...new Set(speeds)].filter((v) => v >= slowest)
    ladders.push({
      title: 'SPEED',
      rungs: apart.map((v) => ({ label: `${v}`, tool: { ...tool, speed: v }, offset: own })),
    })
  }
  return ladders
}

/** Once round from the middle of its bottom edge, `foot`, and on past it, so that all four corners are cut in passing. */
function square(foot: Point): Path {
  const { x, y } = foot
  const half = small / 2
  return polyline([
    foot,
    point(x + half, y),
    point(x + half, y + small),
    point(x - half, y + small),
    point(x - half, y),
    point(x + overcut, y),
  ])
}
