/**
 * Reads HP-GL made at random from its grammar, then spoilt at random, and looks for a crash, a hang, a number that is
 * none, or memory that grows; then reads enormous files. `npm run fuzz`, with `COUNT=` inputs (a million) from `SEED=` (1).
 */
import { encodeNumber } from '../../src/file/hpgl/encoded.ts'
import { type Plot, type PlotOptions, readPlot } from '../../src/file/hpgl/read.ts'
import { enormous } from './enormous.ts'

const count = Number(process.env.COUNT ?? 1_000_000)
const seed = Number(process.env.SEED ?? 1)
/** One small input must not take longer than this, ms. */
const longest = 2000

/** A small seeded generator (mulberry32). */
function seeded(from: number): () => number {
  let a = from
  return () => {
    a = (a + 0x6d2b79f5) | 0
    let t = Math.imul(a ^ (a >>> 15), 1 | a)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

const random = seeded(seed)
const below = (n: number) => Math.floor(random() * n)
const one = <T>(of: readonly T[]): T => of[below(of.length)] as T
const times = (n: number, make: () => string) => Array.from({ length: n }, make)

const odd = [
  '0',
  '-0',
  '1073741824',
  '1073741825',
  '-1073741824',
  '32768',
  '99999999999999999999',
  '.5',
  '1.',
  '1e5',
  '-',
]
const number = () =>
  random() < 0.03 ? one(odd) : String(below(20000) - 6000) + (random() < 0.1 ? `.${below(1000)}` : '')
const comma = () => (random() < 0.9 ? ',' : one([' ', ', ', '', '\n', ',,', '\u001b.B']))
const list = (n: number) => times(n, number).reduce((all, n2) => (all === '' ? n2 : all + comma() + n2), '')
const angle = () => one(['90', '180', '360', '45.5', '-30', '720', '0', '40000'])
const pairs = () => list(2 * (1 + below(6)))

function encoded(): string {
  const base = random() < 0.5 ? 32 : 64
  const value = () => encodeNumber(random() < 0.02 ? 2 ** 30 - 1 : below(4000) - 2000, base)
  const pair = () =>
    one(['', '', '', '<', '=', '<=', `:${value()}`, `>${encodeNumber(below(30), base)}`]) + value() + value()
  return `PE${base === 32 ? '7' : ''}${times(below(8), pair).join('')};`
}

const makers: readonly (() => string)[] = [
  () =>
    one([
      'IN',
      'DF',
      'SP1',
      'SP2',
      'SP0',
      'PU',
      'PD',
      'PA',
      'PR',
      'EP',
      'PM0',
      'PM1',
      'PM2',
      'LT',
      'LT2',
      'IP',
      'IW',
      'SC',
    ]),
  () => one(['PU', 'PD', 'PA', 'PR', 'PAPD', 'PRPU']) + pairs(),
  () => one(['PU', 'PD', 'PA', 'PR']) + pairs(),
  () => `${one(['AA', 'AR'])}${list(2)},${angle()}${random() < 0.3 ? ',5' : ''}`,
  () => one(['AT', 'RT']) + list(4),
  () => `CI${number()}`,
  () => one(['EA', 'ER']) + list(2),
  () => `EW${number()},${angle()},${angle()}`,
  () => `IP${list(one([2, 4]))}`,
  () => `SC${list(4)}${one(['', ',1', ',2', ',1,0,100'])}`,
  () => `IW${list(4)}`,
  () => `RO${one(['0', '90', '180', '270', '45'])}`,
  () => `${one(['VS', 'FS', 'AS'])}${below(40)}${one(['', ',1', ',2'])}`,
  encoded,
  encoded,
  () => `LBPD${number()};\u0003`,
  () =>
    one([
      'DT#',
      'DT',
      'CO"PD1,1;"',
      'BP1,"a"',
      'SM*',
      'SM',
      'OA',
      'OE',
      'FP',
      'RA9,9',
      'ZZ1',
      'P',
      '\u001b.@;13:',
      '\u001b%0A',
      '\u001b%0B',
    ]),
]

const piece = () => one(makers)() + (random() < 0.93 ? ';' : one(['', '\n', ' ', ';;', ',']))

/** Bytes left out, put in, doubled, changed, or the end cut off. */
function spoilt(bytes: Uint8Array): Uint8Array {
  let all = [...bytes]
  for (let n = below(4); n > 0 && all.length > 0; n--) {
    const at = below(all.length)
    const way = below(6)
    if (way === 0) all.splice(at, 1 + below(5))
    else if (way === 1) all.splice(at, 0, below(256))
    else if (way === 2) all[at] = below(256)
    else if (way === 3) all.splice(at, 0, ...all.slice(at, at + below(30)))
    else if (way === 4) all = all.slice(0, at)
    else all.splice(at, 0, ...times(3, () => String.fromCharCode(below(256))).map((c) => c.charCodeAt(0)))
  }
  return Uint8Array.from(all)
}

function input(): Uint8Array {
  // Once in a while plain noise, else commands.
  if (random() < 0.02) return Uint8Array.from({ length: below(300) }, () => below(256))
  const text = times(1 + below(24), piece).join('')
  const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0))
  return random() < 0.7 ? spoilt(bytes) : bytes
}

const manners: readonly PlotOptions[] = [
  {},
  { mode: 'strict' },
  { page: { x: 300, y: 200 } },
  { unitsPerMm: { x: 40, y: 40.2 }, withoutPen: 'nothing' },
  { limits: { strokes: 5, points: 30, faults: 3, polygon: 5 } },
]

/** What is wrong with a plot, if anything. */
function wrongWith(plot: Plot, length: number, { page }: PlotOptions): string | undefined {
  const outside = (x: number, y: number) =>
    !(Math.abs(x) < 2 ** 31 && Math.abs(y) < 2 ** 31) ||
    (page !== undefined && !(x > -1e-3 && y > -1e-3 && x < page.x + 1e-3 && y < page.y + 1e-3))
  for (const { path, offset } of plot.strokes) {
    if (!(offset >= 0 && offset < length)) return `a stroke begins at byte ${offset} of ${length}`
    if (outside(path.start.x, path.start.y)) return `a stroke begins at ${path.start.x},${path.start.y}`
    for (const s of path.segments) {
      if (outside(s.to.x, s.to.y)) return `a ${s.kind} leads to ${s.to.x},${s.to.y}`
      if (s.kind === 'arc' && !(Math.abs(s.sweep) <= Math.PI + 1e-9)) return `an arc turns by ${s.sweep}`
    }
    const end = path.segments.at(-1)?.to
    if (path.closed && end && (end.x !== path.start.x || end.y !== path.start.y)) return 'a closed path that is open'
  }
  const late = plot.faults.find((f) => !(f.offset >= 0 && f.offset <= length))
  return late ? `a fault at byte ${late.offset} of ${length}` : undefined
}

let bytes = 0
let strokes = 0
let faults = 0
let stops = 0
let slowest = 0
const begin = performance.now()
for (let i = 0; i < count; i++) {
  const data = input()
  const manner = one(manners)
  const told = () =>
    `input ${i} of seed ${seed}, ${JSON.stringify(manner)}: ${JSON.stringify(String.fromCharCode(...data))}`
  const from = performance.now()
  let plot: Plot
  try {
    plot = readPlot(data, manner)
  } catch (error) {
    console.error(`crash at ${told()}`)
    throw error
  }
  const took = performance.now() - from
  if (took > longest) throw new Error(`${took.toFixed(0)} ms for ${told()}`)
  const wrong = wrongWith(plot, data.length, manner)
  if (wrong) throw new Error(`${wrong} at ${told()}`)
  slowest = Math.max(slowest, took)
  bytes += data.length
  strokes += plot.strokes.length
  faults += plot.faults.length
  if (plot.stopped) stops++
}
const seconds = (performance.now() - begin) / 1000
const peak = process.resourceUsage().maxRSS / 1024
console.log(
  `${count} inputs, ${(bytes / 1e6).toFixed(0)} MB: ${strokes} strokes, ${faults} faults, ${stops} stopped early\n` +
    `${seconds.toFixed(0)} s, slowest ${slowest.toFixed(0)} ms, peak memory ${peak.toFixed(0)} MB`,
)
if (count > 0 && (strokes < count || faults < count / 10))
  throw new Error('inputs of which nothing is understood test nothing')
enormous()
