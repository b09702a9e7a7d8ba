import { describe, expect, test } from 'vitest'
import { loadShapes } from '../../src/job/catalogue.ts'
import { makeJob } from '../../src/job/make-job.ts'
import { planJob } from '../../src/job/plan-job.ts'
import { jobOf } from './jobs.ts'

const templates = await loadShapes()
const lid = 'name: lid, shape: flat-panel, width: 200, height: 120'
const sheet = (name: string, film?: string) =>
  `{ name: ${name}, kind: sheet, width: 700, length: 900${film === undefined ? '' : `, film: ${film}`} }`
const shelf = (...stocks: string[]) => `version: 1\nstocks: [${stocks.join(', ')}]\n`

const planned = (head: string, files: Readonly<Record<string, string>> = {}) =>
  planJob(jobOf([lid], head), templates, { readFile: async (name) => new TextEncoder().encode(files[name] ?? '') })

describe('film of another name than the job asks for is not cut:', () => {
  test('the one stock', async () => {
    const { plan, problems } = await planned('film: { name: red vinyl }\nstock: { film: blue vinyl }\n')
    expect(plan).toBeUndefined()
    expect(problems).toMatchObject([
      { code: 'other_film', field: 'stock.film', value: '"blue vinyl"', limit: expect.stringContaining('"red vinyl"') },
    ])
  })

  test('one of a list', async () => {
    const head = `stock: [${sheet('a', 'red vinyl')}, ${sheet('b', 'blue vinyl')}, ${sheet('c')}]\n`
    const { problems } = await planned(`film: { name: red vinyl }\n${head}`)
    expect(problems.map(({ field }) => field)).toEqual(['stock[1].film'])
    // nor is one of two films taken where the job names none
    const { problems: unnamed } = await planned(head)
    expect(unnamed).toMatchObject([{ field: 'stock[1].film', limit: expect.stringContaining('"red vinyl"') }])
  })

  test('nor what lies on a shelf beside a stock of its own', async () => {
    const files = { 'shelf.yaml': shelf(sheet('a', 'blue vinyl'), sheet('b', 'red vinyl')) }
    const { plan } = await planned(
      'stock: { kind: sheet, width: 300, length: 300, film: red vinyl }\nshelf: shelf.yaml\n',
      files,
    )
    expect(plan?.request.stocks.map(({ name }) => name)).toEqual(['sheet', 'b'])
  })
})

test('a stock of a list that names no film beside one that does is taken for it with a warning, unless the job names it', async () => {
  const head = `stock: [${sheet('a', 'red vinyl')}, ${sheet('b')}]\n`
  const { plan, warnings } = await planned(head)
  expect(plan?.job.film.name).toBe('red vinyl')
  expect(warnings).toEqual([
    {
      field: 'stock[1].film',
      text: expect.stringMatching(/^b does not say which film it is, and is taken for red vinyl\./),
    },
  ])
  expect((await planned(`film: { name: red vinyl }\n${head}`)).warnings).toEqual([])
  expect((await planned(`stock: [${sheet('a')}, ${sheet('b')}]\n`)).warnings).toEqual([])
})

test('film of the job and film on the shelf do not share a name, since pins and booking go by it', async () => {
  const files = { 'shelf.yaml': shelf(sheet('Rest', 'red vinyl'), sheet('blue rest', 'blue vinyl')) }
  const head = (name: string) =>
    `film: { name: red vinyl }\nshelf: shelf.yaml\nstock: [${sheet('a')}, ${sheet(name)}]\n`
  const { plan, problems } = await planned(head('rest'), files)
  expect(plan).toBeUndefined()
  expect(problems).toMatchObject([{ code: 'same_name', field: 'stock[1].name', value: '"rest"' }])
  // other film is not in the way
  expect((await planned(head('blue rest'), files)).problems).toEqual([])
})

test('case and blanks make no other film', async () => {
  const { problems } = await planned('film: { name: Red  Vinyl }\nstock: { film: "red vinyl " }\n')
  expect(problems).toEqual([])
})

test('a job that names no film is of the film of its stock, and says so', async () => {
  const { made } = await makeJob(jobOf([lid], 'stock: { film: blue vinyl }\n'), templates)
  expect(made?.summary.join('\n')).toMatch(/^Material: blue vinyl,/m)
})

test('film from a shelf that does not say which it is, though others there do, is taken with a warning where it is cut', async () => {
  const small = '{ name: scrap, kind: offcut, width: 240, length: 240 }'
  const head = 'film: { name: red vinyl }\nshelf: shelf.yaml\n'
  const { plan, warnings } = await planned(head, { 'shelf.yaml': shelf(small, sheet('b', 'red vinyl')) })
  expect(plan?.cuts.map(({ sheet: { stock } }) => stock.name)).toEqual(['scrap'])
  expect(warnings).toMatchObject([{ field: 'shelf', text: expect.stringContaining('scrap on shelf.yaml') }])
  // one that is not cut, and a shelf that names no film at all, are no news
  const tiny = '{ name: tiny, kind: offcut, width: 40, length: 40 }'
  expect((await planned(head, { 'shelf.yaml': shelf(tiny, sheet('b', 'red vinyl')) })).warnings).toEqual([])
  expect((await planned(head, { 'shelf.yaml': shelf(small) })).warnings).toEqual([])
})

test('readings of film on the shelf that differ are warned of, by their stock', async () => {
  const bent = '{ name: bent, kind: offcut, width: [240, 242], length: 240 }'
  const { warnings } = await planned('shelf: shelf.yaml\n', { 'shelf.yaml': shelf(bent) })
  expect(warnings).toEqual([
    {
      field: 'shelf',
      text: 'shelf.yaml, bent, width: readings 240, 242 differ by 2.0 mm; a class II tape explains 1.0 mm. Measure once more.',
    },
  ])
  const apart = bent.replace('[240, 242]', '[240, 24]')
  const { problems } = await planned('shelf: shelf.yaml\n', { 'shelf.yaml': shelf(apart) })
  expect(problems).toMatchObject([{ code: 'readings_apart', field: 'shelf.yaml line 2: stocks[0].width' }])
})

test('a shelf and a layout file in another encoding are refused, by their line', async () => {
  const bytes = Uint8Array.from(`version: 1\nstocks: []  # T\u00fcren\n`, (letter) => letter.charCodeAt(0))
  const readFile = async () => bytes
  const { problems } = await planJob(jobOf([lid], 'shelf: shelf.yaml\n'), templates, { readFile })
  expect(problems).toMatchObject([{ code: 'not_utf8', field: 'shelf', value: expect.stringContaining('line 2') }])
})
