import { readFile } from 'node:fs/promises'
import { expect, test } from 'vitest'
import { loadShapes } from '../../src/job/catalogue.ts'
import { fitLines } from '../../src/job/fit.ts'
import { planJob } from '../../src/job/plan-job.ts'
import { layoutFile, namingPlaces } from '../../src/job/search.ts'
import { booked, emptyShelf, shelfLines, shelfOf, withEntry } from '../../src/job/shelf.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { faultsOf } from '../sheet/laid.ts'

const templates = await loadShapes()
const sample = (name: string) => readFile(new URL(`../../samples/${name}`, import.meta.url), 'utf8')
const encoder = new TextEncoder()

async function planned(job: string, files: Readonly<Record<string, string>>) {
  const readFile = async (name: string) => {
    const text = files[name]
    if (text === undefined) throw new Error('there is no such file')
    return encoder.encode(text)
  }
  return planJob(job, templates, { readFile })
}

async function planOf(job: string, files: Readonly<Record<string, string>>) {
  const { plan, problems, warnings } = await planned(job, files)
  if (!plan) throw new Error(problems.map(formatProblem).join('\n'))
  return { plan, warnings: warnings.map(({ text }) => text) }
}

const monthly = async () => {
  const shelf = await sample('shelf.yaml')
  const job = await sample('monthly-job.yaml')
  return { shelf, job, ...(await planOf(job, { 'shelf.yaml': shelf })) }
}

/** Pieces of the sample: two tins, two flasks, a lid, an end, six tags and a shade. */
const pieces = 2 + 2 + 1 + 1 + 6 + 1

test('the monthly job lies on its shelf, whole, with what it asks for between pieces', async () => {
  const { plan } = await monthly()
  const sheets = plan.cuts.map(({ sheet }) => sheet)
  expect(sheets.reduce((sum, sheet) => sum + sheet.pieces.length, 0)).toBe(pieces)
  for (const sheet of sheets) expect(faultsOf(sheet, 8)).toEqual([])
  const homes = sheets.filter((sheet) => sheet.pieces.some(({ group }) => group === 'toolbox'))
  expect(homes).toHaveLength(1)
  expect(homes[0]?.pieces.filter(({ group }) => group === 'toolbox')).toHaveLength(2)
  // gloss green film is none of the job's
  expect(sheets.some(({ stock }) => stock.name === 'green sheets')).toBe(false)
  expect(fitLines(plan)).toContain('printed left-over: flask, toolbox end, shelf tag')
})

test('a shelf is listed with what a person wants to know', async () => {
  const lines = shelfLines(shelfOf(await sample('shelf.yaml')))
  expect(lines).toHaveLength(6)
  // 0.63 x 8.4 m
  expect(lines[0]).toMatch(/^grey roll +roll 630 mm wide, 8400 mm left; 5\.29 m²; matt grey film; quarter turns$/)
  // 4 x 0.5 x 0.7 m
  expect(lines[1]).toMatch(/^green sheets +4 sheets 700 mm x 500 mm; 1\.40 m²; gloss green film; quarter turns$/)
  expect(lines[5]).toMatch(/printed; no turning$/)
})

test('a booked job takes lengths off rolls, used offcuts away, and puts what is worth keeping there; comments stay', async () => {
  const { plan, shelf } = await monthly()
  const { text, changes } = booked(shelf, plan.job.title, plan.material)
  const now = shelfOf(text)
  const names = now.stocks.map(({ stock }) => stock.name)
  for (const { stock, length } of plan.material.stocks) {
    const left = now.stocks.find((each) => each.stock.name === stock.name)
    if (stock.kind === 'roll') expect(left?.stock.length).toBeCloseTo(Math.floor(8400 - length), 6)
    else expect(left).toBeUndefined()
  }
  const kept = plan.material.sheets.flatMap(({ keep }) => keep)
  expect(names.filter((name) => name.startsWith('left of Tool library, monthly job'))).toHaveLength(kept.length)
  expect(changes).toHaveLength(plan.material.stocks.length + kept.length)
  for (const comment of ["# The tool library's film", '# a metre', '# so nothing is turned on it'])
    expect(text).toContain(comment)
  // every line of what was not touched is as it was
  for (const line of ['    price: 5.40            # a metre', '    count: 4']) expect(text.split('\n')).toContain(line)
})

test('booking twice what is there once is refused', async () => {
  const { plan, shelf } = await monthly()
  const once = booked(shelf, plan.job.title, plan.material).text
  expect(() => booked(once, plan.job.title, plan.material)).toThrow(/no_longer_there|without .* the job was laid on it/)
})

test('an offcut comes onto a shelf measured in each of its ways', () => {
  const sides = { bottom: 300, right: 200, top: 300, left: 200, bottomLeftToTopRight: Math.hypot(300, 200) }
  const ways = [
    { width: 200, length: 300 },
    {
      corners: [
        [0, 0],
        [300, 0],
        [300, 200],
        [0, 200],
      ],
    },
    { sides },
  ]
  const text = ways.reduce(
    (shelf, way, i) => withEntry(shelf, { name: `scrap ${i}`, kind: 'offcut', ...way }),
    emptyShelf,
  )
  for (const { stock } of shelfOf(text).stocks) {
    expect(stock.length).toBeCloseTo(300, 6)
    expect(stock.width).toBeCloseTo(200, 6)
  }
  expect(() => withEntry(text, { name: 'Scrap 1', kind: 'offcut', width: 100, length: 100 })).toThrow(
    /stocks\[1\] has that name/,
  )
})

const entry = (fields: string) => `version: 1\nstocks:\n  - { name: a, ${fields} }\n`

test.each([
  [
    'version: 1\nstocks:\n  - { name: a, kind: rol, width: 600, length: 1000 }\n',
    3,
    /kind is "rol".*Did you mean roll/,
  ],
  [entry('kind: offcut'), 3, /width is not given.*Give width and length, corners, or sides/],
  [entry('kind: roll, width: 600, length: 1 km'), 3, /length/],
  [
    entry('kind: roll, corners: [[0, 0], [9, 0], [9, 9]]'),
    3,
    /a roll is a rectangle of width and length.*Make it an offcut/,
  ],
  [entry('kind: offcut, width: 90, length: 90, corners: [[0, 0], [90, 0], [90, 90]]'), 3, /measured in one way/],
  [
    entry('kind: offcut, corners: [[0, 0], [90, 90], [90, 0], [0, 90]]'),
    3,
    /corners is crossing itself; an edge goes once round/,
  ],
  [entry('kind: offcut, corners: [[0, 0], [9, 0], [9, 9]]'), 3, /the least is 400 mm\^2/],
  [
    entry('kind: offcut, sides: { bottom: 300, right: 20, top: 30, left: 40, bottomLeftToTopRight: 90 }'),
    3,
    /sides\.bottom is 300 mm; in the triangle/,
  ],
  [
    'version: 1\nstocks:\n  - { name: a, kind: roll, width: 600, length: 900 }\n  - { name: A, kind: roll, width: 600, length: 900 }\n',
    4,
    /stocks\[1\]\.name is "A"; stocks\[0\] has that name/,
  ],
  ['version: 1\nstocks: [\n', 3, /not readable here/],
  ['version: 2\nstocks: []\n', 1, /version is 2/],
])('a shelf of nonsense is refused with line and reason: %#', (text, line, reason) => {
  expect(() => shelfOf(text)).toThrow(new RegExp(`line ${line}, .*`))
  expect(() => shelfOf(text)).toThrow(reason)
})

test('a job whose shelf is missing, broken or has none of its film is refused', async () => {
  const job = await sample('monthly-job.yaml')
  const told = async (files: Readonly<Record<string, string>>) =>
    (await planned(job, files)).problems.map(formatProblem).join()
  expect(await told({})).toMatch(/shelf is shelf\.yaml, which cannot be read \(there is no such file\)/)
  expect(await told({ 'shelf.yaml': entry('kind: rol') })).toMatch(/shelf\.yaml line 3: stocks\[0\]\.kind is "rol"/)
  const green = entry('kind: roll, width: 600, length: 900, film: gloss green film')
  expect(await told({ 'shelf.yaml': green })).toMatch(
    /film\.name is "matt grey film"; shelf\.yaml has gloss green film/,
  )
})

test('places that were found are kept to, until the pieces or the film change', async () => {
  const { plan, shelf, job } = await monthly()
  const sheets = plan.cuts.map(({ sheet }) => sheet)
  const places = layoutFile(plan.request, sheets, { seed: 3, rounds: 7 })
  const named = namingPlaces(job, 'found.yaml')
  expect(named.replace('  places: "found.yaml"\n', '')).toBe(job)
  const files = { 'shelf.yaml': shelf, 'found.yaml': places }
  const where = (own: typeof plan) =>
    own.cuts.flatMap(({ sheet }) =>
      sheet.pieces.map(({ panel, copy, place, angle }) => ({
        name: panel.name,
        copy,
        place,
        angle,
        on: sheet.stock.name,
      })),
    )
  const again = await planOf(named, files)
  expect(again.warnings).toEqual([])
  for (const [i, { place, ...own }] of where(again.plan).entries()) {
    const wanted =
      where(plan).find(({ name, copy }) => name === own.name && copy === own.copy) ?? expect.fail(`no ${i}`)
    expect(own.on).toBe(wanted.on)
    expect(own.angle).toBeCloseTo(wanted.angle, 8)
    expect(Math.hypot(place.e - wanted.place.e, place.f - wanted.place.f)).toBeLessThan(1e-4)
  }
  const other = await planOf(named.replace('gap: 8', 'gap: 9'), files)
  expect(other.warnings.join()).toMatch(/found\.yaml: the pieces are no longer the same, so the pieces were laid anew/)
  const gone = await planOf(named, {
    ...files,
    'shelf.yaml': shelf
      .replace(/name: torn corner/, 'name: torn edge')
      .replace('scrap of the paint tins', 'other scrap'),
  })
  expect(gone.warnings.join()).toMatch(/the film is no longer the same/)
  const missing = await planOf(named, { 'shelf.yaml': shelf })
  expect(missing.warnings.join()).toMatch(/found\.yaml, which cannot be read/)
})

test('a job gets the name of its layout file in place, whatever its layout table is like', () => {
  const objects = 'objects:\n  - { name: a }   # one\n'
  expect(namingPlaces(`title: t\n${objects}`, 'a.yaml')).toBe(`title: t\nlayout:\n  places: "a.yaml"\n${objects}`)
  expect(namingPlaces(`layout: { gap: 8 } # tight\n${objects}`, 'a.yaml')).toBe(
    `layout: { places: "a.yaml", gap: 8 } # tight\n${objects}`,
  )
  const named = `layout:\n  places: "a.yaml"\n  gap: 8\n${objects}`
  expect(namingPlaces(`layout:\n  gap: 8\n${objects}`, 'a.yaml')).toBe(named)
  expect(namingPlaces(named, 'a.yaml')).toBe(named)
  expect(namingPlaces(named, 'b.yaml')).toContain('places: "b.yaml"')
})
