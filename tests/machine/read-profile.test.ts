import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Point, point, scaled } from '../../src/geometry/point.ts'
import { type Axes, toMachine } from '../../src/machine/axes.ts'
import { type Origin, origins } from '../../src/machine/profile.ts'
import { readProfile } from '../../src/machine/read-profile.ts'
import { profileJsonSchema } from '../../src/machine/schema.ts'
import { shipped } from '../../src/machine/shipped.ts'
import { formatProblem } from '../../src/measure/problem.ts'

const least = 'name: bench\narea: { along: 600, across: 300 }\ntools: { kiss: 1 }\n'

/** Code, field and line of every problem of a text that has to have some. */
function refused(text: string): (readonly [string, string, number | undefined])[] {
  const { machine, problems } = readProfile(text)
  expect(machine).toBeUndefined()
  expect(problems.length).toBeGreaterThan(0)
  for (const problem of problems) {
    expect(problem.place).toBeDefined()
    expect(formatProblem(problem)).not.toMatch(/undefined|NaN|\[object|expected|Invalid/)
  }
  return problems.map(({ code, field, place }) => [code, field, place?.line])
}

describe('a profile of a name, an area and tools', () => {
  test('is a machine with usual values for the rest', () => {
    expect(readProfile(least)).toEqual({
      problems: [],
      warnings: [],
      machine: {
        name: 'bench',
        film: 'roll',
        area: { x: 600, y: 300 },
        margins: { low: { x: 0, y: 0 }, high: { x: 0, y: 0 } },
        axes: { origin: 'low left', swap: false },
        unitsPerMm: { x: 40, y: 40 },
        skew: 0,
        range: 32767,
        tools: { kiss: { number: 1 } },
        blade: { offset: 0.25, compensate: 'machine', overcut: 0.3, leastTurn: (8 * Math.PI) / 180 },
        bridges: undefined,
        start: '',
        end: '',
        dialect: 'strict',
        encodedBits: 7,
        arcs: false,
        lineBytes: 80,
        pace: { down: 200, up: 400, acceleration: 5000, lift: 0.05 },
      },
    })
  })

  test('needs all three, and says so together', () => {
    expect(refused('film: sheet\n')).toEqual([
      ['missing', 'name', 1],
      ['missing', 'area', 1],
      ['missing', 'tools', 1],
    ])
  })

  test('takes lengths as people write them, and bare ones in its unit; usual values do not follow the unit', () => {
    const { machine } = readProfile(`unit: in\n${least.replace('600', '2 ft').replace('300', '11 1/2 in')}margins: 1\n`)
    expect(machine?.area.x).toBeCloseTo(609.6, 9)
    expect(machine?.area.y).toBeCloseTo(292.1, 9)
    expect(machine?.margins.low).toEqual({ x: 25.4, y: 25.4 })
    expect(machine?.blade).toMatchObject({ offset: 0.25, overcut: 0.3 })
  })

  test('takes every field', () => {
    const { machine, problems } = readProfile(`${least.replace('{ kiss: 1 }', '')}
  pen: 3
  kiss: { number: 1, force: 80, speed: 20.5 }
  slit: { number: 1, passes: 2 }
film: sheet
margins: { left: 10, right: 11, bottom: 12, top: 13 }
axes: { origin: high right, swap: true, handed: left }
unitsPerMm: { x: 40.193, y: 40.2 }
skew: -0.25 deg
range: 60000
blade: { offset: 0.9 mm, compensate: file, overcut: 0, leastTurn: 5 deg }
bridges: { spacing: 50, width: 1 }
start: "VS20;"
end: |
  PU0,0;PG;
dialect: encoded
encodedBits: 8
arcs: true
lineBytes: 255
pace: { down: 100, up: 200, acceleration: 3000, lift: 0 }
`)
    expect(problems).toEqual([])
    expect(machine).toMatchObject({
      film: 'sheet',
      tools: {
        pen: { number: 3 },
        kiss: { number: 1, force: 80, speed: 20.5 },
        slit: { number: 1, passes: 2 },
      },
      margins: { low: { x: 10, y: 12 }, high: { x: 11, y: 13 } },
      axes: { origin: 'high right', swap: true, handed: 'left' },
      unitsPerMm: { x: 40.193, y: 40.2 },
      range: 60000,
      blade: { offset: 0.9, compensate: 'file', overcut: 0 },
      bridges: { spacing: 50, width: 1 },
      start: 'VS20;',
      end: 'PU0,0;PG;',
      encodedBits: 8,
      arcs: true,
      lineBytes: 255,
    })
    expect(machine?.skew).toBeCloseTo(-0.25 * (Math.PI / 180), 12)
    expect(machine?.tools).not.toHaveProperty('through')
    expect(Object.keys(machine?.tools.pen ?? {})).toEqual(['number'])
  })
})

describe('what no machine can be is refused', () => {
  test.each([
    ['a negative area', least.replace('600', '-600'), 'too_small', 'area.along', 2],
    ['margins that leave nothing across', `${least}margins: { bottom: 150, top: 145 }\n`, 'nothing_left', 'margins', 4],
    ['margins that leave nothing along', `${least}margins: { left: 595 }\n`, 'nothing_left', 'margins', 4],
    ['a blade offset past 5 mm', `${least}blade: { offset: 5.1 }\n`, 'too_big', 'blade.offset', 4],
    [
      'a blade offset too large for what is reached',
      `${least}margins: { left: 570 }\nblade: { offset: 4 }\n`,
      'too_big',
      'blade.offset',
      5,
    ],
    ['a tool without a number', least.replace('kiss: 1', 'kiss: { force: 3 }'), 'missing', 'tools.kiss.number', 3],
    ['a tool that is a word', least.replace('kiss: 1', 'kiss: blade'), 'wrong_kind', 'tools.kiss', 3],
    ['no tool that cuts', least.replace('kiss', 'pen'), 'no_cut', 'tools', 3],
    [
      'a force that the next tool would go on with',
      least.replace('{ kiss: 1', '{ pen: { number: 2, force: 9 }, kiss: 1'),
      'tool_setting',
      'tools.kiss',
      3,
    ],
    ['units of an inch', `${least}unitsPerMm: 1016\n`, 'too_big', 'unitsPerMm', 4],
    ['units of a metre', `${least}unitsPerMm: { x: 40, y: 0.04 }\n`, 'too_small', 'unitsPerMm.y', 4],
    ['units that are none', `${least}unitsPerMm: .nan\n`, 'wrong_kind', 'unitsPerMm', 4],
    ['a range too small for the area', least.replace('600', '820'), 'range_too_small', 'range', 1],
    ['a lean like a roof', `${least}skew: 5\n`, 'not_an_angle', 'skew', 4],
    [
      'bridges as wide as their spacing',
      `${least}bridges: { spacing: 10, width: 10 }\n`,
      'too_big',
      'bridges.width',
      4,
    ],
    ['an escape byte', `${least}start: "\\e.@;13:;"\n`, 'control_byte', 'start', 4],
    ['a byte that ends a label', `${least}end: "PG;\\x03"\n`, 'control_byte', 'end', 4],
    ['a line feed inside', `${least}end: "PG;\\nPG;"\n`, 'control_byte', 'end', 4],
    ['letters past ASCII', `${least}end: "PG\u00a0;"\n`, 'control_byte', 'end', 4],
    ['commands that run into the next', `${least}start: VS20\n`, 'open_command', 'start', 4],
    ['commands that cut', `${least}end: "PU9,9; pd0,0;"\n`, 'job_command', 'end', 4],
    ['a command that cuts, written close to another', `${least}start: "SP1PD0,0;"\n`, 'job_command', 'start', 4],
    ['a command that cuts, with a blank in its name', `${least}start: "SP1;P D0,0;"\n`, 'job_command', 'start', 4],
    ['commands that move the coordinates', `${least}start: "SC0,1,0,1;"\n`, 'job_command', 'start', 4],
    ['an unknown word', `${least}dialect: strikt\n`, 'unknown_word', 'dialect', 4],
    ['an unknown field', `${least}ofset: 3\n`, 'unknown_key', 'ofset', 4],
    ['bits of another link', `${least}encodedBits: 6\n`, 'unknown_word', 'encodedBits', 4],
    ['lines that no pair fits on', `${least}lineBytes: 10\n`, 'too_small', 'lineBytes', 4],
  ] as const)('%s', (_, text, code, field, line) => {
    expect(refused(text)).toEqual([[code, field, line]])
  })

  test.each(['', 'bench', '- 1', 'name: [', 'name: *other', `name: ${'x'.repeat(100_001)}`])(
    'a text that is no table: %#',
    (text) => {
      expect(readProfile(text).machine).toBeUndefined()
      expect(readProfile(text).problems).toHaveLength(1)
    },
  )

  test('in one go, in the order of the lines', () => {
    const text = `name: bench
area: { along: 600, across: -3 }
margins: { left: 300, right: 300 }
axes: { origin: lower left }
skew: 9 deg
range: 12
tools: { kiss: { number: 0 }, knife: 2 }
blade: { offset: 1 in, compensate: film }
bridges: { spacing: 6, width: 5 }
end: PG
`
    expect(refused(text)).toEqual([
      ['too_small', 'area.across', 2],
      ['unknown_word', 'axes.origin', 4],
      ['not_an_angle', 'skew', 5],
      ['too_small', 'range', 6],
      ['too_small', 'tools.kiss.number', 7],
      ['unknown_key', 'tools.knife', 7],
      ['too_big', 'blade.offset', 8],
      ['unknown_word', 'blade.compensate', 8],
      ['too_big', 'bridges.width', 9],
      ['open_command', 'end', 10],
    ])
    // The margins are judged by the area, once that is right.
    expect(refused(text.replace('-3', '300'))).toContainEqual(['nothing_left', 'margins', 3])
  })

  test('with what is allowed, and what was most likely meant', () => {
    const words = (text: string) => readProfile(text).problems.map(formatProblem).join('\n')
    expect(words(`${least}axes: { origin: lower left }\n`)).toContain('Did you mean low left?')
    expect(words(`${least}unitsPerMm: 1016\n`)).toContain('Enter 40 if it counts 1016 to an inch.')
    // 820 mm are 32800 units; 32767 units are 819.175 mm: hpgl.md 2.1
    expect(words(least.replace('600', '820'))).toContain(
      '820 mm along the film are 32800 units. Make area.along 819.1 mm or less',
    )
  })
})

/**
 * A plotter of its own: its zero at a place of the table, its X at an angle, and its Y a quarter turn to the left of that,
 * as plotters count. Where its tool goes for coordinates, seen from above.
 */
const plotted = (zero: Point, angle: number, { x, y }: Point): Point => ({
  x: zero.x + x * Math.cos(angle) - y * Math.sin(angle),
  y: zero.y + x * Math.sin(angle) + y * Math.cos(angle),
})

/** Twice the area to the left of a triangle: its sign turns over where the triangle is mirrored. */
const leftOf = ([a, b, c]: readonly [Point, Point, Point]) => (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)

describe('origin and swap', () => {
  const text = (origin: Origin, swap: boolean, more = '') =>
    `name: w\narea: { along: 600, across: 300 }\ntools: { kiss: 1 }\nunitsPerMm: 40\naxes: { origin: ${origin}, swap: ${swap}${more} }\n`
  const triangle = [point(100, 50), point(200, 50), point(100, 120)] as const

  test('of the ten pairs, those are taken by which an ordinary plotter draws what was asked', () => {
    let taken = 0
    for (const origin of origins) {
      for (const swap of [false, true]) {
        const { machine, problems } = readProfile(text(origin, swap))
        const pair: Axes = {
          area: { x: 600, y: 300 },
          axes: { origin, swap },
          unitsPerMm: { x: 40, y: 40 },
          skew: 0,
        }
        const sent = triangle.map((p) => toMachine(pair, p))
        // However its table is turned, it draws the triangle the right way round, or mirrored.
        const drawn = [0, 1, 2, 3].map((quarter) => {
          const [a, b, c] = sent.map((p) => plotted(point(0, 0), (quarter * Math.PI) / 2, scaled(p, 1 / 40)))
          return leftOf([a, b, c] as [Point, Point, Point])
        })
        for (const area of drawn) expect(Math.abs(area)).toBeCloseTo(7000, 3)
        expect(new Set(drawn.map(Math.sign)).size).toBe(1)
        expect(machine !== undefined).toBe((drawn[0] as number) > 0)
        expect(problems.map(({ code }) => code)).toEqual(machine ? [] : ['mirrored'])
        taken += machine ? 1 : 0
      }
    }
    expect(taken).toBe(5)
  })

  test('that count left-handed are taken where a person says so, and no others then', () => {
    for (const origin of origins) {
      for (const swap of [false, true]) {
        const right = readProfile(text(origin, swap)).machine
        const left = readProfile(text(origin, swap, ', handed: left'))
        expect(left.machine === undefined).toBe(right !== undefined)
        expect(left.problems.map(({ code, field }) => `${code} ${field}`)).toEqual(
          right ? ['not_left axes.handed'] : [],
        )
        expect(left.machine?.axes ?? { origin, swap, handed: 'left' }).toEqual({ origin, swap, handed: 'left' })
      }
    }
  })

  test('are refused with what to enter', () => {
    const [problem] = readProfile(text('low left', true)).problems
    expect(problem && formatProblem(problem)).toBe(
      "line 5, column 33: axes.swap is origin low left with swap; a plotter's Y lies a quarter turn to the left of its X, and by these two it would cut every panel mirrored. Enter swap: false, or the corner that it really counts from. Where the letters of a test piece read normally with these two, add handed: left.",
    )
  })
})

describe('the number range', () => {
  const wide = (area: string, more = '') => readProfile(`name: w\narea: ${area}\ntools: { kiss: 1 }\n${more}`).problems

  test('counts from the middle both ways, and from a corner past the margin at it only', () => {
    // 819.175 mm is as far as 32767 units of 0.025 mm go.
    expect(wide('{ along: 1600, across: 300 }', 'axes: { origin: middle }\n')).toEqual([])
    expect(wide('{ along: 1700, across: 300 }', 'axes: { origin: middle }\n')).toHaveLength(1)
    expect(wide('{ along: 830, across: 300 }', 'margins: { right: 20 }\n')).toEqual([])
    expect(wide('{ along: 830, across: 300 }', 'margins: { left: 20 }\n')).toHaveLength(1)
    expect(
      wide('{ along: 830, across: 300 }', 'margins: { left: 20 }\naxes: { origin: low right, handed: left }\n'),
    ).toEqual([])
    expect(
      wide('{ along: 300, across: 830 }', 'margins: { bottom: 20 }\naxes: { origin: high left, handed: left }\n'),
    ).toEqual([])
  })

  test('is of the coordinate that runs that way', () => {
    const units = 'unitsPerMm: { x: 40, y: 20 }\n'
    expect(wide('{ along: 800, across: 1200 }', units)).toEqual([])
    expect(wide('{ along: 800, across: 1200 }', `${units}axes: { swap: true, handed: left }\n`)).toHaveLength(1)
  })
})

describe('the profiles that come along', () => {
  test('are three machines and a person with a blade, and every one can be read', () => {
    expect(shipped.map(({ name }) => name)).toEqual(['plain-roll', 'plain-sheet', 'wide-roll', 'by-hand'])
    for (const { text } of shipped) expect(readProfile(text).problems).toEqual([])
  })

  test('are what their names say', () => {
    const [roll, sheet, wide] = shipped.map(({ text }) => readProfile(text).machine)
    expect(roll).toMatchObject({ film: 'roll', area: { y: 630 }, blade: { offset: 0.25, compensate: 'machine' } })
    expect(sheet).toMatchObject({ film: 'sheet', area: { x: 420, y: 297 }, blade: { compensate: 'file' } })
    expect(sheet?.tools.pen).toBeDefined()
    expect(wide).toMatchObject({ area: { y: 1300 } })
    expect(wide?.range).toBeGreaterThan(32767)
  })

  test('say that their figures stand in no source', () => {
    for (const { name, text } of shipped) if (name !== 'by-hand') expect(text).toContain('common practice')
  })
})

test('whatever stands there, a profile is refused in words or is a machine', () => {
  const names = ['name', 'area', 'tools', 'margins', 'unitsPerMm', 'blade', 'start', 'skew', 'axes', 'bridges', 'pace']
  const value = fc.oneof(
    fc.constantFrom<unknown>(
      null,
      true,
      3,
      -1,
      1e9,
      'x',
      '3 mm',
      '1/2 in',
      [],
      [1, 2],
      {},
      { x: 40, y: 40 },
      { kiss: 1 },
    ),
    fc.dictionary(fc.constantFrom('along', 'across', 'left', 'kiss', 'offset', 'x', 'y', 'number'), fc.jsonValue()),
  )
  let refusals = 0
  fc.assert(
    fc.property(fc.dictionary(fc.constantFrom(...names), value), fc.boolean(), (table, whole) => {
      const good = { name: 'bench', area: { along: 600, across: 300 }, tools: { kiss: 1 } }
      const { machine, problems } = readProfile(JSON.stringify(whole ? { ...good, ...table } : table))
      expect(machine === undefined).toBe(problems.length > 0)
      if (problems.length > 0) refusals++
      for (const problem of problems) {
        expect(formatProblem(problem)).not.toMatch(/undefined|NaN|\[object|expected|Invalid/)
      }
    }),
    { numRuns: 120 },
  )
  expect(refusals).toBeGreaterThan(30)
  expect(refusals).toBeLessThan(120)
})

test('the JSON Schema names every field, and what a person may leave out', () => {
  const schema = profileJsonSchema() as { properties: Record<string, { default?: unknown }>; required: string[] }
  expect(schema.required).toEqual(['name', 'area', 'tools'])
  expect(Object.keys(schema.properties)).toEqual(expect.arrayContaining(['unit', 'axes', 'skew', 'blade', 'pace']))
  // Defaults are as a person would write them, not as the program counts.
  expect(JSON.stringify(schema)).toContain('"8 deg"')
  expect(JSON.stringify(schema)).not.toContain('0.139')
})
