import { crc32 } from '../file/crc32.ts'
import { isDrawing, readDrawing } from '../file/svg/read-drawing.ts'
import type { Box } from '../geometry/bounds.ts'
import { pathLength } from '../geometry/length.ts'
import { loopOf } from '../geometry/loop.ts'
import type { Path } from '../geometry/path.ts'
import { mirrorAcross, transform } from '../geometry/transform.ts'
import type { Machine } from '../machine/profile.ts'
import { reachProblems } from '../machine/reach.ts'
import { Refusal } from '../measure/problem.ts'
import { crossArm } from '../sheet/cross-places.ts'
import type { Travel } from '../stroke/pace.ts'
import type { Operation } from '../stroke/stroke.ts'
import { tooEarly } from '../stroke/too-early.ts'
import type { FilmSide } from './as-planned.ts'
import { type CompareOptions, type Comparison, compareLines, lineWords, otherwiseDone } from './compare-lines.ts'
import { type CutFile, type CutLine, readCutFile } from './cut-lines.ts'
import { doubles } from './doubles.ts'
import { type FoundPanel, findPanel } from './find-panel.ts'
import { boxed } from './nearest-line.ts'
import { toolProblems } from './send-check.ts'
import type { SendReport } from './send-report.ts'
import { type Told, toldOf } from './told-of.ts'

/** What a cut file holds, mm, and what of it is not as it should be. */
export interface Contents {
  readonly file: string
  readonly kind: 'SVG' | 'HP-GL'
  readonly tools: readonly { readonly tool: string; readonly strokes: number; readonly closed: number }[]
  readonly low: { readonly x: number; readonly y: number }
  readonly high: { readonly x: number; readonly y: number }
  /** of the machine that it was read for */
  readonly machine?: string
  /** where the report beside it or its name tells */
  readonly side?: FilmSide
  readonly film?: string
  /** how far it sticks out of the area given, mm; 0 inside */
  readonly outside: number
  /** against another cut file or a sheet's drawing */
  readonly against?: Comparison & { readonly file: string }
  /** HP-GL alone: what the reader could not make out, and where it stopped if it did */
  readonly faults?: CutFile['faults']
  readonly stopped?: NonNullable<CutFile['stopped']>
  /** for a known machine */
  readonly travel?: Travel
  /** against a panel's drawing; with the copies that the report beside the cut file has for it */
  readonly panel?: FoundPanel & { readonly file: string; readonly asked?: number }
  /** all that is not as it should be, in sentences that name no file */
  readonly wrong: readonly string[]
}

export interface CheckOptions {
  readonly unitsPerMm: number
  /** whose axes, reach, tools and blade the file was written for; the lines are then those of the blade's tip */
  readonly machine?: Machine | undefined
  readonly area?: { readonly x: number; readonly y: number } | undefined
  /** mm that a line may be from where it should be */
  readonly tolerance: number
  /** of the run that wrote the file, where there is one beside it */
  readonly report?: SendReport | undefined
  /** another cut file, or the drawing of a panel or a sheet, with the report beside it */
  readonly against?: Against | undefined
}

interface Against {
  readonly file: string
  readonly bytes: Uint8Array
  readonly report?: SendReport | undefined
}

/** mm that a tool may leave its area by rounding. */
const slack = 0.02

/** Reads a cut file back and says what is in it and what of that is wrong. Refuses what it cannot read. */
export function checkFile(file: string, bytes: Uint8Array, options: CheckOptions): Contents {
  if (isDrawing(textOf(bytes))) {
    const value = 'a drawing to look at'
    const cure = 'Give the cut file, and the drawing after --against.'
    throw new Refusal([{ code: 'not_a_cut_file', field: file, value, limit: 'check looks into cut files', cure }])
  }
  const { machine, area, report, against } = options
  const told = toldOf(file, report)
  const read = readCutFile(bytes, { ...options, names: told.names })
  const { tips, ways } = read
  if (!tips || !ways) throw nothingIn(file, 'a cut file holds one line at least')
  const { high } = tips
  const over = area ? Math.max(0, -tips.low.x, -tips.low.y, high.x - area.x, high.y - area.y) : 0
  const other = against ? comparedWith(read, told, against, options) : {}
  return {
    file,
    kind: read.kind,
    tools: [...new Set(read.strokes.map(({ tool }) => tool))].map((tool) => {
      const own = read.strokes.filter((stroke) => stroke.tool === tool)
      return { tool, strokes: own.length, closed: own.filter(({ closed }) => closed).length }
    }),
    low: tips.low,
    high,
    ...(machine ? { machine: machine.name } : {}),
    ...(told.side ? { side: told.side } : {}),
    ...(told.film === undefined ? {} : { film: told.film }),
    outside: over,
    ...(read.faults ? { faults: read.faults } : {}),
    ...(read.stopped ? { stopped: read.stopped } : {}),
    ...(read.travel ? { travel: read.travel } : {}),
    ...other,
    wrong: [
      ...(over > slack ? [`it does not fit the area: ${over.toFixed(2)} mm stick out`] : []),
      ...unreadWords(read),
      ...machineWords(file, read, ways, told.side, machine),
      ...toldWords(read, told.strokes),
      ...(told.names ? earlyWords(read.lines) : []),
      ...('against' in other ? [] : againWords(read.lines, machine)),
      ...('against' in other || !told.names ? [] : otherwiseDone(read.lines, machine)),
      ...(against ? [] : changedWords(bytes, told.crc32)),
      ...(against ? filmWords(told.film, against) : []),
      ...('against' in other ? (other.against?.wrong ?? []) : []),
      ...('panel' in other && other.panel ? panelWrong(other.panel, options.tolerance) : []),
    ],
  }
}

const unreadWords = ({ faults, stopped, penDownAtEnd }: CutFile): string[] => [
  ...(faults || stopped ? ['it was not understood in full'] : []),
  ...(penDownAtEnd ? ['it ends with the tool down'] : []),
]

function machineWords(
  file: string,
  { kind, strokes }: CutFile,
  ways: Box,
  side: FilmSide | undefined,
  machine: Machine | undefined,
): string[] {
  if (!machine) return []
  const pens = kind === 'HP-GL' ? strokes.map(({ pen = 0 }) => ({ pen })) : []
  const cure = 'Make the job anew for this machine.'
  return [
    ...reachProblems(file, ways, machine, cure),
    ...(side && kind === 'HP-GL' ? toolProblems(file, pens, machine, side) : []),
  ].map(({ value, limit }) => `it is ${value}; ${limit}`)
}

/** A file of which the run that wrote it tells something else was changed after. */
function toldWords({ strokes }: CutFile, told: number | undefined): string[] {
  if (told === undefined || told === strokes.length) return []
  return [`it holds ${strokes.length} strokes; the report beside it tells of ${told}`]
}

/** Where nothing else is named that it should be: is it to the byte what its run wrote? */
function changedWords(bytes: Uint8Array, told: string | undefined): string[] {
  if (told === undefined || crc32(bytes) === told) return []
  const cure = 'name what it should be with --against, or make the job anew'
  return [`it was changed since it was written: its CRC-32 is not the one in the report beside it; ${cure}`]
}

/** Lines of a file whose operations are known that are cut before what lies inside them. */
function earlyWords(lines: readonly CutLine[]): string[] {
  const known = lines.flatMap((line) => (line.operation ? [{ ...line, operation: line.operation }] : []))
  return tooEarly(known)
    .slice(0, 1)
    .flatMap(({ outer, inner }) => {
      const [a, b] = [known[outer], known[inner]]
      return a && b ? [`${lineWords(a)} is cut before ${lineWords(b)}, which lies inside it`] : []
    })
}

/** Where nothing tells what was asked for: cuts that lie on one another, and passes that no tool of the machine has. */
function againWords(lines: readonly CutLine[], machine: Machine | undefined): string[] {
  if (!machine) return []
  const cuts = lines.filter(({ pen, leadIn }) => pen !== machine.tools.pen?.number && !leadIn)
  const passes = ({ pen }: CutLine) =>
    Object.values(machine.tools).flatMap((tool) =>
      tool && (pen === undefined || tool.number === pen) ? [tool.passes ?? 1] : [],
    )
  const twice = [
    ...doubles(cuts, sameCut).flatMap(({ again }) => cuts[again] ?? []),
    ...cuts.filter((line) => line.operation === undefined && line.times > 1 && !passes(line).includes(line.times)),
  ]
  return twice.map((line) => `${lineWords(line)} is cut again`)
}

/** Two cuts nearer than this all along, mm, are one cut made twice. */
const sameCut = 0.1

function filmWords(film: string | undefined, against: Against): string[] {
  const other = toldOf(against.file, against.report).film
  if (film === undefined || other === undefined || film === other) return []
  return [`it is cut from ${film}, and ${baseName(against.file)} from ${other}`]
}

/** The lines of a cut file beside another file, of which the text says what it is. */
function comparedWith(
  read: CutFile,
  told: Told,
  { file, bytes, report }: Against,
  options: CheckOptions,
): Pick<Contents, 'against' | 'panel'> {
  const text = textOf(bytes)
  const { machine, tolerance } = options
  if (!isDrawing(text)) {
    const other = readCutFile(bytes, { ...options, names: toldOf(file, report).names })
    if (other.lines.length === 0) throw nothingIn(file, 'a cut file holds one line at least')
    return { against: { file, ...twoFiles(read, other, { tolerance, machine }) } }
  }
  const drawing = readDrawing(text)
  const cuts = drawing.lines.filter(({ operation }) => operation === 'kiss' || operation === 'through')
  if (cuts.length === 0) throw nothingIn(file, 'a drawing to check against shows one cut line at least')
  if (drawing.shows === 'panel') {
    const asked = told.pieces?.filter((name) => name === drawing.title).length
    const drawn = cuts.map(({ path }) => boxed(path)).filter(({ path }) => loopOf(path) !== undefined)
    if (drawn.length === 0) throw nothingIn(file, 'the drawing of a panel has one closed cut line at least')
    const lines = read.lines.filter((line) => line.path.closed && !isDrawn(line, machine))
    return { panel: { file, ...findPanel(drawn, lines), ...(asked === undefined ? {} : { asked }) } }
  }
  const { side, elsewhere } = told
  const asked = ofSheet(drawing, side).filter(({ operation }) => !operation || !elsewhere.includes(operation))
  const { notCompared, ...found } = compareLines(asked, read.lines, { tolerance, machine, order: 'operation' })
  const others = elsewhere.map((operation) => `${operation} (another file of this sheet does it)`)
  return { against: { file, ...found, notCompared: [...notCompared, ...others] } }
}

/** Is a line drawn with a pen that cuts nothing? */
function isDrawn({ pen, operation }: CutLine, machine: Machine | undefined): boolean {
  if (pen === undefined || !machine) return operation === 'pen'
  const { pen: drawing, ...cutting } = machine.tools
  return drawing?.number === pen && !Object.values(cutting).some((tool) => tool?.number === pen)
}

/** HP-GL is what is held against a cut SVG, whichever was named first. */
function twoFiles(read: CutFile, other: CutFile, options: Pick<CompareOptions, 'tolerance' | 'machine'>): Comparison {
  if (read.kind === 'SVG' && other.kind === 'HP-GL') {
    const { wrong, ...turned } = compareLines(read.lines, other.lines, { ...options, order: 'operation' })
    return { ...turned, wrong: wrong.map((words) => `beside it, in the other file, ${words}`) }
  }
  const order = read.kind === 'HP-GL' && other.kind === 'HP-GL' ? 'all' : 'operation'
  return compareLines(other.lines, read.lines, { ...options, order })
}

/** What a sheet's drawing shows of the side that faces the tool, as it lies there; the crosses are cut from both. */
function ofSheet(drawing: ReturnType<typeof readDrawing>, side: FilmSide | undefined): CutLine[] {
  const line = (operation: Operation, path: Path): CutLine => ({ tool: operation, operation, times: 1, ...boxed(path) })
  if (side !== 'liner') {
    return drawing.lines.flatMap(({ operation, path }) => (operation === 'slit' ? [] : [line(operation, path)]))
  }
  const turned = mirrorAcross(drawing.width / 2)
  const isArm = ({ path }: { readonly path: Path }) => !path.closed && pathLength(path) <= 2 * crossArm + slack
  return [
    ...drawing.lines.filter((each) => each.operation === 'through' && isArm(each)),
    ...drawing.lines.filter(({ operation }) => operation === 'slit'),
  ].map(({ path }) => line('slit', transform(path, turned)))
}

/** More copies than were asked for may be those of another panel of the same form, or of its mirror image. */
function panelWrong(
  { file, copies, asked, mirrored, incomplete, missing, worst }: NonNullable<Contents['panel']>,
  tolerance: number,
): string[] {
  // Is the panel on another sheet?
  if (asked === 0 && copies === 0) return []
  const name = baseName(file)
  const times = (n: number) => `${n} ${n === 1 ? 'copy' : 'copies'}`
  const right = copies - mirrored
  const few = asked !== undefined && right < asked
  return [
    ...(missing.length > 0 ? [`it has no match for ${name}: ${missing.join('; ')}`] : []),
    ...(few ? [`${times(right)} of ${name} found; the report beside it asks for ${asked} on this sheet`] : []),
    ...(copies > 0 && incomplete > 0 ? [`${name} is cut ${incomplete} times more without all its openings`] : []),
    ...(mirrored > 0 && (few || asked === undefined) ? [`${name} is mirrored in ${times(mirrored)}`] : []),
    ...(worst && worst.distance > tolerance
      ? [`${name} is ${worst.distance.toFixed(3)} mm off; the most is ${tolerance} mm`]
      : []),
  ]
}

const baseName = (file: string) => file.replace(/^.*[\\/]/, '')

const nothingIn = (file: string, limit: string): Refusal =>
  new Refusal([{ code: 'no_lines', field: file, value: 'without a line', limit, cure: 'Write the file again.' }])

/** For telling what a file is, and for SVG; HP-GL is read from its bytes. */
const textOf = (bytes: Uint8Array) => new TextDecoder().decode(bytes)
