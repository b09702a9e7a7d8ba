import { describe, expect, test } from 'vitest'
import { readPlot } from '../../src/file/hpgl/read.ts'
import { readCutSvg } from '../../src/file/svg/read.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { pointInside } from '../../src/geometry/inside.ts'
import { meetings } from '../../src/geometry/meet.ts'
import { type Path, polyline } from '../../src/geometry/path.ts'
import { distance, type Point, point } from '../../src/geometry/point.ts'
import { transform, translation } from '../../src/geometry/transform.ts'
import { loadShapes } from '../../src/job/catalogue.ts'
import { type Made, makeJob } from '../../src/job/make-job.ts'
import { planJob } from '../../src/job/plan-job.ts'
import { checkSend } from '../../src/job/send-check.ts'
import { readSendReport } from '../../src/job/send-report.ts'
import { pathFromMachine, toMachine } from '../../src/machine/axes.ts'
import type { Machine } from '../../src/machine/profile.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import type { Stroke } from '../../src/stroke/stroke.ts'
import { jobOf, madeOf, textOf } from './jobs.ts'

const lid = 'name: paint tin lid, shape: flat-panel, width: 240, height: 120, radius: 10'

const bench = (offset: number, more = '') =>
  `machine: { name: bench cutter, area: { along: 800, across: 610 }, tools: { pen: 2, kiss: 1, through: 3, slit: 1 }, blade: { offset: ${offset}, compensate: file }${more} }\n`

interface FileStroke {
  readonly name: string
  readonly pen: number
  readonly path: Path
}

/** Every HP-GL file of a run with its strokes on the sheet; the check before it is sent refuses none. */
function filesOf(
  made: Made,
): readonly { name: string; side: 'film' | 'liner'; strokes: FileStroke[]; machine: Machine }[] {
  const report = readSendReport(textOf(made.files, 'report.json'))
  if (!report) throw new Error('no report')
  const { machine } = report
  return made.checks.flatMap(({ file, sent }) => {
    const bytes = made.files.find(({ name }) => name === file)?.bytes
    if (!sent || !bytes) return []
    checkSend({ file, bytes, side: sent.side, machine, report })
    const names = sent.lines.flatMap(({ name, lines }) => Array.from({ length: lines }, () => name))
    const strokes = readPlot(bytes, { unitsPerMm: 1 }).strokes.map(({ path, pen }, i) => ({
      name: names[i] ?? '',
      pen,
      path: pathFromMachine(machine, path),
    }))
    return [{ name: file, side: sent.side, strokes, machine }]
  })
}

const placesOf = ({ path }: FileStroke) => [path.start, ...path.segments.map(({ to }) => to)]
const isLeadIn = ({ name }: FileStroke) => name === 'lead-in on scrap'

/** A tip towed along a line in steps of a hundredth of its offset, by nothing but the pull of the axis. */
function towed(path: Path, from: number, offset: number, most = Infinity): { tips: Point[]; heading: number } {
  let heading = from
  const points = flatten({ ...path, closed: false }, 0.002)
  const tips: Point[] = []
  points.slice(1).forEach((b, i) => {
    const a = points[i] as Point
    const steps = Math.ceil(distance(a, b) / (offset / 100))
    const way = Math.atan2(b.y - a.y, b.x - a.x)
    for (let k = 1; k <= steps && tips.length < most; k++) {
      const share = k / steps
      heading += (Math.sin(way - heading) * distance(a, b)) / steps / offset
      const axis = { x: a.x + (b.x - a.x) * share, y: a.y + (b.y - a.y) * share }
      tips.push({ x: axis.x - offset * Math.cos(heading), y: axis.y - offset * Math.sin(heading) })
    }
  })
  return { tips, heading }
}

/** How far the tip of the first blade's first cut gets from the outline of the lid, at the worst of 24 headings. */
function astray(strokes: readonly FileStroke[], offset: number, outline: Path): number {
  const first = strokes.findIndex(({ pen }) => pen === 1)
  const cut = strokes.findIndex((stroke, i) => i >= first && !isLeadIn(stroke))
  const ring = [...flatten(outline, 0.01), outline.start]
  const toRing = (p: Point) =>
    Math.min(
      ...ring.slice(1).map((b, i) => {
        const a = ring[i] as Point
        const t = ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / (distance(a, b) ** 2 || 1)
        const s = Math.max(0, Math.min(1, t))
        return Math.hypot(a.x + (b.x - a.x) * s - p.x, a.y + (b.y - a.y) * s - p.y)
      }),
    )
  return Math.max(
    ...Array.from({ length: 24 }, (_, i) => {
      let heading = ((i + 0.3) * Math.PI) / 12
      for (const { path } of strokes.slice(first, cut)) heading = towed(path, heading, offset).heading
      const { tips } = towed(strokes[cut]?.path as Path, heading, offset, 1500)
      // The beginning is what counts: once settled, the blade stays right.
      return Math.max(
        ...tips
          .slice(0, 2000)
          .filter((_, k) => k % 10 === 0)
          .map(toRing),
      )
    }),
  )
}

/** The lines of a side as they were asked for. */
const askedOn = (made: Made, file: string) => readCutSvg(textOf(made.files, file.replace('.hpgl', '.cut.svg'))).strokes

/** Places of lead-ins, each of them on scrap: in none of the panels, and crossing nothing that is cut. */
function leadInPlaces(made: Made): readonly { readonly file: string; readonly machine: Machine; readonly at: Point }[] {
  return filesOf(made).flatMap(({ name, strokes, machine }) => {
    const asked = askedOn(made, name).filter(({ operation }) => operation !== 'pen')
    const panels = asked.filter((stroke) => stroke.path.closed && stroke.name.endsWith(': outline'))
    const leads = strokes.filter(isLeadIn)
    for (const lead of leads) {
      for (const { path } of asked) expect(meetings({ ...lead.path, closed: false }, path)).toEqual([])
      for (const p of placesOf(lead)) expect(panels.some(({ path }) => pointInside(path, p))).toBe(false)
    }
    return leads.flatMap((lead) => placesOf(lead).map((at) => ({ file: name, machine, at })))
  })
}

describe('a trailing blade is brought round', () => {
  test.each([
    [1, 10],
    [0.8, 10],
    [0.5, 6],
    [0.25, 3],
  ])('with an offset of %d mm and a margin of %d mm', async (offset, margin) => {
    const made = await madeOf(jobOf([`${lid}, slit: none`], `stock: { margin: ${margin} }\n${bench(offset)}`))
    const [file] = filesOf(made)
    if (!file) expect.fail('no file')
    expect(leadInPlaces(made)).toHaveLength(3)
    const outline = askedOn(made, file.name).find(({ name }) => name.endsWith(': outline'))
    if (!outline) expect.fail('no outline')
    expect(astray(file.strokes, offset, outline.path)).toBeLessThan(0.06)
    expect(made.checks[0]?.unturned).toBeUndefined()
    expect(made.warnings.join()).not.toContain('bring the blade round')
  })

  test('on film that a sheet cutter reaches, for either side and for each blade', async () => {
    const made = await madeOf(jobOf([lid], 'stock: { kind: sheet, width: 297, length: 420 }\nmachine: plain-sheet\n'))
    const places = leadInPlaces(made)
    expect(new Set(places.map(({ file }) => file))).toEqual(new Set(['sheet-1.hpgl', 'sheet-1.liner-up.hpgl']))
    for (const { at } of places) {
      expect(at.x).toBeGreaterThanOrEqual(15)
      expect(at.x).toBeLessThanOrEqual(405)
      expect(at.y).toBeGreaterThanOrEqual(10)
      expect(at.y).toBeLessThanOrEqual(287)
    }
  })

  test('on the film of an offcut with a torn corner and a bad spot, and of its liner turned over', async () => {
    const corners = [
      [150, 0],
      [400, 0],
      [400, 260],
      [0, 260],
      [0, 120],
    ]
    const stock = `stock: { kind: offcut, margin: 6, corners: ${JSON.stringify(corners)}, badSpots: [{ x: 160, y: 12, radius: 20 }] }\n`
    const made = await madeOf(jobOf([lid], `${stock}${bench(0.25)}`))
    const film = polyline(
      corners.map(([x = 0, y = 0]) => point(x, y)),
      true,
    )
    const places = leadInPlaces(made)
    // One each for kiss, through and slit, three places long.
    expect(places).toHaveLength(9)
    for (const { file, at } of places) {
      const onFilm = file.includes('liner-up') ? point(400 - at.x, at.y) : at
      expect(pointInside(film, onFilm)).toBe(true)
      expect(distance(onFilm, point(160, 12))).toBeGreaterThan(20)
    }
  })

  test('on a calibrated machine that counts from the low right with X across and leans by 0.16 degrees', async () => {
    const axes = ', axes: { origin: low right, swap: true }, skew: 0.16 deg'
    const made = await madeOf(jobOf([lid], `stock: { width: 610 }\n${bench(0.25, axes)}`))
    expect(leadInPlaces(made)).toHaveLength(9)
    for (const { at, machine } of leadInPlaces(made)) {
      const own = toMachine(machine, at)
      expect(Math.min(own.x, own.y)).toBeGreaterThan(0)
    }
  })

  test('nowhere where all of the film is taken, and then it is said how far the cut may stray', async () => {
    // 244 x 124 mm of panel, 1 mm on each side, on 246 x 126 mm of film.
    const head = `stock: { kind: sheet, width: 126, length: 246, margin: 1 }\ndefaults: { ticks: notch, allowance: 2 }\n`
    const square = lid.replace('radius: 10', 'radius: 0')
    const made = await madeOf(jobOf([`${square}, slit: none`], head + bench(1).replace('pen: 2, ', '')))
    expect(leadInPlaces(made)).toEqual([])
    const [check] = made.checks
    const [unturned] = check?.unturned ?? []
    expect(unturned?.stroke).toBe('paint tin lid: outline')
    // A blade that stands across its line comes down an offset beside it; one that stands against it, two ahead.
    expect(unturned?.astray).toBeGreaterThan(0.9)
    expect(unturned?.astray).toBeLessThanOrEqual(2.05)
    expect(check?.worst).toBeCloseTo(Math.max(unturned?.astray ?? 0, unturned?.uncut ?? 0), 6)
    const [file] = filesOf(made)
    const outline = askedOn(made, 'sheet-1.hpgl').find(({ name }) => name.endsWith(': outline'))
    expect(astray(file?.strokes ?? [], 1, outline?.path as Path)).toBeCloseTo(unturned?.astray ?? 0, 1)
    expect(made.warnings.map(({ text }) => text).join()).toMatch(
      /sheet-1\.hpgl: there is no room on the film beside the pieces to bring the blade round before paint tin lid: outline\./,
    )
  })
})

test('what a machine does not reach is refused when the job is made, by the rule that holds when it is sent', async () => {
  const shapes = await loadShapes()
  const text = jobOf(
    [`${lid}, slit: none`],
    'stock: { kind: sheet, width: 200, length: 300, margin: 0 }\nmachine: { name: edge cutter, film: sheet, area: { along: 300, across: 200 }, margins: { left: 20, right: 0, bottom: 0, top: 0 }, tools: { kiss: 1 }, blade: { offset: 0 } }\nlayout: { gap: 2 }\n',
  )
  const { plan, ...planned } = await planJob(text, shapes)
  if (!plan) expect.fail('no plan')
  const [cut] = plan.cuts
  if (!cut) expect.fail('no sheet')
  // As a layout would that forgot the margin: everything 15 mm to the left.
  const moved = (strokes: readonly Stroke[]) =>
    strokes.map((stroke) => ({ ...stroke, path: transform(stroke.path, translation(-15, 0)) }))
  const { asked, strokes, tip, driven } = cut.film
  const film = { asked: moved(asked), strokes: moved(strokes), tip: moved(tip), driven: moved(driven) }
  const whole = { ...planned, plan: { ...plan, cuts: [{ ...cut, film, parts: [{ side: film }] }] } }
  const { made, problems } = await makeJob(text, shapes, { planned: whole })
  expect(made).toBeUndefined()
  expect(problems.map(formatProblem).join()).toMatch(
    /sheet-1\.hpgl, paint tin lid: outline is from 5\.0, .* edge cutter reaches from 20\.0, 0\.0 to 300\.0, 200\.0 mm\./,
  )
})
