import { describe, expect, test } from 'vitest'
import { hpglBytes } from '../../src/file/hpgl/write.ts'
import { writeCutSvg } from '../../src/file/svg/cut.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { point } from '../../src/geometry/point.ts'
import {
  following,
  type Matrix,
  mirrorAcross,
  scaling,
  transform,
  translation,
  turning,
} from '../../src/geometry/transform.ts'
import { loadShapes } from '../../src/job/catalogue.ts'
import { type CheckOptions, type Contents, checkFile } from '../../src/job/check-file.ts'
import { hpglOf } from '../../src/job/hpgl-of.ts'
import { makeJob } from '../../src/job/make-job.ts'
import { planJob } from '../../src/job/plan-job.ts'
import { readSendReport, type SendReport } from '../../src/job/send-report.ts'
import type { Machine } from '../../src/machine/profile.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import type { DrivenStroke } from '../../src/stroke/side.ts'
import type { Stroke } from '../../src/stroke/stroke.ts'

const templates = await loadShapes()

/** Two lids with an opening each and a box end: pen, kiss and through, bridges, passes, and a file that makes up for the blade. */
const text = `version: 1
title: Lids
film: { name: matt grey film }
machine:
  name: bench
  area: { along: 400, across: 420 }
  tools:
    pen: { number: 2, force: 20, speed: 40 }
    kiss: { number: 1, force: 80, speed: 30 }
    through: { number: 3, force: 120, speed: 10, passes: 2 }
    slit: { number: 4, force: 60, speed: 20 }
  blade: { offset: 0.5, compensate: file, overcut: 0.5 }
  bridges: { spacing: 40 mm, width: 0.8 mm }
stock: { kind: sheet, width: 400, length: 400, margin: 20 }
objects:
  - name: lid
    shape: flat-panel
    copies: 2
    width: 140
    height: 90
    radius: 10
    openings: [{ shape: round, diameter: 20, fromLeft: 20, fromBottom: 30 }]
  - { name: end, shape: flat-panel, width: 60, height: 50 }
`

/** A job made, with what was planned for its one sheet. */
async function madeOf(job: string) {
  const [{ made, problems }, { plan }] = await Promise.all([makeJob(job, templates), planJob(job, templates)])
  const cut = plan?.cuts[0]
  if (!made || !plan || !cut) throw new Error(problems.map(formatProblem).join('\n'))
  const bytesOf = (name: string) => {
    const file = made.files.find((each) => each.name === name)
    if (!file) throw new Error(`no ${name} among ${made.files.map((each) => each.name).join(', ')}`)
    return file.bytes
  }
  const report = readSendReport(new TextDecoder().decode(bytesOf('report.json'))) as SendReport
  return { machine: plan.machine, sheet: cut.sheet, film: cut.film, liner: cut.liner, bytesOf, report }
}
type MadeJob = Awaited<ReturnType<typeof madeOf>>

const kissed = await madeOf(text)
const through = await madeOf(
  text.replace('title', 'cut: through\ntitle').replace('compensate: file', 'compensate: machine'),
)

const from = ({ machine, report }: MadeJob): CheckOptions => ({ unitsPerMm: 40, machine, report, tolerance: 0.1 })
const against = (job: MadeJob, file: string) => ({ file, bytes: job.bytesOf(file), report: job.report })
const checked = (job: MadeJob, file: string, bytes: Uint8Array, other: string): Contents =>
  checkFile(file, bytes, { ...from(job), against: against(job, other) })
const written = ({ machine }: MadeJob, driven: readonly Stroke[], on: Machine = machine) =>
  hpglBytes(hpglOf(driven, on))

const jobs = [
  ['kiss cut', kissed],
  ['cut through over bridges, twice', through],
] as const

describe.each(jobs)('a file as it was made, %s:', (_, job) => {
  test.each([
    ['sheet-1.hpgl', 'sheet-1.cut.svg'],
    ['sheet-1.hpgl', 'sheet-1.hpgl'],
    ['sheet-1.hpgl', 'sheet-1.svg'],
    ['sheet-1.cut.svg', 'sheet-1.hpgl'],
    ['sheet-1.cut.svg', 'sheet-1.cut.svg'],
    ['sheet-1.cut.svg', 'sheet-1.svg'],
    ['sheet-1.liner-up.hpgl', 'sheet-1.liner-up.cut.svg'],
    ['sheet-1.liner-up.hpgl', 'sheet-1.svg'],
    ['sheet-1.liner-up.cut.svg', 'sheet-1.svg'],
  ])('%s is %s, in place and in meaning', (file, other) => {
    const found = checked(job, file, job.bytesOf(file), other)
    expect(found.wrong).toEqual([])
    expect(found.against?.found).toBe(found.against?.lines)
    expect(found.against?.lines).toBeGreaterThan(1)
    // chords of 0.02 mm, half a unit of 0.025 mm each way, the simulated blade within 0.01 mm
    expect(found.against?.distance).toBeLessThan(0.06)
  })

  test.each(['sheet-1.hpgl', 'sheet-1.cut.svg'])('%s holds the copies of each panel that were asked for', (file) => {
    const lid = checked(job, file, job.bytesOf(file), 'panel-lid.svg')
    expect(lid.wrong).toEqual([])
    expect(lid.panel).toMatchObject({ copies: 2, mirrored: 0, asked: 2, lines: 2 })
    const end = checked(job, file, job.bytesOf(file), 'panel-end.svg')
    expect(end.wrong).toEqual([])
    expect(end.panel).toMatchObject({ copies: 1, asked: 1 })
  })

  test('is told by its own report alone: side, film, machine', () => {
    const found = checkFile('out/sheet-1.hpgl', job.bytesOf('sheet-1.hpgl'), from(job))
    expect(found).toMatchObject({ wrong: [], side: 'film', film: 'matt grey film', machine: 'bench' })
  })

  test('is found changed by its own report alone, in one digit, in a force or in its pens', () => {
    const { film, machine } = job
    const alone = (bytes: Uint8Array) => checkFile('sheet-1.hpgl', bytes, from(job)).wrong.join('\n')
    const code = new TextDecoder().decode(job.bytesOf('sheet-1.hpgl'))
    const digit = code.replace(/(PD\d+)(\d),/, (_, before, last) => `${before}${(Number(last) + 1) % 10},`)
    expect(alone(new TextEncoder().encode(digit))).toContain('it was changed since it was written')
    expect(alone(new TextEncoder().encode(code.replaceAll('FS20;', 'FS33;')))).toMatch(
      /done with force 33, not with force 20/,
    )
    const tools = { ...machine.tools, pen: machine.tools.kiss, kiss: machine.tools.pen } as Machine['tools']
    expect(alone(written(job, film.driven, { ...machine, tools }))).toMatch(/done by pen \d, which is not that of/)
  })

  test('is found to state a force where its profile leaves it to the machine', () => {
    const { pen, kiss, ...others } = job.machine.tools
    const tools = { ...others, ...(pen ? { pen: { number: pen.number } } : {}), ...(kiss ? { kiss } : {}) }
    const found = checkFile('sheet-1.hpgl', job.bytesOf('sheet-1.hpgl'), {
      ...from(job),
      machine: { ...job.machine, tools },
      against: against(job, 'sheet-1.cut.svg'),
    })
    expect(found.wrong.join('\n')).toMatch(/done with force 20, not with no force of its own/)
  })

  test('needs no names to tell the stroke that brings the blade round from a cut', () => {
    const { report: __, ...plain } = from(job)
    const other = { file: 'sheet-1.cut.svg', bytes: job.bytesOf('sheet-1.cut.svg') }
    const found = checkFile('copy.plt', job.bytesOf('sheet-1.hpgl'), { ...plain, against: other })
    expect(found.wrong).toEqual([])
    expect(found.against?.distance).toBeLessThan(0.06)
  })
})

type Other = 'sheet-1.cut.svg' | 'sheet-1.hpgl' | 'sheet-1.svg' | 'panel-lid.svg' | 'none'
/** What a fault says of itself against each of these; `undefined` where that cannot show it. */
type Shows = Partial<Record<Other, RegExp>>

/** A fault, planted into what the machine is sent. */
function faultsOf(job: MadeJob): readonly (readonly [string, Uint8Array, Shows])[] {
  const { film, liner, machine, sheet } = job
  const { driven } = film
  const code = hpglOf(driven, machine)
  const own = (name: string) => (stroke: Stroke) => stroke.name === name
  const without = (name: string) => driven.filter((stroke) => !own(name)(stroke))
  const of = (name: string) => driven.filter(own(name))
  const isLid = ({ name }: Stroke) => name.startsWith('lid 1: ')
  const moved = (by: Matrix, is: (stroke: Stroke) => boolean = () => true) =>
    written(
      job,
      driven.map((stroke) => (is(stroke) ? { ...stroke, path: transform(stroke.path, by) } : stroke)),
      { ...machine, area: { x: 800, y: 800 } },
    )
  const lid = boundsOf(film.strokes.filter(own('lid 1: outline')).map(({ path }) => path))
  const middle = (lid.low.x + lid.high.x) / 2
  const exchanged = { ...machine.tools, kiss: machine.tools.through, through: machine.tools.kiss } as Machine['tools']
  const penned = { ...machine.tools, pen: machine.tools.kiss, kiss: machine.tools.pen, through: machine.tools.pen }
  const all = (told: RegExp): Shows => ({ 'sheet-1.cut.svg': told, 'sheet-1.hpgl': told, 'sheet-1.svg': told })
  const slit = liner.driven.at(-1) as DrivenStroke
  const last = driven.findLastIndex(own('lid 2: opening'))
  const outside = [
    ...driven.slice(0, driven.findIndex(own('lid 2: opening'))).filter((s) => !own('lid 2: outline')(s)),
    ...of('lid 2: outline'),
    ...of('lid 2: opening'),
    ...driven.slice(last + 1).filter((s) => !own('lid 2: outline')(s)),
  ]
  const half = code.indexOf('PU;', code.length / 2) + 3
  return [
    [
      'pens of kiss and through exchanged',
      written(job, driven, { ...machine, tools: exchanged }),
      all(/done by pen [13].*: pen [13] was asked for/),
    ],
    [
      'pen and blade exchanged',
      written(job, driven, { ...machine, tools: penned as Machine['tools'] }),
      { ...all(/done by pen/), 'panel-lid.svg': /no match for panel-lid\.svg/ },
    ],
    ['another force', hpglBytes(code.replaceAll('FS20;', 'FS2;')), all(/done with force 2, not with force 20/)],
    ['another speed', hpglBytes(code.replaceAll('VS40', 'VS4')), all(/done with speed 4, not with speed 40/)],
    [
      'a piece left out',
      written(
        job,
        driven.filter((s) => !s.name.startsWith('lid 2: ')),
      ),
      { ...all(/\d+ lines are missing|is missing/), 'panel-lid.svg': /1 copy of .*asks for 2/, none: /tells of/ },
    ],
    [
      'an opening left out',
      written(job, without('lid 2: opening')),
      { ...all(/is missing/), 'panel-lid.svg': /1 copy of .*asks for 2/, none: /tells of/ },
    ],
    [
      'scaled by half a percent',
      moved(scaling(1.005, 1.005)),
      { ...all(/as a whole it is 100\.5\d % along/), 'panel-lid.svg': /0\.\d+ mm off; the most is 0\.1 mm/ },
    ],
    [
      'mirrored',
      moved(mirrorAcross(sheet.length / 2)),
      { ...all(/as a whole it is mirrored, left and right/), 'panel-lid.svg': /is mirrored in 2 copies/ },
    ],
    [
      'one lid mirrored',
      moved(mirrorAcross(middle), isLid),
      { ...all(/was not asked for|were not asked for/), 'panel-lid.svg': /1 copy of .*asks for 2/ },
    ],
    [
      'shifted by 0.5 mm',
      moved(translation(0.5, 0)),
      all(/as a whole it is shifted by 0\.5 along and -?0(\.01)? mm across/),
    ],
    [
      'turned by a fifth of a degree',
      moved(following(turning(Math.PI / 900, point(0, 0)), translation(1, 0))),
      { ...all(/more than 0\.1 mm off|missing/), 'panel-lid.svg': /mm off; the most is 0\.1 mm|no match/ },
    ],
    [
      'a stroke twice, one after the other',
      written(
        job,
        driven.flatMap((s) => (own('lid 1: opening')(s) ? [s, s] : [s])),
      ),
      { ...all(/lid 1: opening|line of 20\.0/), none: /tells of/ },
    ],
    [
      'a stroke again at the end',
      written(job, [...driven, ...of('lid 1: opening')]),
      { ...all(/cut again/), 'panel-lid.svg': /cut again|tells of/, none: /tells of/ },
    ],
    [
      'a slit on the film side',
      written(job, [...driven, { ...slit, operation: 'kiss' }]),
      { ...all(/was not asked for/), none: /tells of/ },
    ],
    ['outside before inside', written(job, outside), all(/is cut after .*, and should be before it/)],
    [
      'a lost lift',
      hpglBytes(code.replace(/PU;\s*PU(\d+,\d+);PD(\d+,\d+)/, 'PD$1;PD$2')),
      { ...all(/missing/), none: /tells of/ },
    ],
    [
      'cut off between commands',
      hpglBytes(code.slice(0, half)),
      { ...all(/missing/), 'panel-lid.svg': /no match|asks for 2/, none: /tells of/ },
    ],
    [
      'cut off in a stroke',
      hpglBytes(code.slice(0, code.indexOf(',', code.length / 2))),
      {
        ...all(/not understood in full|ends with the tool down/),
        none: /not understood in full|ends with the tool down/,
      },
    ],
    [
      'out of the area',
      moved(translation(0, 200)),
      {
        ...all(/bench reaches from 0\.0, 0\.0 to 400\.0, 420\.0 mm/),
        'panel-lid.svg': /bench reaches/,
        none: /bench reaches/,
      },
    ],
  ]
}

describe.each(jobs)('a fault planted into HP-GL, %s, is found:', (_, job) => {
  test.each(faultsOf(job))('%s', (_name, bytes, shows) => {
    expect(Object.keys(shows).length).toBeGreaterThan(2)
    for (const [other, told] of Object.entries(shows)) {
      const options = other === 'none' ? from(job) : { ...from(job), against: against(job, other) }
      expect(checkFile('sheet-1.hpgl', bytes, options).wrong.join('\n'), other).toMatch(told)
    }
  })

  test('outside before inside, where the report alone tells what is cut', () => {
    const { driven } = through.film
    const lids = driven.filter(({ name }) => /^lid \d: outline$/.test(name))
    const pens = driven.filter(({ operation }) => operation === 'pen')
    expect(lids.length).toBeGreaterThan(2)
    const bytes = written(through, [...pens, ...lids, ...driven.filter((s) => !pens.includes(s) && !lids.includes(s))])
    const found = checkFile('sheet-1.hpgl', bytes, from(through))
    expect(found.wrong.join('\n')).toMatch(/is cut before .*, which lies inside it/)
  })

  test('another film: the reports beside both files name it', () => {
    const { report } = job
    const checks = report.checks.map((each) =>
      each.sent ? { ...each, sent: { ...each.sent, film: 'red film' } } : each,
    )
    const other = { ...against(job, 'sheet-1.cut.svg'), report: { ...report, checks } }
    const found = checkFile('sheet-1.hpgl', job.bytesOf('sheet-1.hpgl'), { ...from(job), against: other })
    expect(found.wrong).toEqual(['it is cut from matt grey film, and sheet-1.cut.svg from red film'])
  })
})

describe('a fault planted into a cut SVG is found:', () => {
  const { film, liner, sheet } = kissed
  const { strokes } = film
  const of = (all: readonly Stroke[]) =>
    new TextEncoder().encode(writeCutSvg(all, { width: sheet.length, height: sheet.width }))
  const moved = (by: Matrix) => of(strokes.map((stroke) => ({ ...stroke, path: transform(stroke.path, by) })))
  const slit = { ...(liner.strokes.at(-1) as Stroke), operation: 'kiss' as const }
  const turned = strokes.map((s): Stroke => {
    if (s.operation === 'kiss') return { ...s, operation: 'through' }
    return s.operation === 'through' ? { ...s, operation: 'kiss' } : s
  })
  const reversed = [...strokes].reverse()

  test.each<[string, Uint8Array, RegExp]>([
    ['operations exchanged', of(turned), /done by (kiss|through)|pen [13] was asked for|done by pen [13]/],
    ['a piece left out', of(strokes.filter(({ name }) => !name.startsWith('lid 2: '))), /missing|not asked for/],
    ['scaled by half a percent', moved(scaling(1.005, 1.005)), /as a whole it is (100\.5|99\.5)\d % along/],
    ['mirrored', moved(mirrorAcross(sheet.length / 2)), /as a whole it is mirrored/],
    ['shifted', moved(translation(0.5, 0)), /as a whole it is shifted by -?0\.5 along/],
    ['a stroke twice', of([...strokes, ...strokes.filter(({ name }) => name === 'lid 1: outline')]), /again|missing/],
    ['a slit on the film side', of([...strokes, slit]), /was not asked for|is missing/],
    ['the other order', of(reversed), /is cut after .*, and should be before it/],
  ])('%s', (_, bytes, told) => {
    for (const other of ['sheet-1.cut.svg', 'sheet-1.hpgl', 'sheet-1.svg']) {
      expect(checked(kissed, 'sheet-1.cut.svg', bytes, other).wrong.join('\n'), other).toMatch(told)
    }
  })
})

describe('the liner side', () => {
  const name = 'sheet-1.liner-up.hpgl'
  const { liner, sheet } = kissed
  const others = ['sheet-1.liner-up.cut.svg', 'sheet-1.svg', name]

  test.each<[string, Uint8Array, RegExp]>([
    [
      'not turned over',
      written(
        kissed,
        liner.driven.map((s) => ({ ...s, path: transform(s.path, mirrorAcross(sheet.length / 2)) })),
      ),
      /mirrored|missing/,
    ],
    ['a slit left out', written(kissed, liner.driven.slice(0, -1)), /is missing/],
    ['a slit twice', written(kissed, [...liner.driven, ...liner.driven.slice(-1)]), /is cut twice, not once/],
    ['an outline in it', written(kissed, [...liner.driven, kissed.film.driven.at(-1) as Stroke]), /was not asked for/],
  ])('%s is found', (_, bytes, told) => {
    for (const other of others) expect(checked(kissed, name, bytes, other).wrong.join('\n'), other).toMatch(told)
  })
})

test('kiss and through by one tool are told apart by their names', () => {
  const one = kissed.machine.tools.kiss ?? expect.fail('no kiss')
  const options = { ...from(kissed), machine: { ...kissed.machine, tools: { ...kissed.machine.tools, through: one } } }
  const svg = new TextDecoder().decode(kissed.bytesOf('sheet-1.cut.svg'))
  const exchanged = svg
    .replace('id="kiss" data-operation="kiss"', 'id="cut" data-operation="cut"')
    .replace('id="through" data-operation="through"', 'id="kiss" data-operation="kiss"')
    .replace('id="cut" data-operation="cut"', 'id="through" data-operation="through"')
  const found = checkFile('sheet-1.cut.svg', new TextEncoder().encode(exchanged), {
    ...options,
    against: against(kissed, 'sheet-1.hpgl'),
  })
  expect(found.wrong.join('\n')).toMatch(/done by kiss, not by through/)
})

test('a tolerance decides: 0.3 mm off is wrong by 0.1 mm and right by 0.5 mm', () => {
  const bytes = written(
    kissed,
    kissed.film.driven.map((s) => ({ ...s, path: transform(s.path, translation(0.3, 0)) })),
  )
  const of = (tolerance: number) =>
    checkFile('sheet-1.hpgl', bytes, { ...from(kissed), tolerance, against: against(kissed, 'sheet-1.cut.svg') })
  expect(of(0.1).wrong.join('\n')).toContain('are more than 0.1 mm off')
  expect(of(0.5).wrong).toEqual([])
  expect(of(0.5).against?.distance).toBeCloseTo(0.3, 1)
})

test('where no machine is known, it says that tools are not compared, and still finds a line too many', () => {
  const other = { file: 'sheet-1.cut.svg', bytes: kissed.bytesOf('sheet-1.cut.svg') }
  const plain = { unitsPerMm: 40, tolerance: 2, against: other }
  const found = checkFile('copy.plt', kissed.bytesOf('sheet-1.hpgl'), plain)
  expect(found.against?.notCompared.join('; ')).toContain('no machine is named')
  expect(found.against?.compared).not.toContain('pen')
})

test('of a sheet that two files do, each is held against its own operations in the drawing', () => {
  const { film, machine, report } = kissed
  const isPen = ({ operation }: Stroke) => operation === 'pen'
  const [pens, cuts] = [film.driven.filter(isPen), film.driven.filter((stroke) => !isPen(stroke))]
  const first = report.checks.find(({ file }) => file === 'sheet-1.hpgl')
  const sentOf = (all: readonly DrivenStroke[]) =>
    first?.sent && { ...first.sent, lines: all.map(({ name, operation }) => ({ name, operation, lines: 1 })) }
  const checks = [
    { file: 'sheet-1.hpgl', worst: 0, sent: sentOf(cuts) },
    { file: 'sheet-1.pen.hpgl', worst: 0, sent: sentOf(pens) },
  ]
  const own = { unitsPerMm: 40, tolerance: 0.1, machine, report: { ...report, checks } }
  const other = against(kissed, 'sheet-1.svg')
  const blade = checkFile('sheet-1.hpgl', written(kissed, cuts), { ...own, against: other })
  expect(blade.wrong).toEqual([])
  expect(blade.against?.notCompared).toContain('pen (another file of this sheet does it)')
  const pen = checkFile('sheet-1.pen.hpgl', written(kissed, pens), { ...own, against: other })
  expect(pen.wrong).toEqual([])
  expect((pen.against?.lines ?? 0) + (blade.against?.lines ?? 0)).toBe(film.strokes.length)
  // The panels are cut by one of them alone.
  const lid = against(kissed, 'panel-lid.svg')
  expect(checkFile('sheet-1.pen.hpgl', written(kissed, pens), { ...own, against: lid }).wrong).toEqual([])
  expect(checkFile('sheet-1.hpgl', written(kissed, cuts), { ...own, against: lid }).panel?.asked).toBe(2)
})
