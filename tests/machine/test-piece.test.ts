import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hpglBytes, writeHpgl } from '../../src/file/hpgl/write.ts'
import { type Box, boundsOf } from '../../src/geometry/bounds.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { endOf } from '../../src/geometry/path.ts'
import { distance, type Point } from '../../src/geometry/point.ts'
import { isLeftHanded, toMachine } from '../../src/machine/axes.ts'
import { type Machine, origins, reachOf } from '../../src/machine/profile.ts'
import { readProfile } from '../../src/machine/read-profile.ts'
import { shipped } from '../../src/machine/shipped.ts'
import { testFiles } from '../../src/machine/test-files.ts'
import { type TestPiece, testPiece } from '../../src/machine/test-piece.ts'
import { readTestReadings } from '../../src/machine/test-readings.ts'
import { letter } from '../../src/panel/lettering.ts'
import type { Stroke } from '../../src/stroke/stroke.ts'

const machineOf = (text: string): Machine => {
  const { machine, problems } = readProfile(text)
  expect(problems).toEqual([])
  return machine as Machine
}
const pieceFor = (machine: Machine): TestPiece => {
  const piece = testPiece(machine, letter)
  if ('problems' in piece) throw new Error(JSON.stringify(piece.problems))
  return piece
}
const full = machineOf(`name: full
area: { along: 420, across: 297 }
margins: { left: 15, right: 15, bottom: 10, top: 10 }
tools: { pen: 1, kiss: { number: 2, force: 80, speed: 20 } }
blade: { offset: 0.25, compensate: file }
`)
const named = (piece: TestPiece, name: string) => piece.strokes.filter(({ stroke }) => stroke.name === name)

/** Where the two arms of a cross meet: the middle of both. */
function crossAt(piece: TestPiece, name: string) {
  const [level, upright] = named(piece, `cross ${name}`).map(({ stroke: { path } }) => path)
  if (!level || !upright) throw new Error(`no cross ${name}`)
  return { x: (upright.start.x + endOf(upright).x) / 2, y: (level.start.y + endOf(level).y) / 2 }
}

describe('the test piece of a sheet cutter', () => {
  const piece = pieceFor(full)

  test('has four crosses 200 mm apart, inside the margins', () => {
    const [a, b, c, d] = ['A', 'B', 'C', 'D'].map((name) => crossAt(piece, name))
    if (!a || !b || !c || !d) throw new Error('four crosses')
    expect(piece.side).toBe(200)
    // margins of 15 and 10 mm, arms of 8 mm and 2 mm of room
    expect(a).toEqual({ x: 25, y: 20 })
    for (const [from, to] of [
      [a, b],
      [b, c],
      [d, c],
      [a, d],
    ] as const)
      expect(distance(from, to)).toBeCloseTo(200, 9)
    expect(distance(a, c)).toBeCloseTo(282.8427, 4)
    expect(distance(b, d)).toBeCloseTo(282.8427, 4)
  })

  test('has squares of 8 mm cut with offsets from 0 to 1 mm, every tenth of one', () => {
    const rungs = piece.strokes.filter(({ stroke }) => stroke.name.startsWith('OFFSET'))
    expect(rungs.map(({ offset }) => offset)).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1])
    for (const { stroke, offset, tool } of rungs) {
      expect(stroke.name).toBe(`OFFSET ${offset.toFixed(1)}`)
      expect(stroke.operation).toBe('kiss')
      expect(tool).toEqual({ number: 2, force: 80, speed: 20 })
      const { low, high } = boundsOf([stroke.path])
      expect(high.x - low.x).toBeCloseTo(8, 9)
      expect(high.y - low.y).toBeCloseTo(8, 9)
    }
  })

  test('steps force by a tenth and speed by halves about those of the profile, with its blade offset', () => {
    const ladder = (title: string) => piece.strokes.filter(({ stroke }) => stroke.name.startsWith(title))
    expect(ladder('FORCE').map(({ tool }) => tool)).toEqual(
      [64, 72, 80, 88, 96].map((force) => ({ number: 2, force, speed: 20 })),
    )
    expect(ladder('SPEED').map(({ tool }) => tool)).toEqual(
      [5, 10, 20, 30].map((speed) => ({ number: 2, force: 80, speed })),
    )
    for (const { offset } of [...ladder('FORCE'), ...ladder('SPEED')]) expect(offset).toBe(0.25)
  })

  test('is drawn first and then cut', () => {
    const order = piece.strokes.map(({ stroke }) => stroke.operation)
    expect(order.lastIndexOf('pen')).toBeLessThan(order.indexOf('kiss'))
    expect(named(piece, 'number 0.3').length).toBeGreaterThan(0)
  })
})

test('without a pen the letters are cut, and without force and speed there is one ladder', () => {
  const piece = pieceFor(machineOf('name: n\narea: { along: 300, across: 300 }\ntools: { kiss: 1 }\n'))
  expect(new Set(piece.strokes.map(({ stroke }) => stroke.operation))).toEqual(new Set(['kiss']))
  expect(piece.ladders).toHaveLength(1)
  // The machine makes up for the offset itself, so the files do not, save on the ladder.
  expect(named(piece, 'cross A')[0]?.offset).toBe(0)
})

test.each([
  ['low left', 0, 0],
  ['high right', 800 - 220, 500 - 220],
  ['low right', 800 - 220, 0],
  ['middle', 0, 0],
] as const)('it lies by the corner that the machine counts from: %s', (origin, x, y) => {
  const text = `name: n\narea: { along: 800, across: 500 }\ntools: { kiss: 1 }\naxes: { origin: ${origin}, swap: ${origin === 'low right'} }\n`
  // 200 mm between crosses with 8 mm arms and 2 mm of room
  expect(pieceFor(machineOf(text))).toMatchObject({ corner: { x, y }, size: { x: 220, y: 220 } })
})

test('a force near 1 steps by 1 and never below it, and no speed is past what a command takes', () => {
  const tool = '{ number: 1, force: 2, speed: 120 }'
  const piece = pieceFor(machineOf(`name: n\narea: { along: 300, across: 300 }\ntools: { kiss: ${tool} }\n`))
  expect(piece.ladders.slice(1)).toEqual(['FORCE: 1, 2, 3, 4', 'SPEED: 30, 60, 120, 127'])
})

test('a machine too small for it says how much it needs', () => {
  const small = machineOf('name: n\narea: { along: 300, across: 110 }\ntools: { kiss: 1 }\n')
  // 80 mm for the ladders, rounded up to a side of 100 with crosses of 8 + 2 mm round it: 120 mm
  expect(testPiece(small, letter)).toMatchObject({
    problems: [
      { code: 'too_small', value: '300 x 110 mm that the tools reach', limit: 'a test piece needs 120 mm both ways' },
    ],
  })
  const just = machineOf('name: n\narea: { along: 300, across: 120 }\ntools: { kiss: 1 }\n')
  expect(pieceFor(just).side).toBe(100)
})

// 80 mm for the ladders in a side of 110 mm, crosses of 9 + 2.5 mm for a blade of 1.5 mm, margins of 10 mm, and 240 tan 0.5 degrees * 1.1 = 2.3 mm
// of wedge: 156 mm
const size = fc.integer({ min: 156, max: 1200 })
const anyMachine = fc
  .record({
    along: size,
    across: size,
    margin: fc.integer({ min: 0, max: 10 }),
    origin: fc.constantFrom(...origins),
    swap: fc.boolean(),
    pen: fc.boolean(),
    file: fc.boolean(),
    offset: fc.constantFrom(0, 0.25, 0.9, 1.5),
    skew: fc.integer({ min: -5, max: 5 }),
    force: fc.option(fc.integer({ min: 1, max: 300 })),
  })
  .map((m) =>
    machineOf(`name: any
area: { along: ${m.along}, across: ${m.across} }
margins: ${m.margin}
axes: { origin: ${m.origin}, swap: ${m.swap}${isLeftHanded(m) ? ', handed: left' : ''} }
skew: ${m.skew / 10}
range: 100000
tools: { kiss: { number: 1${m.force === null ? '' : `, force: ${m.force}, speed: 10`} }${m.pen ? ', pen: { number: 2 }' : ''} }
blade: { offset: ${m.offset}, compensate: ${m.file ? 'file' : 'machine'} }
end: "PG;"
`),
  )

/** mm between two boxes along the axis that parts them more; less than 0 where they overlap. */
const gap = (a: Box, b: Box): number =>
  Math.max(a.low.x - b.high.x, b.low.x - a.high.x, a.low.y - b.high.y, b.low.y - a.high.y)

test('whatever the machine, nothing lies past its margins or on top of another square', () => {
  let cases = 0
  fc.assert(
    fc.property(anyMachine, (machine) => {
      const piece = pieceFor(machine)
      cases++
      const { low, high } = boundsOf(piece.strokes.map(({ stroke }) => stroke.path))
      const reach = reachOf(machine)
      expect(low.x).toBeGreaterThanOrEqual(machine.margins.low.x)
      expect(low.y).toBeGreaterThanOrEqual(machine.margins.low.y)
      expect(high.x).toBeLessThanOrEqual(reach.high.x)
      expect(high.y).toBeLessThanOrEqual(reach.high.y)
      const boxesOf = (name: RegExp) =>
        piece.strokes.flatMap(({ stroke }) => (name.test(stroke.name) ? [boundsOf([stroke.path])] : []))
      const squares = boxesOf(/^(OFFSET|FORCE|SPEED)/)
      const others = boxesOf(/^(number|cross)/)
      expect(squares.length).toBeGreaterThanOrEqual(11)
      expect(others.length).toBeGreaterThan(30)
      // A blade swings at most 1 mm past its square.
      const nearest = (all: readonly Box[], box: Box) =>
        Math.min(...all.map((o) => (o === box ? Infinity : gap(o, box))))
      expect(Math.min(...squares.map((square) => nearest(squares, square)))).toBeGreaterThan(2)
      expect(Math.min(...squares.map((square) => nearest(others, square)))).toBeGreaterThan(1)
    }),
    { numRuns: 60 },
  )
  expect(cases).toBeGreaterThan(50)
})

describe('the files of a test piece', () => {
  const write = (strokes: readonly Stroke[], machine: Machine) =>
    writeHpgl(strokes, {
      unitsPerMm: machine.unitsPerMm.x,
      pens: {},
      tools: machine.tools,
      area: reachOf(machine).high,
      toUnits: (p) => toMachine(machine, p),
      negative: machine.axes.origin === 'middle',
      range: machine.range,
      tolerance: 0.02,
      end: machine.end,
    })
  const writers = { hpgl: write, drawing: () => '<svg/>' }
  const filesFor = (machine: Machine) => testFiles(machine, pieceFor(machine), writers)

  test('are one for each setting, in the order to be sent, with a file for the readings that already has the side', () => {
    const files = filesFor({ ...full, tools: { ...full.tools, pen: { number: 1, force: 10, speed: 30 } } })
    expect(files.map(({ name }) => name)).toEqual([
      '1-test-piece.hpgl',
      ...['2-force-64', '3-force-72', '4-force-88', '5-force-96'].map((name) => `${name}.hpgl`),
      ...['6-speed-5', '7-speed-10', '8-speed-30'].map((name) => `${name}.hpgl`),
      'test-piece.svg',
      'readings.yaml',
      'read-me.txt',
    ])
    expect(files.find(({ name }) => name === '2-force-64.hpgl')?.text).toContain('SP2;VS20;FS64;')
    expect(files.find(({ name }) => name === '8-speed-30.hpgl')?.text).toContain('SP2;VS30;FS80;')
    const blank = files.find(({ name }) => name === 'readings.yaml')?.text ?? ''
    const { problems } = readTestReadings(blank)
    expect(problems.map(({ code, field }) => [code, field])).toEqual([
      ['missing', 'bottom'],
      ['missing', 'left'],
      ['missing', 'diagonalAC'],
    ])
    const filled = blank.replace(/^(bottom|left):/gm, '$1: 199').replace(/^(diagonalAC):/m, '$1: 281')
    expect(readTestReadings(filled).readings).toMatchObject({ side: 200, rung: [], reading: 0.2, rule: 0.1 })
  })

  test('drive the axis past each corner by the offset of the rung', () => {
    const driven = new Map<string, Stroke>()
    testFiles(full, pieceFor(full), {
      ...writers,
      hpgl: (strokes) => {
        for (const stroke of strokes) driven.set(stroke.name, stroke)
        return ''
      },
    })
    for (const offset of [0, 0.3, 1]) {
      const { low, high } = boundsOf([driven.get(`OFFSET ${offset.toFixed(1)}`)?.path as Stroke['path']])
      expect(high.x - low.x).toBeCloseTo(8 + 2 * offset, 6)
      expect(high.y - low.y).toBeCloseTo(8 + 2 * offset, 6)
    }
    // A pen is not driven like a blade.
    const level = driven.get('cross A') as Stroke
    expect(level.operation).toBe('pen')
  })

  test('show a blade of 0.4 mm at the rung of 0.4, and at the rung of 0 a gap of 0.662743 of it at the corners', () => {
    // An axis that drags a tip behind it, by small steps: the tip moves straight towards the axis.
    const blade = 0.4
    const draggedBy = (points: readonly Point[]) => {
      const [first = { x: 0, y: 0 }, ...rest] = points
      let axis = first
      // It comes down standing right for the first edge, which runs to the right.
      let tip = { x: first.x - blade, y: first.y }
      const way: Point[] = []
      for (const to of rest) {
        const steps = Math.ceil(distance(axis, to) / 0.002)
        for (let i = 1; i <= steps; i++) {
          const at = { x: axis.x + ((to.x - axis.x) * i) / steps, y: axis.y + ((to.y - axis.y) * i) / steps }
          const off = distance(tip, at)
          tip = { x: at.x + ((tip.x - at.x) * blade) / off, y: at.y + ((tip.y - at.y) * blade) / off }
          way.push(tip)
        }
        axis = to
      }
      return way
    }
    const piece = pieceFor(full)
    const driven = new Map<string, Stroke>()
    testFiles(full, piece, {
      ...writers,
      hpgl: (strokes) => {
        for (const stroke of strokes) driven.set(stroke.name, stroke)
        return ''
      },
    })
    const found = piece.strokes
      .filter(({ stroke }) => stroke.name.startsWith('OFFSET'))
      .map(({ stroke, offset }) => {
        const { low, high } = boundsOf([stroke.path])
        const way = draggedBy(flatten(driven.get(stroke.name)?.path ?? stroke.path, 0.0005))
        const corners = [low, { x: high.x, y: low.y }, high, { x: low.x, y: high.y }]
        const gap = Math.max(...corners.map((c) => way.reduce((least, p) => Math.min(least, distance(p, c)), Infinity)))
        const out = way.reduce(
          (most, p) => Math.max(most, low.x - p.x, p.x - high.x, low.y - p.y, p.y - high.y),
          Number.NEGATIVE_INFINITY,
        )
        return { offset, gap, wrong: Math.max(gap, out) }
      })
    expect(found[0]?.gap).toBeCloseTo(0.662743 * blade, 3)
    expect(found.reduce((a, b) => (b.wrong < a.wrong ? b : a)).offset).toBe(0.4)
    for (const { offset, wrong } of found) {
      if (offset === 0.4) expect(wrong).toBeLessThan(0.005)
      else expect(wrong).toBeGreaterThan(0.03)
    }
  })

  test('tell to set the offset of the machine to 0 where it makes up for it itself', () => {
    const guide = (machine: Machine) => filesFor(machine).find(({ name }) => name === 'read-me.txt')?.text ?? ''
    const roll = machineOf(shipped[0]?.text ?? '')
    expect(guide(roll)).toContain('Set the blade offset on the machine itself to 0 first')
    const sheet = machineOf(shipped[1]?.text ?? '')
    expect(guide(sheet)).not.toContain('on the machine itself')
    for (const text of [guide(roll), guide(sheet), guide(full)]) {
      for (const line of text.split('\n')) expect(line.length).toBeLessThanOrEqual(124)
    }
  })

  test('can be written for any machine, and only the last moves the film on', () => {
    let most = 0
    fc.assert(
      fc.property(anyMachine, (machine) => {
        const cuts = filesFor(machine).filter(({ name }) => name.endsWith('.hpgl'))
        most = Math.max(most, cuts.length)
        cuts.forEach(({ text }, i) => {
          expect(hpglBytes(text).length).toBeGreaterThan(20)
          expect(text.includes('PG;')).toBe(i === cuts.length - 1)
        })
      }),
      { numRuns: 30 },
    )
    expect(most).toBeGreaterThan(5)
  })
})
