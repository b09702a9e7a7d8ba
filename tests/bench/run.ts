/** Figures as ratios against a reference run beside each, in this process or started from it. `npm run bench`. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import paper from 'paper'
import { readHpgl } from '../../src/file/hpgl/read.ts'
import { writeHpgl } from '../../src/file/hpgl/write.ts'
import { writeCutSvg } from '../../src/file/svg/cut.ts'
import { readCutSvg } from '../../src/file/svg/read.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { cubicTo, openPath, type Path, polyline } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import type { Stroke } from '../../src/stroke/stroke.ts'
import { linkFigures } from './links.ts'
import { shapeSpeeds } from './shapes.ts'
import { travelFigures } from './travel.ts'

const top = resolve(import.meta.dirname, '../..')
const rounds = 5

/** A small seeded generator (mulberry32), so that every run works on the same data. */
function seeded(seed: number): () => number {
  let a = seed
  return () => {
    a = (a + 0x6d2b79f5) | 0
    let t = Math.imul(a ^ (a >>> 15), 1 | a)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

const median = (values: readonly number[]) =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN

/** Milliseconds of two jobs run in turn after a warm-up: medians, so that a drifting machine hits both alike. */
function inTurn(job: () => unknown, reference: () => unknown): { job: number; reference: number } {
  const times: { job: number[]; reference: number[] } = { job: [], reference: [] }
  const time = (work: () => unknown) => {
    const start = performance.now()
    if (work() === undefined) throw new Error('a job without a result may be optimised away')
    return performance.now() - start
  }
  for (let i = 0; i <= rounds; i++) {
    const [a, b] = [time(job), time(reference)]
    if (i === 0) continue
    times.job.push(a)
    times.reference.push(b)
  }
  return { job: median(times.job), reference: median(times.reference) }
}

function wholeMake(): void {
  const out = mkdtempSync(join(tmpdir(), 'midtick-bench-'))
  const watch =
    "data:text/javascript,process.on('exit',()=>process.stderr.write('peak '+process.resourceUsage().maxRSS))"
  const peaks: number[] = []
  const make = () => {
    const args = ['--import', watch, join(top, 'dist/main.js'), 'make', join(top, 'samples/tool-library.yaml')]
    const run = spawnSync(process.execPath, [...args, '--out', join(out, 'made')], { encoding: 'utf8' })
    if (run.status !== 0) throw new Error(run.stderr)
    peaks.push(Number(/peak (\d+)/.exec(run.stderr)?.[1]) / 1024)
    return run
  }
  const times = inTurn(make, () => spawnSync(process.execPath, ['-e', '0']))
  rmSync(out, { recursive: true })
  console.log(`make of the sample: ${(times.job / times.reference).toFixed(1)} x node -e 0 (aim: at most 8)`)
  console.log(`  peak memory ${Math.max(...peaks).toFixed(0)} MB (aim: at most 150)`)
}

function formats(): void {
  const random = seeded(7)
  const points = Array.from({ length: 1_000_000 }, () =>
    point(Math.round(random() * 32000) / 40, Math.round(random() * 24000) / 40),
  )
  const strokes: Stroke[] = [{ operation: 'kiss', name: 'a', path: polyline(points, true) }]
  const options = { unitsPerMm: 40, pens: { kiss: 1 }, area: { x: 1000, y: 1000 }, wideRange: false, tolerance: 0.02 }
  const hpgl = writeHpgl(strokes, options)
  const size = { width: 1000, height: 1000 }
  const svg = writeCutSvg(strokes, size)
  const pieces = { hpgl: hpgl.split(','), svg: svg.split(' ') }
  const report = (name: string, bytes: number, times: { job: number; reference: number }, beside: string) => {
    const speed = bytes / 1e3 / times.job
    console.log(
      `${name}: ${speed.toFixed(0)} MB/s, ${(times.job / times.reference).toFixed(1)} x a plain ${beside} of the same bytes`,
    )
  }
  report(
    'HP-GL write',
    hpgl.length,
    inTurn(
      () => writeHpgl(strokes, options),
      () => pieces.hpgl.join(','),
    ),
    'join',
  )
  report(
    'HP-GL read',
    hpgl.length,
    inTurn(
      () => readHpgl(hpgl, options),
      () => hpgl.split(','),
    ),
    'split',
  )
  report(
    'cut SVG write',
    svg.length,
    inTurn(
      () => writeCutSvg(strokes, size),
      () => pieces.svg.join(' '),
    ),
    'join',
  )
  report(
    'cut SVG read',
    svg.length,
    inTurn(
      () => readCutSvg(svg),
      () => svg.split(' '),
    ),
    'split',
  )
}

function flattening(): void {
  const random = seeded(11)
  const place = () => point(random() * 100, random() * 100)
  const paths: Path[] = Array.from({ length: 100_000 }, () => openPath(place(), cubicTo(place(), place(), place())))
  paper.setup(new paper.Size(1, 1))
  const other = paths.map(({ start, segments }) => {
    const s = segments[0]
    if (s?.kind !== 'cubic') throw new Error('cubics only')
    return [start.x, start.y, s.c1.x, s.c1.y, s.c2.x, s.c2.y, s.to.x, s.to.y] as const
  })
  const tolerance = 0.02
  let ours = 0
  let theirs = 0
  const times = inTurn(
    () => {
      ours = paths.reduce((sum, path) => sum + flatten(path, tolerance).length, 0)
      return ours
    },
    () => {
      theirs = 0
      for (const [x, y, x1, y1, x2, y2, x3, y3] of other) {
        const path = new paper.Path()
        path.moveTo(new paper.Point(x, y))
        path.cubicCurveTo(new paper.Point(x1, y1), new paper.Point(x2, y2), new paper.Point(x3, y3))
        path.flatten(tolerance)
        theirs += path.segments.length
        path.remove()
      }
      return theirs
    },
  )
  console.log(
    `flattening 100,000 cubics at ${tolerance} mm: ${(times.job / times.reference).toFixed(2)} x the time of paper.js`,
  )
  console.log(`  vertices: ${ours}, paper.js ${theirs}`)
}

wholeMake()
formats()
flattening()
await shapeSpeeds()
await travelFigures()
await linkFigures()
