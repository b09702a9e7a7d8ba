import { describe, expect, test } from 'vitest'
import { type HpglOptions, hpglBytes, writeHpgl } from '../../../src/file/hpgl/write.ts'
import { lineTo, openPath, polyline } from '../../../src/geometry/path.ts'
import { type Point, point } from '../../../src/geometry/point.ts'
import type { Operation, Stroke } from '../../../src/stroke/stroke.ts'
import { problemsOf } from './problems-of.ts'

const options: HpglOptions = { unitsPerMm: 40, pens: { kiss: 1 }, area: { x: 600, y: 400 }, tolerance: 0.02 }
const line = (operation: Operation, from: Point, to: Point): Stroke => ({
  operation,
  path: openPath(from, lineTo(to)),
  name: 'toolbox lid',
})
const short = (operation: Operation, x = 10) => line(operation, point(x, 10), point(x, 20))

describe('tools', () => {
  test('speed and force come after the pen, where stated', () => {
    const tools = { pen: { number: 2 }, kiss: { number: 1, force: 80, speed: 12.5 } }
    const text = writeHpgl([short('pen'), short('kiss', 20)], { ...options, pens: {}, tools })
    expect(text.split('\n')).toEqual([
      'IN;SP2;',
      'PU400,400;PD400,800;PU;',
      'SP1;VS12.5;FS80;',
      'PU800,400;PD800,800;PU;',
      'PU;PU0,0;SP0;',
      '',
    ])
  })

  test('two operations of one pen are told apart by their force, and stay together without', () => {
    const given = [short('kiss'), short('through', 20), short('through', 30)]
    const forces = { kiss: { number: 1, force: 80 }, through: { number: 1, force: 120, passes: 2 } }
    const write = (tools: NonNullable<HpglOptions['tools']>) => writeHpgl(given, { ...options, tools })
    expect(write(forces).match(/(SP[1-9]|FS)\d*/g)).toEqual(['SP1', 'FS80', 'SP1', 'FS120'])
    expect(write({ kiss: { number: 1 }, through: { number: 1 } }).match(/SP[1-9]/g)).toEqual(['SP1'])
  })

  test('tools stand in place of pens, so that an operation they lack is refused', () => {
    expect(problemsOf(() => writeHpgl([short('kiss')], { ...options, tools: { pen: { number: 1 } } }))).toEqual([
      'no_pen: tools.kiss is not set; there are kiss strokes to write and each operation needs a pen number',
    ])
  })

  test('a setting that would stay from the tool before is refused, whichever of its strokes comes after', () => {
    const tools = { pen: { number: 2 }, through: { number: 1, force: 120, speed: 10 }, kiss: { number: 1, speed: 20 } }
    const given = [short('pen'), short('through'), short('kiss'), short('pen', 20), short('pen', 30)]
    expect(problemsOf(() => writeHpgl(given, { ...options, tools }))).toEqual([
      'tool_setting: tools.kiss.force is not set; through comes before it and states one, with which the machine would go on',
      'tool_setting: tools.pen.force is not set; through comes before it and states one, with which the machine would go on',
      'tool_setting: tools.pen.speed is not set; kiss comes before it and states one, with which the machine would go on',
    ])
    expect(problemsOf(() => writeHpgl([short('pen'), short('through')], { ...options, tools }))).toEqual([])
  })

  test('a force or speed that is not above 0 is refused', () => {
    const tools = { kiss: { number: 1, force: 0, speed: Number.NaN } }
    expect(problemsOf(() => writeHpgl([short('kiss'), short('kiss')], { ...options, tools }))).toEqual([
      'tool_setting: tools.kiss.force is 0; a force is a number above 0',
      'tool_setting: tools.kiss.speed is NaN; a speed is a number above 0',
    ])
  })
})

describe('commands of the machine', () => {
  test('the first come after IN, which would undo them, and the last after all else', () => {
    const set = { ...options, start: 'VS10;FS3;', end: 'PG;' }
    expect(writeHpgl([short('kiss')], set)).toBe('IN;\nVS10;FS3;\nSP1;\nPU400,400;PD400,800;PU;\nPU;PU0,0;SP0;\nPG;\n')
    expect(writeHpgl([], set)).toBe('IN;\nVS10;FS3;\nPU;PU0,0;SP0;\nPG;\n')
    expect(writeHpgl([short('kiss')], { ...set, dialect: 'compact' })).toBe(
      'INVS10;FS3;SP1PU400,400PD400,800PU0,0SP0;PG;\n',
    )
  })

  test('they are parted between commands where a line is full', () => {
    const start = 'FS3;'.repeat(15)
    expect(writeHpgl([], { ...options, start, lineBytes: 40 }).split('\n')).toEqual([
      'IN;',
      'FS3;'.repeat(9),
      'FS3;'.repeat(6),
      'PU;PU0,0;SP0;',
      '',
    ])
  })
})

describe('the machine counts', () => {
  const middle = (p: Point) => point((p.x - 300) * 40, (p.y - 200) * 40)

  test('from the middle: coordinates below 0 are let through where that is said', () => {
    const across = line('kiss', point(299, 200), point(301, 200))
    expect(writeHpgl([across], { ...options, toUnits: middle, negative: true })).toContain('PU-40,0;PD40,0;')
    expect(problemsOf(() => writeHpgl([across], { ...options, toUnits: middle }))).toEqual([
      'negative: toolbox lid, machine x is -40 units; the least this machine draws is 0 units',
    ])
  })

  test('to its range, either way', () => {
    const set = { ...options, toUnits: middle, negative: true, range: 4000 }
    const given = line('kiss', point(200, 100), point(400, 300.1))
    // 200.025 mm from the middle is 4001 units; 100.1 mm up is 4004.
    expect(problemsOf(() => writeHpgl([given], set))).toEqual([
      'beyond_range: toolbox lid, machine y is 4004 units; this machine counts to 4000 units either way from its 0',
    ])
    expect(problemsOf(() => writeHpgl([line('kiss', point(199.975, 200), point(300, 200))], set))).toEqual([
      'beyond_range: toolbox lid, machine x is -4001 units; this machine counts to 4000 units either way from its 0',
    ])
    expect(problemsOf(() => writeHpgl([line('kiss', point(200, 100), point(400, 300))], set))).toEqual([])
  })

  test('a range stands in place of the usual one and of a wide one', () => {
    const far = line('kiss', point(0, 0), point(250, 0))
    expect(writeHpgl([far], { ...options, range: 10_000 })).toContain('PD10000,0;')
    expect(problemsOf(() => writeHpgl([far], { ...options, range: 9999, wideRange: true }))).toEqual([
      'beyond_range: toolbox lid, x is 250 mm; HP-GL counts to 9999 units here, which is 249.975 mm',
    ])
  })

  test('what is off the sheet is told in mm, whatever the machine counts', () => {
    const off = line('kiss', point(-2, 10), point(10, 401))
    expect(problemsOf(() => writeHpgl([off], { ...options, toUnits: middle, negative: true }))).toEqual([
      'negative: toolbox lid, x is -2 mm; the least a plotter draws is 0 mm',
      'beyond_area: toolbox lid, y is 401 mm; the area ends at 400 mm, 1 mm short of it',
    ])
  })

  test('each place is rounded once: steps of 0.4 units do not add up', () => {
    // 0.01 mm x 40 = 0.4 units; 100 steps of it are 40 units, and each unit is drawn once.
    const steps = polyline(Array.from({ length: 101 }, (_, i) => point(10 + i / 100, 10)))
    const given: Stroke = { operation: 'kiss', path: steps, name: 'lid' }
    const text = writeHpgl([given], { ...options, dialect: 'relative', lineBytes: 1000 })
    expect(text).toContain(`PA400,400;PD;PR${Array.from({ length: 40 }, () => '1,0').join(',')};PU;`)
  })
})

test('a line too short for a command, and a range that is none, are refused', () => {
  expect(problemsOf(() => writeHpgl([], { ...options, lineBytes: 39, range: 2 ** 30 }))).toEqual([
    'line_bytes: lineBytes is 39 bytes; a line has whole bytes, and the least is 40',
    'range: range is 1073741824 units; a largest coordinate is a whole number from 1 to 1073741823',
  ])
  // The longest command: PD with two signed coordinates of ten digits in 40 bytes.
  const far = (p: Point) => point(p.x === 10 ? 1 - 2 ** 30 : 2 ** 30 - 1, p.y - 2 ** 30 + 1 - 10)
  const set = { ...options, toUnits: far, negative: true, range: 2 ** 30 - 1, lineBytes: 40 }
  for (const dialect of ['strict', 'compact', 'relative', 'encoded'] as const) {
    const text = writeHpgl([line('kiss', point(10, 10), point(20, 10))], { ...set, dialect })
    for (const row of text.split('\n')) expect(row.length).toBeLessThan(40)
  }
})

test('bytes are the characters as they are, and a character that is no byte is refused', () => {
  expect([...hpglBytes('PE\u00bf\u00fe;')]).toEqual([80, 69, 191, 254, 59])
  expect(() => hpglBytes('PU\u0100')).toThrow('character 256 at 2 of an HP-GL file; a byte goes to 255')
})
