/** How dense are our layouts beside the best published ones, and how long do they take? Over known instances. */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { nest } from '../../src/sheet/nest/nest.ts'
import type { NestPiece, NestProblem, NestState, Ring } from '../../src/sheet/nest/problem.ts'

const { values } = parseArgs({
  options: {
    only: { type: 'string' },
    rect: { type: 'boolean' },
    seconds: { type: 'string', default: '10' },
    seed: { type: 'string', default: '1' },
    growth: { type: 'boolean' },
    log: { type: 'boolean' },
    cpu: { type: 'boolean' },
  },
})
/** EURO working group on cutting and packing (ESICUP/datasets, CC0), beside the project. */
const folder = resolve('../shared/data/nesting')

/** Strips are scaled to this width, mm, so that a micrometre is a millionth of it. */
const stripWidth = 1000

interface Instance {
  readonly name: string
  readonly strip_width: number
  readonly n_pieces: number
  readonly total_piece_area: number
  readonly area_lower_bound_length: number
  readonly optimum?: { readonly height?: number; readonly length?: number }
  readonly pieces: readonly {
    readonly quantity: number
    readonly allowed_rotations_deg: readonly number[] | null
    readonly outer: readonly (readonly [number, number])[]
    readonly holes: readonly (readonly (readonly [number, number])[])[]
  }[]
}

/** Lengths of the best published layouts, in the instances' own units: RESULTS.md beside the data, sections 1, 5 and 6. */
const bestLengths: Readonly<Record<string, number>> = {
  albano: 9692.056,
  dagli: 56.087,
  fu: 30.8462,
  jakobs1: 10.9789,
  mao: 1696.802,
  shapes0: 57,
  shapes1: 52,
  shirts: 59.393,
  trousers: 235.172,
  dighe1: 100,
  dighe2: 100,
  gardeyn0: 48681.08,
  gardeyn1: 16181.27,
  gardeyn2: 47382.85,
  gardeyn3: 60397.83,
  gardeyn6: 17061.81,
  gardeyn8: 48718.98,
  gardeyn9: 65.79,
}

function problemOf(instance: Instance): NestProblem {
  const scale = stripWidth / instance.strip_width
  const ring = (points: readonly (readonly [number, number])[]): Ring =>
    points.map(([x, y]) => ({ x: x * scale, y: y * scale }))
  const pieces = instance.pieces.flatMap((piece): NestPiece[] => {
    const region = { outer: ring(piece.outer), holes: piece.holes.map(ring) }
    const turns = piece.allowed_rotations_deg?.map((deg) => (deg * Math.PI) / 180) ?? 'any'
    return Array.from({ length: piece.quantity }, () => ({ region, turns }))
  })
  const longest = instance.area_lower_bound_length * scale * 5 + stripWidth
  const outer = [
    { x: 0, y: 0 },
    { x: longest, y: 0 },
    { x: longest, y: stripWidth },
    { x: 0, y: stripWidth },
  ]
  return { pieces, beds: [{ region: { outer, holes: [] }, paid: 'length' }] }
}

interface Step {
  readonly seconds: number
  /** in the instance's own unit */
  readonly length: number
  readonly round: number
}

/** Milliseconds; of this process alone where the machine is shared. */
const clock = () => (values.cpu ? process.cpuUsage().user / 1000 : performance.now())

function run(instance: Instance, seconds: number, seed: number): Step[] {
  const problem = problemOf(instance)
  const begin = clock()
  const steps: Step[] = []
  let longestStep = 0
  let before = begin
  let length = Infinity
  for (const state of nest(problem, { seed, rounds: Infinity })) {
    const now = clock()
    longestStep = Math.max(longestStep, now - before)
    before = now
    const isWhole = state.places.every((place) => place)
    const own = ((state.used[0] ?? 0) * instance.strip_width) / stripWidth
    if (isWhole && own < length) {
      length = own
      steps.push({ seconds: (now - begin) / 1000, length, round: state.round })
    }
    if (now - begin > seconds * 1000) break
    before = clock()
  }
  if (values.log) console.log(`longest step ${longestStep.toFixed(0)} ms`)
  return steps
}

if (!existsSync(folder)) {
  console.error(`nest: NO INSTANCES in ${folder}, so nothing is measured`)
  process.exit(1)
}
if (values.growth) {
  growth()
  process.exit(0)
}
/** First layouts of 10 to 10,000 pieces, 40 kinds of them: time, memory and how much of the strip they fill. */
function growth(): void {
  for (const count of [10, 100, 1_000, 10_000]) {
    const kinds = Array.from({ length: 40 }, (_, k): NestPiece => {
      const corners = 3 + (k % 7)
      const outer = Array.from({ length: corners }, (_, c) => {
        const radius = 10 + ((k * 7 + c * 5) % 23)
        const angle = (2 * Math.PI * c) / corners
        return { x: radius * Math.cos(angle), y: radius * Math.sin(angle) }
      })
      return { region: { outer, holes: [] }, turns: [0, Math.PI] }
    })
    const pieces = Array.from({ length: count }, (_, i) => kinds[i % kinds.length] as NestPiece)
    const outer = [
      { x: 0, y: 0 },
      { x: count * 50, y: 0 },
      { x: count * 50, y: 600 },
      { x: 0, y: 600 },
    ]
    globalThis.gc?.()
    const before = process.memoryUsage().rss
    const begin = clock()
    let longest = 0
    let at = begin
    let last: NestState | undefined
    for (const state of nest(
      { pieces, beds: [{ region: { outer, holes: [] }, paid: 'length' }] },
      { seed: 1, rounds: 0 },
    )) {
      longest = Math.max(longest, clock() - at)
      at = clock()
      last = state
    }
    const grown = (process.memoryUsage().rss - before) / 1e6
    const share = last ? (100 * last.atLeast) / last.paid : 0
    console.log(
      `${count} pieces: ${((clock() - begin) / 1000).toFixed(2)} s, longest step ${longest.toFixed(0)} ms,`,
      `${grown.toFixed(0)} MB more, fills ${share.toFixed(1)} %`,
    )
  }
}

const wanted = values.only?.split(',')
const from = values.rect ? join(folder, 'rect') : folder
const instances = readdirSync(from)
  .filter((file) => file.endsWith('.json') && (!wanted || wanted.includes(file.slice(0, -5))))
  .map((file) => JSON.parse(readFileSync(join(from, file), 'utf8')) as Instance)
const seconds = Number(values.seconds)
const stops = [1, 10, 60, 300].filter((stop) => stop <= seconds)
const shares: number[][] = []
for (const instance of instances) {
  const before = process.cpuUsage()
  const steps = run(instance, seconds, Number(values.seed))
  const own = process.cpuUsage(before).user / 1e6
  if (values.log) for (const s of steps) console.log(s.seconds.toFixed(2), s.round, s.length.toFixed(3))
  const best = bestLengths[instance.name] ?? instance.optimum?.height ?? instance.area_lower_bound_length
  const row = stops.map((stop) => {
    const at = steps.filter((step) => step.seconds <= stop).at(-1)
    return at ? (100 * best) / at.length : 0
  })
  shares.push(row)
  const first = steps[0]
  const last = steps.at(-1)
  console.log(
    instance.name.padEnd(10),
    `first ${((100 * best) / (first?.length ?? Infinity)).toFixed(2)} in ${first?.seconds.toFixed(2)} s;`,
    stops.map((stop, k) => `${stop} s ${row[k]?.toFixed(2)}`).join('  '),
    `length ${last?.length.toFixed(4)} of ${best}, ${own.toFixed(1)} s of processor time`,
  )
}
console.log(
  'mean',
  stops
    .map((stop, k) => `${stop} s ${(shares.reduce((a, r) => a + (r[k] ?? 0), 0) / shares.length).toFixed(2)}`)
    .join('  '),
)
