import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { loadShapes } from '../../src/job/catalogue.ts'
import { readJob } from '../../src/job/read-job.ts'
import { writeLength } from '../../src/measure/length.ts'
import { formatProblem, type Problem } from '../../src/measure/problem.ts'
import { jobOf } from './jobs.ts'

const templates = await loadShapes()

const problemsOf = (text: string): readonly Problem[] => {
  const { job, problems } = readJob(text, templates)
  expect(job).toBeUndefined()
  for (const problem of problems) expectWhole(problem)
  return problems
}

/** Every part says something, and nothing of the program shows through. */
function expectWhole(problem: Problem): void {
  for (const part of [problem.code, problem.field, problem.value, problem.limit, problem.cure]) {
    expect(part.trim()).not.toBe('')
  }
  expect(formatProblem(problem)).not.toMatch(/undefined|\[object|NaN|\n/)
  expect(problem.cure).toMatch(/[.?]$/)
}

/** The problem of a field; the place as `line:column`. */
const told = (problems: readonly Problem[], field: string) =>
  problems
    .filter((p) => p.field === field)
    .map(({ code, value, limit, cure, place }) => ({ code, value, limit, cure, line: place?.line }))

describe('a job with many mistakes', () => {
  const text = `version: 1
titel: Autumn
tape: { clas: II }
machine:
  { like: plain-roll, tools: { pn: 2, kiss: 1 } }
cut: kis
objects:
  - name: tin
    shape: straight-band
    girth: -3
    heigth: 90
  - name: pail
    shape: strait-band
  - name: flask
    shape: straight-band
    girth: 9.5 furlongs
    height: 99999999999999999999999
  - name: jar
    shape: straight-band
    girth: 500
    diameter: 159
    height: 90
    gap: 501
  - name: Jar
    shape: flat-panel
    width: 3 m
    height: 95
  - name: lid
    shape: flat-panel
    width: { mm: 100 }
    height: 60
    allowance: { botom: 3 }
    radius: { topLft: 3 }
    openings:
      - { shape: rond, diametr: 30, fromLeft: 5, fromBottom: 5 }
  - name: sign
`
  const problems = problemsOf(text)

  test('has every one of them reported in one go', () => {
    expect(problems.map((p) => `${p.place?.line} ${p.code} ${p.field}`).sort()).toEqual(
      [
        '1 missing title',
        '2 unknown_key titel',
        '3 unknown_key tape.clas',
        '5 unknown_key machine.tools.pn',
        '6 unknown_word cut',
        '10 too_small objects[0].girth',
        '8 missing objects[0].height',
        '11 unknown_key objects[0].heigth',
        '13 unknown_shape objects[1].shape',
        '16 unknown_unit objects[2].girth',
        '17 too_big objects[2].height',
        '18 contradiction objects[3] jar: diameter',
        '18 gap_too_wide objects[3] jar: gap',
        '24 same_name objects[4].name',
        '30 wrong_kind objects[5].width',
        '32 unknown_key objects[5].allowance.botom',
        '33 unknown_key objects[5].radius.topLft',
        '35 unknown_word objects[5].openings[0].shape',
        '35 unknown_key objects[5].openings[0].diametr',
        '36 missing objects[6].shape',
      ].sort(),
    )
  })

  test('says of a length what it is, what is allowed, in which unit, and what to do', () => {
    expect(told(problems, 'objects[0].girth')).toEqual([
      { code: 'too_small', value: '-3 mm', limit: 'the least is 30 mm', cure: 'Enter 30 mm or more.', line: 10 },
    ])
    const short = readJob(jobOf(['name: tin, shape: straight-band, girth: [12, 13], height: 95']), templates).problems
    expect(short).toMatchObject([{ code: 'too_small', value: '12, 13 (12.5 mm)', limit: 'the least is 30 mm' }])
    expect(told(problems, 'objects[2].height')).toEqual([
      {
        code: 'too_big',
        value: '1e+23 mm',
        limit: 'the most is 5000 mm',
        cure: 'Check the unit; bare numbers are read as mm.',
        line: 17,
      },
    ])
    expect(told(problems, 'objects[2].girth')).toMatchObject([
      { value: '9.5 furlongs', limit: 'the units are mm, cm, m, in and ft', line: 16 },
    ])
    expect(told(problems, 'objects[0].height')).toMatchObject([
      { value: 'not given', cure: expect.stringMatching(/^Add height \(from the lower edge to the upper/) },
    ])
  })

  test.each([
    ['titel', 'title'],
    ['tape.clas', 'class'],
    ['machine.tools.pn', 'pen'],
    ['cut', 'kiss'],
    ['objects[0].heigth', 'height'],
    ['objects[1].shape', 'straight-band'],
    ['objects[5].allowance.botom', 'bottom'],
    ['objects[5].radius.topLft', 'topLeft'],
    ['objects[5].openings[0].shape', 'round'],
    ['objects[5].openings[0].diametr', 'diameter'],
  ])('suggests, for %s, %s', (field, meant) => {
    expect(told(problems, field).map((p) => p.cure)).toEqual([`Did you mean ${meant}?`])
  })

  test('names only fields of the object its shape has', () => {
    const [unknown] = told(problems, 'objects[0].heigth')
    expect(unknown?.limit).toContain('girth')
    expect(unknown?.limit).not.toContain('bottomGirth')
  })
})

describe('a file that is no job', () => {
  test('has broken YAML shown by line and column', () => {
    const [problem] = problemsOf('version: 1\ntitle: [a\nobjects: 3\n')
    expect(problem).toMatchObject({ code: 'yaml', place: { line: 3, column: 1 } })
  })

  test('has a field given twice named, where it stands the second time', () => {
    const twice = { code: 'yaml', value: 'told title twice', place: { line: 3 } }
    expect(problemsOf('version: 1\ntitle: a\ntitle: b\n')).toMatchObject([twice])
  })

  test.each(['version: 1\nobjects:\n  - name: a\n\tgirth: 3\n    height: 4\n', 'version: 1\nobjects:\n  -\tname: a\n'])(
    'is told once of one tab: %j',
    (text) => {
      expect(problemsOf(text)).toMatchObject([{ code: 'yaml', value: 'set in with a tab here' }])
    },
  )

  test('that is set in with tabs all through is told once, with how many', () => {
    const text = 'version: 1\nobjects:\n\t- name: a\n\t  girth: 3\n\t  height: 4\n'
    const problems = problemsOf(text)
    expect(problems).toHaveLength(1)
    expect(problems).toMatchObject([{ value: 'set in with tabs here and in 2 more places', place: { line: 3 } }])
  })

  test('has a decimal comma in braces told as what it is, since the rest of the number would be cut without it', () => {
    const [tail, ...others] = problemsOf(
      'version: 1\ntitle: a\nunit: cm\nobjects:\n  - { name: a, shape: straight-band, girth: 53,4, height: 18 }\n',
    )
    expect(others).toEqual([])
    expect(tail).toMatchObject({ code: 'unknown_key', field: 'objects[0].4', place: { line: 5 } })
    expect(tail?.cure).toMatch(/^A comma parts the fields in braces: .* as in 53\.4, or quotes/)
  })

  test.each(['', '# nothing yet\n', 'null\n', '---\n'])(
    'but is empty is told to begin with its version: %j',
    (text) => {
      expect(problemsOf(text)).toMatchObject([
        {
          code: 'empty',
          field: 'job file',
          value: 'empty',
          cure: expect.stringContaining('beginning with version: 1.'),
        },
      ])
    },
  )

  test('of no version is told which one', () => {
    const object = '{ name: lid, shape: flat-panel, width: 90, height: 60 }'
    const [problem] = problemsOf(`title: a\nobjects: [${object}]\n`)
    expect(problem).toMatchObject({ code: 'missing', field: 'version', cure: 'Add version: 1.' })
  })

  test('is refused when a reference leads nowhere, to itself, or swells the document', () => {
    expect(problemsOf('version: 1\ntitle: *nothing\n').length).toBe(1)
    expect(problemsOf('version: 1\ntitle: &a [*a]\n').length).toBeGreaterThan(0)
    const layers = Array.from({ length: 9 }, (_, i) => `k${i + 1}: &k${i + 1} [${Array(9).fill(`*k${i}`).join(', ')}]`)
    expect(problemsOf(`k0: &k0 [x]\n${layers.join('\n')}\n`).map((p) => p.code)).toEqual(['yaml'])
  })

  test.each(['', '7', '- a', 'null', '"text"', 'objects: 5', 'objects: [7, null, [], {}]', 'unit: {}\ntape: 3'])(
    'is refused in whole sentences: %j',
    (text) => {
      expect(problemsOf(text).length).toBeGreaterThan(0)
    },
  )

  test('is refused past 2 MB', () => {
    expect(problemsOf(`#${' '.repeat(2_000_001)}`)).toMatchObject([{ code: 'too_big' }])
  })

  test('never throws and never leaves a part of a problem empty, whatever stands in its fields', () => {
    const values = fc.oneof(
      fc.jsonValue({ maxDepth: 3 }),
      fc.double(),
      fc.constantFrom('9 1/2 in', '-4', '1e9 km', '', '  ', '½'),
    )
    const keys = fc.constantFrom('name', 'girth', 'height', 'gap', 'radius', 'openings', 'allowance', 'copies', 'x')
    const objects = fc.array(fc.dictionary(keys, values), { maxLength: 3 })
    fc.assert(
      fc.property(objects, values, fc.constantFrom('straight-band', 'flat-panel'), (list, other, shape) => {
        const job = { version: 1, title: 'a', stock: other, objects: list.map((o) => ({ shape, ...o })) }
        const { problems, warnings } = readJob(JSON.stringify(job), templates)
        for (const problem of problems) {
          for (const part of [problem.field, problem.value, problem.limit, problem.cure]) expect(part).not.toBe('')
        }
        for (const text of [...problems.map(formatProblem), ...warnings.map((own) => own.text)]) {
          expect(text).not.toMatch(/undefined|\[object Object\]/)
        }
      }),
      { numRuns: 200 },
    )
  })
})

describe('repeated readings', () => {
  const tin = (girth: string, tape = 'II') =>
    readJob(
      jobOf([`name: tin, shape: straight-band, girth: ${girth}, height: 95`], `tape: { class: ${tape} }\n`),
      templates,
    )

  test('are taken by their mean', () => {
    expect(tin('[534, 534.6, 534.3]').job?.objects[0]).toMatchObject({ girth: expect.closeTo(534.3, 9) })
  })

  // Directive 2014/32/EU Annex X: class II, under 1 m: 0.3 + 0.2 = 0.5 mm either way, 1.0 mm between two readings
  test('are warned of past what the tape explains, 1.0 mm for class II under a metre, and used all the same', () => {
    expect(tin('[534, 535]').warnings).toEqual([])
    const { job, warnings } = tin('[534, 535.2]')
    expect(job).toBeDefined()
    expect(warnings).toHaveLength(1)
    expect(warnings[0]).toEqual({
      field: 'objects[0].girth',
      text: 'tin, girth: readings 534, 535.2 differ by 1.2 mm; a class II tape explains 1.0 mm. Measure once more.',
    })
  })

  // the same source: class I 0.1 + 0.1 = 0.2 mm either way; class III 0.6 + 0.4 = 1.0 mm
  test('are judged by the class of the tape', () => {
    expect(tin('[534, 534.5]', 'I').warnings).toHaveLength(1)
    expect(tin('[534, 536]', 'III').warnings).toEqual([])
  })

  test('may be a single one in a list, and not none', () => {
    expect(tin('[534]').job?.objects[0]).toMatchObject({ girth: 534 })
    expect(tin('[]').problems).toMatchObject([{ field: 'objects[0].girth', limit: 'it needs 1 or more' }])
  })
})

describe('units', () => {
  test('of bare numbers are those of the job, and each value may carry its own', () => {
    const read = readJob(jobOf(['name: a, shape: flat-panel, width: 10, height: 9.5 cm'], 'unit: in\n'), templates)
    expect(read.job?.objects[0]).toMatchObject({ width: 254, height: 95 })
  })

  test('written by midtick are read back by it', () => {
    fc.assert(
      fc.property(fc.integer({ min: 64, max: 64 * 700 }), (n) => {
        const mm = (n / 64) * 25.4
        const width = JSON.stringify(writeLength(mm, 'in'))
        const { job } = readJob(jobOf([`name: a, shape: flat-panel, width: ${width}, height: 1 m`]), templates)
        const object = job?.objects[0]
        if (mm >= 5) expect(object && 'width' in object ? object.width : undefined).toBeCloseTo(mm, 9)
      }),
      { numRuns: 100 },
    )
  })
})

describe('a field of the wrong kind or size', () => {
  const lid = 'name: lid, shape: flat-panel, width: 100, height: 50'
  const head = (line: string) => jobOf([lid], `${line}\n`)
  const named = (name: string) => jobOf([lid.replace('lid', name)])
  const openings = (inside: string) => jobOf([`${lid}, openings: ${inside}`])
  test.each([
    // a whole number
    [
      'machine.tools.kiss',
      head('machine: { like: plain-roll, tools: { kiss: 1.5 } }'),
      '1.5',
      'it must be a whole number or a table of fields',
      'digits alone',
    ],
    ['objects[0].copies', jobOf([`${lid}, copies: two`]), '"two"', 'it must be a number', 'without quotes'],
    ['objects[0].copies', jobOf([`${lid}, copies: 0`]), '0', 'the least is 1', 'Enter 1 or more.'],
    ['film.stretch', head('film: { stretch: 200 }'), '200', 'the most is 100', 'Enter 100 or less.'],
    [
      'machine.unitsPerMm',
      head('machine: { like: plain-roll, unitsPerMm: 0.5 }'),
      '0.5 units in a mm',
      'a machine counts from 4 to 500 units in a mm',
      'Look it up in its manual',
    ],
    ['film.stretch', head('film: { stretch: .inf }'), 'Infinity', 'it must be a number', 'such as 40'],
    // text
    ['film.name', head('film: { name: 7 }'), '7', 'it must be text', 'quotes'],
    ['objects[0].name', named('"  "'), '" "', 'it cannot be empty', 'Write a word or more.'],
    // 63 characters, 3 past 60
    ['objects[0].name', named('abc'.repeat(21)), `"${'abc'.repeat(20)}..."`, 'the most is 60 characters', 'by 3.'],
    // true or false
    ['stock.turn', head('stock: { turn: maybe }'), '"maybe"', 'it can be any, quarter, none', 'Write one of them'],
    // lists and tables
    ['objects', 'version: 1\ntitle: a\nobjects: 3\n', '3', 'it must be a list', 'after a dash'],
    ['objects', 'version: 1\ntitle: a\nobjects: []\n', 'an empty list', 'it needs 1 or more', 'Add one.'],
    ['objects[0].width', jobOf([lid.replace('100', '[]')]), 'an empty list', 'it needs 1 or more', 'Add one.'],
    ['objects[0].openings', openings('round'), '"round"', 'it must be a list', 'after a dash'],
    ['objects[0].openings[0]', openings('[7]'), '7', 'it must be a table of fields', 'on lines of their own'],
    ['objects[0]', 'version: 1\ntitle: a\nobjects: [7]\n', '7', 'it must be a table of fields', 'on lines'],
    ['stock', head('stock: 630'), '630', 'it must be a table of fields or a list', 'on lines of their own'],
    ['job', '- a', 'a list', 'it must be a table of fields', 'on lines of their own'],
  ])('is told in words, with a cure: %s', (field, text, value, limit, cure) => {
    const found = problemsOf(text).filter((p) => p.field === field)
    expect(found).toMatchObject([{ value, limit, cure: expect.stringContaining(cure) }])
  })

  test('tells of too many objects how many there may be', () => {
    const many = jobOf(Array.from({ length: 501 }, (_, i) => lid.replace('lid', `lid ${i}`)))
    expect(problemsOf(many)).toMatchObject([{ field: 'objects', value: 'a list', limit: 'the most is 500' }])
  })

  test('never speaks the language of the schema, whatever stands there', () => {
    const values = fc.oneof(fc.jsonValue({ maxDepth: 2 }), fc.double(), fc.constantFrom(1e300, -1e300, '', [], {}))
    const places = fc.constantFrom('title', 'unit', 'tape', 'film', 'stock', 'machine', 'paper', 'defaults', 'objects')
    const inner = fc.constantFrom('class', 'name', 'liner', 'turn', 'width', 'tools', 'unitsPerMm', 'allowance', 'slit')
    const entry = fc.oneof(values, fc.dictionary(inner, values, { maxKeys: 3 }))
    fc.assert(
      fc.property(fc.dictionary(places, entry, { minKeys: 1 }), (fields) => {
        const { problems } = readJob(JSON.stringify({ version: 1, ...fields }), templates)
        expect(problems.length).toBeGreaterThan(0)
        for (const { limit, cure } of problems) {
          expect(`${limit} ${cure}`).not.toMatch(
            /expected|received|invalid|Too (small|big)|>=|<=|\b(int|array|object)\b/i,
          )
        }
      }),
      { numRuns: 200 },
    )
  })
})

describe('a measure or a shape in other words', () => {
  const cureOf = (object: string) => problemsOf(jobOf([object])).map(({ field, cure }) => `${field}: ${cure}`)

  test.each([
    ['straight-band, circumference: 534, height: 95', 'objects[0].circumference: Did you mean girth?'],
    ['straight-band, girth: 534, height: 95, handle: 40', 'objects[0].handle: Did you mean gap or openings?'],
    [
      'tapered-band, bottomGirth: 534, topCircumference: 600, height: 95',
      'objects[0].topCircumference: Did you mean topGirth?',
    ],
    ['cylinder, girth: 534, height: 95', 'objects[0].shape: Did you mean straight-band?'],
    ['trapezium, width: 534, height: 95', 'objects[0].shape: Did you mean four-sided-panel?'],
  ])('is told in those of the shape: %s', (object, cure) => {
    expect(cureOf(`name: tin, shape: ${object}`)).toContain(cure)
  })

  test('never leads to a shape that there is not', async () => {
    const { meantShapes } = await import('../../src/job/other-shapes.ts')
    const ids = templates.map(({ id }) => id)
    const words = readFileSync(new URL('../../src/job/other-shapes.ts', import.meta.url), 'utf8')
    const named = [...words.matchAll(/^ {2}(\w+): \[(.*)\],$/gm)]
    expect(named.length).toBeGreaterThan(30)
    for (const [, word = '', list = ''] of named) expect(meantShapes(word, ids)).toHaveLength(list.split(',').length)
  })
})

describe('an opening', () => {
  const lid = (opening: string) =>
    jobOf([
      `name: lid, shape: flat-panel, width: 300, height: 200, openings: [{ ${opening}, fromLeft: 40, fromBottom: 40 }]`,
    ])

  test.each([
    // rectangular unless said, so the diameter tells that it is round
    ['diameter: 30', 'diameter', 'Write shape: round, or give width and height in its place.'],
    ['shape: round, diameter: 30, width: 40', 'width', 'Write shape: rectangular, or give diameter in its place.'],
    ['shape: round, radius: 15', 'radius', 'Write shape: rectangular, or give diameter in its place.'],
  ])('with a measure of another form is told once: %s', (opening, field, cure) => {
    expect(problemsOf(lid(opening))).toMatchObject([
      { code: 'contradiction', field: `objects[0] lid: openings[0].${field}`, cure },
    ])
  })
})

describe('an object of an unknown shape', () => {
  const problemList = (object: string) => problemsOf(jobOf([object])).map((p) => `${p.code} ${p.field}`)

  test('has its handling checked in the same run, and its own measures left alone', () => {
    const text = 'name: "", shape: strait-band, copies: 0, ticks: pan, slit: two, strip: 1 mm, allowance: { botom: 3 }'
    expect(problemList(`${text}, girth: -7, whatever: 5`).sort()).toEqual(
      [
        'too_small objects[0].name',
        'unknown_shape objects[0].shape',
        'too_small objects[0].copies',
        'unknown_word objects[0].ticks',
        'unknown_word objects[0].slit',
        'too_small objects[0].strip',
        'unknown_key objects[0].allowance.botom',
      ].sort(),
    )
    const allowance = problemsOf(jobOf(['name: a, shape: x, allowance: { botom: 3 }'])).at(-1)
    expect(allowance?.cure).toBe('Did you mean bottom?')
  })

  test('or of none is checked alike', () => {
    expect(problemList('copies: 1.5').sort()).toEqual(
      ['missing objects[0].name', 'missing objects[0].shape', 'wrong_kind objects[0].copies'].sort(),
    )
  })

  test('has a name that others may not have too', () => {
    const text = jobOf(['name: lid, shape: flat-panel, width: 100, height: 50', 'name: Lid, shape: flap'])
    expect(problemsOf(text).map((p) => `${p.code} ${p.field}`)).toEqual([
      'unknown_shape objects[1].shape',
      'same_name objects[1].name',
    ])
  })

  test('of a known shape tells each of its problems once', () => {
    expect(problemList('name: a, shape: flat-panel, width: 100, height: 50, copies: 0')).toEqual([
      'too_small objects[0].copies',
    ])
  })
})

describe('the liner', () => {
  const filmOf = (film: string) =>
    readJob(jobOf(['name: a, shape: flat-panel, width: 100, height: 50'], film), templates).job?.film.liner

  test('is 0.1 mm of paper unless the job says otherwise', () => {
    expect(filmOf('')).toEqual({ material: 'paper', thickness: 0.1 })
    expect(filmOf('film: { liner: { material: plastic, thickness: 0.005 cm } }\n')).toEqual({
      material: 'plastic',
      thickness: expect.closeTo(0.05, 9),
    })
  })

  test('of another material is refused with the materials', () => {
    const text = jobOf(
      ['name: a, shape: flat-panel, width: 100, height: 50'],
      'film: { liner: { material: papr, thickness: 3 } }\n',
    )
    expect(problemsOf(text)).toMatchObject([
      { field: 'film.liner.material', cure: 'Did you mean paper?' },
      { field: 'film.liner.thickness', limit: 'the most is 1 mm' },
    ])
  })
})
