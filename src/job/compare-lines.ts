import Flatbush from 'flatbush'
import { boxHeight, boxWidth } from '../geometry/bounds.ts'
import { deviation } from '../geometry/deviation.ts'
import type { Point } from '../geometry/point.ts'
import type { Machine, Tool } from '../machine/profile.ts'
import { operations } from '../stroke/stroke.ts'
import { leftBy } from './as-written.ts'
import type { CutLine } from './cut-lines.ts'
import { boxGap } from './nearest-line.ts'
import { wholeWords } from './whole-words.ts'

/** How the lines of one file stand to those of another. */
export interface Comparison {
  /** lines of the other file, and how many of them were found */
  readonly lines: number
  readonly found: number
  /** the farthest that two lines which belong together are apart, mm */
  readonly distance: number
  readonly x: number
  readonly y: number
  /** everything that is not as the other file has it, as sentences without their end */
  readonly wrong: readonly string[]
  readonly compared: readonly string[]
  readonly notCompared: readonly string[]
}

export interface CompareOptions {
  /** mm that a line may be off */
  readonly tolerance: number
  /** where it is known: which pen does what, with which force and speed and how often */
  readonly machine?: Machine | undefined
  /** is the order of the other file that in which its lines are cut: all of them, or those of one operation? */
  readonly order: 'all' | 'operation'
}

/** A line farther off than this, mm, or than the tolerance is another line. */
const reach = 1
/** Names told of what is alike; the rest is counted. */
const mostNames = 4

/** One line of the file and the line of the other that it is, by number. */
interface Pair {
  readonly asked: number
  readonly found: number
  readonly distance: number
  readonly at: Point
}

/** Every line of a cut file against every line that was asked for, each belonging to one at the most. */
export function compareLines(
  asked: readonly CutLine[],
  all: readonly CutLine[],
  { tolerance, machine, order }: CompareOptions,
): Comparison {
  const found = all.filter(({ leadIn }) => leadIn !== 'told')
  const wanted = asked.filter(({ leadIn }) => leadIn !== 'told')
  const near = Math.max(reach, 2 * tolerance)
  const pairs = pairsOf(wanted, found, near)
  const [askedFor, belongs] = [new Set(pairs.map((p) => p.asked)), new Set(pairs.map((p) => p.found))]
  const left = (line: CutLine) => line.leadIn !== 'perhaps'
  const missing = wanted.filter((line, i) => !askedFor.has(i) && left(line))
  const more = found.filter((line, j) => !belongs.has(j) && left(line))
  const again = more.filter((line) => wanted.some((other) => isNear(line, other, near)))
  const added = more.filter((line) => !again.includes(line))
  const worst = pairs.reduce<Pair | undefined>((a, b) => (a && a.distance >= b.distance ? a : b), undefined)
  const linesOf = pairs.flatMap((pair) => {
    const [a, b] = [wanted[pair.asked], found[pair.found]]
    return a && b ? [{ ...pair, asked: a, found: b, number: pair.asked }] : []
  })
  const off = linesOf.filter((pair) => pair.distance > tolerance)
  const whole = missing.length + added.length + off.length > 0 ? wholeWords(wanted, found, tolerance) : undefined
  const knowsTools = machine !== undefined || wanted.every(({ pen }) => pen !== undefined)
  const wrong = [
    ...(whole === undefined ? [] : [whole]),
    ...named(missing, 'is missing', 'are missing'),
    ...named(again, 'is cut again', 'are cut again'),
    ...named(added, 'was not asked for', 'were not asked for'),
    ...(off.length > 0
      ? named(
          off.map(({ asked: line }) => line),
          `is more than ${tolerance} mm off`,
          `are more than ${tolerance} mm off`,
        )
      : []),
    ...toolWords(linesOf, machine),
    ...timesWords(linesOf, machine),
    ...orderWords(linesOf, order),
  ]
  return {
    lines: wanted.filter((line, i) => left(line) || askedFor.has(i)).length,
    found: pairs.length,
    distance: worst?.distance ?? 0,
    x: worst?.at.x ?? 0,
    y: worst?.at.y ?? 0,
    wrong,
    compared: [
      'place',
      'number',
      'double cuts',
      order === 'all' ? 'order' : 'order within each operation',
      ...(knowsTools ? ['pen', 'force', 'speed', 'passes'] : []),
    ],
    notCompared: [
      ...(knowsTools
        ? []
        : ['pen, force, speed and passes (no machine is named, so nothing tells which pen does what)']),
      ...(order === 'all' ? [] : ['order between operations']),
      'overcut and bridges',
    ],
  }
}

/** What is done by another pen, force or speed, or more or less often, than the machine does what the lines are told to be. */
export function otherwiseDone(lines: readonly CutLine[], machine: Machine | undefined): string[] {
  const pairs = lines
    .filter(({ leadIn }) => leadIn !== 'told')
    .map((found, number) => {
      const { pen: _pen, force: _force, speed: _speed, ...asked } = found
      return { asked, found, number }
    })
  return [...toolWords(pairs, machine), ...timesWords(pairs, machine)]
}

const isNear = (a: CutLine, b: CutLine, near: number) =>
  boxGap(a.box, b.box) <= near && deviation(a.path, b.path).distance <= near

/** Each line with the nearest that is still free, the nearest pairs first; of the same place in order. */
function pairsOf(asked: readonly CutLine[], found: readonly CutLine[], near: number): Pair[] {
  if (asked.length === 0 || found.length === 0) return []
  const index = new Flatbush(asked.length)
  for (const { box } of asked) index.add(box.low.x, box.low.y)
  index.finish()
  const all = found.flatMap((line, j) => {
    const { x, y } = line.box.low
    return index.search(x - near, y - near, x + near, y + near).flatMap((i): Pair[] => {
      const other = asked[i]
      if (!other || boxGap(line.box, other.box) > near) return []
      const { distance, at } = deviation(line.path, other.path)
      return distance <= near ? [{ asked: i, found: j, distance, at }] : []
    })
  })
  const [taken, given] = [new Set<number>(), new Set<number>()]
  return all
    .sort((a, b) => a.distance - b.distance || a.asked - b.asked || a.found - b.found)
    .filter(({ asked: i, found: j }) => {
      if (taken.has(i) || given.has(j)) return false
      taken.add(i)
      given.add(j)
      return true
    })
    .sort((a, b) => a.found - b.found)
}

interface LinePair {
  readonly asked: CutLine
  readonly found: CutLine
  /** place of the asked line in its file */
  readonly number: number
}

/** What a line is called, else its size and place. */
export function lineWords({ name, box }: CutLine): string {
  if (name) return name
  return `line of ${boxWidth(box).toFixed(1)} x ${boxHeight(box).toFixed(1)} mm at x ${box.low.x.toFixed(1)}, y ${box.low.y.toFixed(1)} mm`
}

/** One sentence for all lines of one fault. */
function named(lines: readonly CutLine[], one: string, many: string): string[] {
  const [first, ...others] = lines.map(lineWords)
  if (first === undefined) return []
  if (others.length === 0) return [`${first} ${one}`]
  const more = lines.length > mostNames ? `, and ${lines.length - mostNames} more` : ''
  return [`${lines.length} lines ${many}: ${[first, ...others].slice(0, mostNames).join('; ')}${more}`]
}

/** What a line was to be done by, as far as the other file or the machine tells; a profile may leave it to commands at the start. */
function toolFor({ operation, pen, force, speed }: CutLine, machine: Machine | undefined): Tool | undefined {
  if (pen !== undefined)
    return { number: pen, ...(force === undefined ? {} : { force }), ...(speed === undefined ? {} : { speed }) }
  const tool = operation && machine?.tools[operation]
  return tool && { ...leftBy(machine.start), ...tool }
}

/** Lines that are done by another tool, told once for each operation or pen and setting. */
function toolWords(pairs: readonly LinePair[], machine: Machine | undefined): string[] {
  const wrong = new Map<string, { readonly lines: CutLine[]; readonly words: string }>()
  const add = (line: CutLine, words: string) => {
    const own = wrong.get(words) ?? { lines: [], words }
    wrong.set(words, { lines: [...own.lines, line], words })
  }
  for (const { asked, found } of pairs) {
    const { operation } = asked
    if (operation && found.operation && operation !== found.operation) {
      add(asked, `done by ${found.operation}, not by ${operation}`)
      continue
    }
    const tool = toolFor(asked, machine)
    if (!tool || found.pen === undefined) continue
    const by = asked.operation ? `, which is not that of ${asked.operation}` : ''
    if (tool.number !== found.pen) add(asked, `done by pen ${found.pen}${by}: pen ${tool.number} was asked for`)
    for (const what of ['force', 'speed'] as const) {
      const [own, wanted] = [found[what], tool[what]]
      if (own === wanted) continue
      const words = (value: number | undefined) => (value === undefined ? `no ${what} of its own` : `${what} ${value}`)
      add(asked, `done with ${words(own)}, not with ${words(wanted)}`)
    }
  }
  return [...wrong.values()].flatMap(({ lines, words }) => named(lines, `is ${words}`, `are ${words}`))
}

/** Lines that are gone over more or less often than they should be. */
function timesWords(pairs: readonly LinePair[], machine: Machine | undefined): string[] {
  const often = (n: number) => (n === 1 ? 'once' : n === 2 ? 'twice' : `${n} times`)
  return pairs.flatMap(({ asked, found }) => {
    if (found.pen === undefined) return []
    const passes =
      asked.operation && asked.pen === undefined ? (machine?.tools[asked.operation]?.passes ?? 1) : asked.times
    return found.times === passes ? [] : [`${lineWords(asked)} is cut ${often(found.times)}, not ${often(passes)}`]
  })
}

/** The first line that comes after one which should come after it. */
function orderWords(pairs: readonly LinePair[], order: CompareOptions['order']): string[] {
  const groups =
    order === 'all' ? [pairs] : operations.map((each) => pairs.filter(({ asked }) => asked.operation === each))
  return groups.flatMap((group) => {
    const at = group.findIndex(({ number }, i) => number < (group[i - 1]?.number ?? -1))
    const [before, own] = [group[at - 1], group[at]]
    if (!before || !own) return []
    return [`${lineWords(own.asked)} is cut after ${lineWords(before.asked)}, and should be before it`]
  })
}
