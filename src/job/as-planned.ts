import { pathLength } from '../geometry/length.ts'
import type { Problem } from '../measure/problem.ts'
import type { Cutting, Side } from '../stroke/side.ts'
import { operations, type Stroke } from '../stroke/stroke.ts'
import { tooEarly } from '../stroke/too-early.ts'
import { doubles } from './doubles.ts'
import { boxed } from './nearest-line.ts'

/** Which side of the sheet faces the tool. */
export type FilmSide = 'film' | 'liner'

/** Two cuts nearer than this all along, mm, are one cut made twice. */
const sameCut = 0.05
/** Lengths that should be equal differ by rounding alone, as a part of them and in mm. */
const isSame = (a: number, b: number) => Math.abs(a - b) <= 1e-6 * Math.max(a, b) + 1e-6

/** What to do about a file that is not what was asked for. */
const notAsAsked =
  'Nothing was written. Look at start and end in the profile of the machine; where they are plain, this is a fault of midtick: keep the job file and report it.'

export const asked = (field: string, value: string, limit: string): Problem => ({
  code: 'not_as_asked',
  field,
  value,
  limit,
  cure: notAsAsked,
})

/**
 * What of one side's way to the machine is not what was asked for: strokes on the wrong side, left out, added, cut twice,
 * gone over too often or not in full, or cut before what lies inside them. Looks at no file.
 */
export function planProblems(file: string, faces: FilmSide, side: Side, cutting: Cutting): Problem[] {
  return [
    ...sideProblems(file, faces, side.driven),
    ...leftOut(file, side),
    ...goneOver(file, side, cutting),
    ...cutTwice(file, side.asked),
    ...tooEarly(side.strokes).map(({ outer, inner }) =>
      asked(
        `${file}, ${nameOf(side.strokes[inner])}`,
        `cut after ${nameOf(side.strokes[outer])}`,
        'it lies inside that and goes first',
      ),
    ),
  ]
}

const nameOf = (stroke: Stroke | undefined) => stroke?.name ?? 'a stroke'

/** A slit with the film up cuts a panel in two; nothing else is done from the liner's side. */
function sideProblems(file: string, faces: FilmSide, driven: readonly Stroke[]): Problem[] {
  const up = { film: 'the film faces the tool', liner: 'the liner faces the tool' }[faces]
  return driven
    .filter(({ operation }) => (operation === 'slit') !== (faces === 'liner'))
    .slice(0, 1)
    .map(({ name, operation }) => asked(`${file}, ${name}`, `a stroke of ${operation}`, up))
}

/** mm and number of strokes by what they are called and how they are done. */
function amounts(strokes: readonly Stroke[]): ReadonlyMap<string, { readonly count: number; readonly length: number }> {
  const found = new Map<string, { count: number; length: number }>()
  for (const { operation, name, path } of strokes) {
    const key = `${name} (${operation})`
    const { count, length } = found.get(key) ?? { count: 0, length: 0 }
    found.set(key, { count: count + 1, length: length + pathLength(path) })
  }
  return found
}

function leftOut(file: string, side: Side): Problem[] {
  const [wanted, planned] = [amounts(side.asked), amounts(side.strokes)]
  return [...new Set([...wanted.keys(), ...planned.keys()])].flatMap((key) => {
    const none = { count: 0, length: 0 }
    const [a, b] = [wanted.get(key) ?? none, planned.get(key) ?? none]
    if (a.count === b.count && isSame(a.length, b.length)) return []
    return [asked(`${file}, ${key}`, amountWords(b), `${amountWords(a)} was asked for`)]
  })
}

const amountWords = ({ count, length }: { readonly count: number; readonly length: number }) =>
  `${count} ${count === 1 ? 'stroke' : 'strokes'} of ${length.toFixed(2)} mm`

/** Each stroke is gone over as often as its tool says, in full or but for whole bridges, and with its overcut. */
function goneOver(file: string, side: Side, { tools, blade, bridges }: Cutting): Problem[] {
  const gone = amounts(side.tip)
  const perKey = new Map<string, { readonly operation: Stroke['operation']; wanted: number }>()
  for (const { operation, name, path } of side.strokes) {
    const key = `${name} (${operation})`
    const bridgesIt = operation === 'through' && bridges !== undefined
    const extra = path.closed && operation !== 'pen' && !bridgesIt && pathLength(path) > 0 ? blade.overcut : 0
    const known = perKey.get(key) ?? { operation, wanted: 0 }
    perKey.set(key, { operation, wanted: known.wanted + pathLength(path) + extra })
  }
  return [...perKey].flatMap(([key, { operation, wanted }]) => {
    const passes = tools[operation]?.passes ?? 1
    const length = (gone.get(key)?.length ?? 0) / passes
    const width = operation === 'through' ? (bridges?.width ?? 0) : 0
    const left = width > 0 ? (wanted - length) / width : 0
    // Are only whole bridges left out?
    const whole = width > 0 && left >= -1e-6 && Math.abs(left - Math.round(left)) < 1e-4
    if (whole || isSame(length, wanted)) return []
    const over = passes === 1 ? '' : ` in each of ${passes} passes`
    return [asked(`${file}, ${key}`, `${length.toFixed(2)} mm${over}`, `${wanted.toFixed(2)} mm was asked for`)]
  })
}

function cutTwice(file: string, strokes: readonly Stroke[]): Problem[] {
  return operations
    .filter((operation) => operation !== 'pen')
    .flatMap((operation) => {
      const own = strokes.filter((stroke) => stroke.operation === operation)
      return doubles(
        own.map(({ path }) => boxed(path)),
        sameCut,
      ).map(({ first, again }) =>
        asked(`${file}, ${nameOf(own[again])}`, `the same line as ${nameOf(own[first])}`, 'a line is cut once'),
      )
    })
}
