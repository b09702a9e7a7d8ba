import { readFile } from 'node:fs/promises'
import { describe, expect, test } from 'vitest'
import { readHpgl, readPlot } from '../../src/file/hpgl/read.ts'
import { readCutSvg } from '../../src/file/svg/read.ts'
import { loadShapes } from '../../src/job/catalogue.ts'
import { makeJob } from '../../src/job/make-job.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { jobOf, madeOf, textOf } from './jobs.ts'

const templates = await loadShapes()

const sample = (name: string) => readFile(new URL(`../../samples/${name}.yaml`, import.meta.url), 'utf8')
const samples = ['tool-library', 'lamp-and-flask-inches']

/** The report's panels, as data. */
async function panelsOf(text: string): Promise<unknown> {
  const { files } = await madeOf(text)
  return JSON.parse(textOf(files, 'report.json')).panels
}

/** All numbers in order of their place, and everything else as it is. */
function expectNear(a: unknown, b: unknown, tolerance: number): void {
  if (typeof a === 'number' && typeof b === 'number') {
    expect(Math.abs(a - b)).toBeLessThanOrEqual(tolerance)
  } else if (typeof a === 'object' && typeof b === 'object' && a !== null && b !== null) {
    expect(Object.keys(a)).toEqual(Object.keys(b))
    const other = new Map(Object.entries(b))
    for (const [key, value] of Object.entries(a)) expectNear(value, other.get(key), tolerance)
  } else {
    expect(a).toEqual(b)
  }
}

/** What a panel is, without the sentences that say lengths in the job's own unit. */
const geometryOf = (panels: unknown): unknown =>
  JSON.parse(JSON.stringify(panels, (key, value) => (key === 'marks' || key === 'notes' ? undefined : value)))

describe('the samples', () => {
  test('make a cut, a sheet picture and a liner side of every sheet, a picture of every panel, paper and report', async () => {
    const made = await madeOf(await sample('tool-library'))
    const sheets = [1, 2].flatMap((n) => [
      `sheet-${n}.cut.svg`,
      `sheet-${n}.hpgl`,
      `sheet-${n}.liner-up.cut.svg`,
      `sheet-${n}.liner-up.hpgl`,
      `sheet-${n}.svg`,
    ])
    expect(made.files.map((f) => f.name).sort()).toEqual(
      [
        'job-sheet.pdf',
        'panel-lidded-pail.svg',
        'panel-paint-tin.svg',
        'panel-toolbox-lid.svg',
        'paper.pdf',
        'report.json',
        ...sheets,
      ].sort(),
    )
    expect(made.panels.map((p) => `${p.name} ${p.copies}`)).toEqual(['paint tin 2', 'lidded pail 1', 'toolbox lid 1'])
  })

  test.each(samples)('%s: the report names every file, and the file of every check is there', async (name) => {
    const made = await madeOf(await sample(name))
    const names = made.files.map((f) => f.name)
    expect(JSON.parse(textOf(made.files, 'report.json')).files).toEqual(names)
    expect(new Set(names).size).toBe(names.length)
    const cuts = names.filter((n) => n.endsWith('.hpgl') || n.endsWith('.cut.svg'))
    expect(made.checks.map((c) => c.file)).toEqual(cuts)
  })

  test.each(samples)('%s: every dialect says the same places in the same order', async (name) => {
    const text = await sample(name)
    const plotsOf = async (dialect: string) => {
      const { files } = await madeOf(text.replace('machine:\n', `machine:\n  dialect: ${dialect}\n`))
      const plots = files.filter((f) => f.name.endsWith('.hpgl'))
      expect(plots.length).toBeGreaterThan(1)
      return plots.map(({ bytes }) => {
        const { faults, strokes } = readPlot(bytes)
        expect(faults).toEqual([])
        return { bytes: bytes.length, strokes: strokes.map(({ pen, path }) => ({ pen, path })) }
      })
    }
    const strict = await plotsOf('strict')
    for (const dialect of ['compact', 'relative', 'encoded']) {
      const other = await plotsOf(dialect)
      expect(other.map((p) => p.bytes)).not.toEqual(strict.map((p) => p.bytes))
      expect(other.map((p) => p.strokes)).toEqual(strict.map((p) => p.strokes))
    }
  })

  test.each(samples)('%s: no cut file strays 0.05 mm from what was asked', async (name) => {
    const { checks } = await madeOf(await sample(name))
    expect(checks.length).toBeGreaterThan(0)
    for (const check of checks) {
      expect(check.strokes).toBeGreaterThan(0)
      expect(check.worst).toBeLessThan(0.05)
    }
  })

  test.each(samples)('%s: one job makes the same bytes twice', async (name) => {
    const text = await sample(name)
    const [first, second] = [await madeOf(text), await madeOf(text)]
    expect(second.files.map((f) => f.name)).toEqual(first.files.map((f) => f.name))
    first.files.forEach((file, i) => {
      expect(Buffer.compare(file.bytes, second.files[i]?.bytes ?? new Uint8Array()), file.name).toBe(0)
    })
  })

  test('have words without holes in every text file', async () => {
    for (const name of samples) {
      const { files, summary, warnings } = await madeOf(await sample(name))
      const texts = files.filter((f) => !f.name.endsWith('.pdf')).map((f) => new TextDecoder().decode(f.bytes))
      for (const text of [...texts, ...summary, ...warnings.map((own) => own.text)])
        expect(text).not.toMatch(/undefined|NaN|\[object/)
    }
  })
})

describe('one object in three units', () => {
  // 254 mm = 25.4 cm = 10 in; 101.6 mm = 10.16 cm = 4 in; 92.075 mm = 9.2075 cm = 3 5/8 in (1 in = 25.4 mm by definition)
  test.each([
    [
      'straight-band',
      ['girth: 254, height: 92.075', 'girth: 25.4 cm, height: 9.2075cm', 'girth: 10 in, height: 3 5/8 in'],
    ],
    ['flat-panel', ['width: 254, height: 92.075', 'width: 25.4 cm, height: 9.2075 cm', `width: 10, height: '3 5/8"'`]],
    [
      'tapered-band',
      [
        'bottomGirth: 254, topGirth: 0.3048 m, slant: 92.075, gap: 41.275',
        'bottomGirth: 25.4 cm, topGirth: 30.48 cm, slant: 9.2075 cm, gap: 4.1275 cm',
        'bottomGirth: 10 in, topGirth: 1 ft, slant: 3-5/8 in, gap: 1 5/8 in',
      ],
    ],
  ])('makes one %s', async (shape, [mm = '', cm = '', inches = '']) => {
    const made = async (unit: string, allowance: string, measures: string) =>
      geometryOf(
        await panelsOf(
          jobOf([`name: a, shape: ${shape}, ${measures}`], `unit: ${unit}\ndefaults: { allowance: ${allowance} }\n`),
        ),
      )
    const first = await made('mm', '3.175', mm)
    expectNear(await made('cm', '0.3175', cm), first, 1e-6)
    expectNear(await made('in', '1/8', inches), first, 1e-6)
  })
})

describe('cut files', () => {
  test('of a flat panel of 100 x 50 mm come out as worked by hand', async () => {
    const text = jobOf(
      [
        'name: A, shape: flat-panel, width: 100, height: 50, allowance: 0, slit: none, ticks: pen, pinned: [{ x: 10, y: 10 }]',
      ],
      'stock: { margin: 10 }\nmachine: { like: plain-roll, tools: { pen: 2, kiss: 1 }, blade: { overcut: 0 } }\n',
    )
    const { files } = await madeOf(text)
    const lines = textOf(files, 'sheet-1.hpgl').split('\n')
    // 40 units a mm (HP 5961-0509, table 17-7); corners at 10,10 and 110,60 mm: 400,400 and 4400,2400.
    // Ticks at x = 60 mm = 2400, 3 mm = 120 inward. Pen before knife; labels stand between.
    // From the first tick's end the second one's inner end is the nearer.
    expect(lines.slice(0, 3)).toEqual(['IN;SP2;', 'PU2400,400;PD2400,520;PU;', 'PU2400,2280;PD2400,2400;PU;'])
    expect(lines.at(-4)).toBe('SP1;')
    expect(lines.slice(-2)).toEqual(['PU;PU0,0;SP0;', ''])
    // The outline begins away from corners and from the ticks at x = 2400, and goes round counter-clockwise.
    const [start = '', ...places] = [...(lines.at(-3) ?? '').matchAll(/\d+,\d+/g)].map(([pair]) => pair)
    expect(places).toHaveLength(5)
    expect(places.at(-1)).toBe(start)
    const corners = ['4400,400', '4400,2400', '400,2400', '400,400']
    const first = corners.indexOf(places[0] ?? '')
    expect(places.slice(0, 4)).toEqual([...corners.slice(first), ...corners.slice(0, first)])
    const [x = 0, y = 0] = start.split(',').map(Number)
    const onSide = x === 400 || x === 4400 ? y : y === 400 || y === 2400 ? x : Number.NaN
    expect(Math.min(...[400, 4400, 2400].map((place) => Math.abs(onSide - place)))).toBeGreaterThan(3 * 40)
    expect(files.some((f) => f.name.includes('liner'))).toBe(false)
  })

  test('of the liner side lie mirrored, as worked by hand for two panels of unlike width', async () => {
    const flat = (name: string, width: number, y: number) =>
      `name: ${name}, shape: flat-panel, width: ${width}, height: 50, pinned: [{ x: 22, y: ${y} }]`
    const head =
      'stock: { margin: 10, gap: 20 }\ndefaults: { allowance: 0, ticks: pen }\nmachine: { like: plain-roll, tools: { pen: 2, kiss: 1, through: 1, slit: 3 }, blade: { overcut: 0 } }\n'
    const { files } = await madeOf(jobOf([flat('A', 100, 10), flat('B', 60, 80)], head))
    // B is pinned across from A. 10 + 12 mm kept free, 100, 12 + 10: 144 mm. Hinges at 22 + 50 = 72 and 22 + 30 = 52 mm, from
    // the other end 72 and 92 mm: 2880 and 3680 units. A lies at y 10..60 mm, B 20 mm on at 80..130 mm; slits run 5 mm
    // past both: 5..65 mm = 200..2600 and 75..135 mm = 3000..5400.
    const lines = textOf(files, 'sheet-1.liner-up.hpgl').split('\n')
    expect(lines[0]).toBe('IN;SP3;')
    const upright = lines.flatMap((line) => {
      const [, x, a, b] = /^PU(\d+),(\d+);PD\1,(\d+);PU;$/.exec(line) ?? []
      return x === undefined ? [] : [[x, ...[a, b].map(Number).sort((p, q) => p - q)].join()]
    })
    expect(upright).toEqual(expect.arrayContaining(['2880,200,2600', '3680,3000,5400']))
  })

  test('take what an object says for itself before what the job says for all', async () => {
    const objects = ['A', 'B, allowance: 0'].map((n) => `name: ${n}, shape: flat-panel, width: 100, height: 50`)
    const head = 'defaults: { allowance: { left: 3, bottom: 2 }, slit: none }\n'
    const { panels } = await madeOf(jobOf(objects, head))
    // A: 3 left and the standard 1 right, 2 bottom and the standard 1 top; B as measured
    expect(panels.map((p) => `${p.width} x ${p.height}`)).toEqual(['104 mm x 53 mm', '100 mm x 50 mm'])
  })

  test.each(samples)('of the film side never hold the slit: %s', async (name) => {
    const { files } = await madeOf(await sample(name))
    const report = JSON.parse(textOf(files, 'report.json'))
    const unitsPerMm = report.machine.unitsPerMm.x
    for (const { name: file } of files.filter((f) => /^sheet-\d+\.hpgl$/.test(f.name))) {
      const svg = readCutSvg(textOf(files, file.replace('.hpgl', '.cut.svg')))
      expect(svg.strokes.map((s) => s.operation)).not.toContain('slit')
      const film = readHpgl(textOf(files, file), { unitsPerMm, pens: {} })
      const liner = readCutSvg(textOf(files, file.replace('.hpgl', '.liner-up.cut.svg')))
      const length = Number(/width="([\d.]+)mm"/.exec(textOf(files, file.replace('.hpgl', '.cut.svg')))?.[1])
      expect(length).toBeGreaterThan(0)
      // Slits are the straight liner strokes longer than a lining-up cross; turned back over, no film stroke is one.
      const slits = liner.strokes
        .map(({ path }) => [path.start, path.segments[0]?.to ?? path.start] as const)
        .filter(([a, b]) => Math.hypot(a.x - b.x, a.y - b.y) > 20)
      expect(slits.length).toBeGreaterThan(0)
      for (const [a, b] of slits) {
        const middle = { x: length - (a.x + b.x) / 2, y: (a.y + b.y) / 2 }
        const along = film.filter(({ points }) =>
          points.some((p, i) => {
            const q = points[i + 1]
            return q !== undefined && fromSegment(middle, p, q) < 0.1
          }),
        )
        expect(along).toEqual([])
      }
    }
  })

  test('hold nothing for a pen where the machine has none', async () => {
    const { files } = await madeOf(await sample('lamp-and-flask-inches'))
    expect(readCutSvg(textOf(files, 'sheet-1.cut.svg')).strokes.map((s) => s.operation)).not.toContain('pen')
  })
})

function fromSegment(at: { x: number; y: number }, a: { x: number; y: number }, b: { x: number; y: number }): number {
  const [dx, dy] = [b.x - a.x, b.y - a.y]
  const square = dx * dx + dy * dy
  const t = square === 0 ? 0 : Math.min(1, Math.max(0, ((at.x - a.x) * dx + (at.y - a.y) * dy) / square))
  return Math.hypot(at.x - a.x - t * dx, at.y - a.y - t * dy)
}

describe('a job that cannot be made', () => {
  test('is refused with by how much a panel is too big for the film', async () => {
    const text = jobOf(
      ['name: door, shape: flat-panel, width: 700, height: 650, allowance: 0, slit: none, ticks: pen'],
      'stock: { width: 630, margin: 10 }\nmachine: { like: plain-roll, tools: { pen: 2, kiss: 1, through: 1, slit: 1 } }\n',
    )
    const { made, problems } = await makeJob(text, templates)
    expect(made).toBeUndefined()
    expect(problems).toHaveLength(1)
    // across: 630 - 2 x 10 = 610, 40 too little; along: 800 - 10 = 790, enough, for the roll goes on past its reach
    const [problem] = problems.map(formatProblem)
    expect(problem).toContain('door')
    expect(problem).toContain('700 mm x 650 mm')
    expect(problem).toContain('790 mm along and 610 mm across')
    expect(problem).toContain('too big by 40 mm across')
  })

  test('is refused with how much more roll its pieces take', async () => {
    const text = jobOf(['name: a, shape: flat-panel, width: 300, height: 500, copies: 5'], 'stock: { length: 1 m }\n')
    expect((await makeJob(text, templates)).problems).toMatchObject([{ code: 'roll_too_short', value: '1000 mm' }])
  })

  test('is made within the reach of a machine narrower than the film', async () => {
    const text = jobOf(
      ['name: a, shape: flat-panel, width: 100, height: 100'],
      'stock: { width: 3 m }\nmachine: { like: plain-roll, area: { along: 800 mm, across: 300 mm } }\n',
    )
    const { made, problems } = await makeJob(text, templates)
    expect(problems).toEqual([])
    expect(made?.files.map((file) => file.name)).toContain('sheet-1.hpgl')
  })

  test('tells what is wrong with every panel, not with the first alone', async () => {
    const objects = ['a', 'b'].map((n) => `name: ${n}, shape: flat-panel, width: 100, height: 50, allowance: -60`)
    const { problems } = await makeJob(jobOf(objects), templates)
    expect(problems.map((p) => p.code)).toEqual(['allowance_swallows', 'allowance_swallows'])
  })
})

describe('labels', () => {
  const named = (name: string, pens: string) =>
    jobOf(
      [`name: ${name}, shape: flat-panel, width: 300, height: 200`],
      `machine: { like: plain-roll, tools: ${pens} }\n`,
    )

  test('with characters the pen cannot write lead to a warning, in the result, beside it and in the report', async () => {
    const { made, warnings } = await makeJob(named('дверь 2', '{ pen: 2, kiss: 1, through: 1, slit: 1 }'), templates)
    expect(warnings).toHaveLength(1)
    expect(warnings[0]?.text).toContain('дверь 2')
    expect(warnings[0]?.text).toContain('д в е р ь')
    expect(made?.warnings).toEqual(warnings)
    expect(JSON.parse(textOf(made?.files ?? [], 'report.json')).warnings).toEqual(warnings.map(({ text }) => text))
  })

  test('with accents and arrows lead to none, nor does any label where nothing is drawn', async () => {
    expect(
      (await makeJob(named('Türe (älter)', '{ pen: 2, kiss: 1, through: 1, slit: 1 }'), templates)).warnings,
    ).toEqual([])
    expect((await makeJob(named('дверь', '{ kiss: 1, through: 1, slit: 1 }'), templates)).warnings).toEqual([])
  })
})
