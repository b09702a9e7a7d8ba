import { describe, expect, test } from 'vitest'
import { readHpgl } from '../../../src/file/hpgl/read.ts'
import type { Point } from '../../../src/geometry/point.ts'
import { Refusal } from '../../../src/measure/problem.ts'

const options = { unitsPerMm: 40, pens: { pen: 2, kiss: 1 } }

/** Pen-down polylines in plotter units. */
const units = (text: string) =>
  readHpgl(text, { ...options, unitsPerMm: 1 }).map((s) => s.points.map((p) => [p.x, p.y]))

function problemOf(text: string): string {
  try {
    readHpgl(text, options)
  } catch (error) {
    if (error instanceof Refusal)
      return error.problems.map((p) => `${p.code}: ${p.field} is ${p.value}; ${p.limit}`).join('\n')
    throw error
  }
  return 'none'
}

describe('published HP-GL listings', () => {
  test('a triangle by absolute moves: HP 5961-0509, page 20-32, table 20-20', () => {
    const triangle = [
      [10, 10],
      [2500, 10],
      [10, 1500],
      [10, 10],
    ]
    expect(units('IN;SP1;PA10,10;PD2500,10,10,1500,10,10;')).toEqual([triangle])
  })

  test('two triangles with PAPD in one: Brother technical reference, page 4-19, sample 24', () => {
    const text =
      'IN;SP1;PA2000,6000;PD0,6000,2000,7500,2000,6000;PU2500,6000;PAPD4500,6000,2500,7500,2500,6000;PU10365,500;'
    expect(units(text)).toEqual([
      [
        [2000, 6000],
        [0, 6000],
        [2000, 7500],
        [2000, 6000],
      ],
      [
        [2500, 6000],
        [4500, 6000],
        [2500, 7500],
        [2500, 6000],
      ],
    ])
  })

  test('two triangles by relative moves, after a trailing comma: Brother technical reference, page 4-19, sample 25', () => {
    const text = 'IN;SP1;PA5000,4500,;PDPR-2000,0,2000,2000,0,-2000;PU500,0;PD2000,0,-2000,2000,0,-2000;PU;'
    expect(units(text)).toEqual([
      [
        [5000, 4500],
        [3000, 4500],
        [5000, 6500],
        [5000, 4500],
      ],
      [
        [5500, 4500],
        [7500, 4500],
        [5500, 6500],
        [5500, 4500],
      ],
    ])
  })
})

describe('HP-GL worked out from the rules', () => {
  test('a 100 x 50 mm panel with a 3 mm tick, in mm and by operation', () => {
    const text = 'IN;SP1;PU0,0;PD4000,0,4000,2000,0,2000,0,0;PU2000,0;SP2;PD2000,120;PU;SP0;'
    expect(readHpgl(text, options)).toEqual([
      {
        pen: 1,
        operation: 'kiss',
        points: [
          { x: 0, y: 0 },
          { x: 100, y: 0 },
          { x: 100, y: 50 },
          { x: 0, y: 50 },
          { x: 0, y: 0 },
        ],
        closed: true,
      },
      {
        pen: 2,
        operation: 'pen',
        points: [
          { x: 50, y: 0 },
          { x: 50, y: 3 },
        ],
        closed: false,
      },
    ])
  })

  test.each([
    [
      'panel and tick',
      'IN;SP1;PU0,0;PD4000,0,4000,2000,0,2000,0,0;PU2000,0;PD2000,120;PU;SP0;',
      [
        [
          [0, 0],
          [4000, 0],
          [4000, 2000],
          [0, 2000],
          [0, 0],
        ],
        [
          [2000, 0],
          [2000, 120],
        ],
      ],
    ],
    [
      'relative square',
      'IN;SP1;PA0,0;PD;PR400,0,0,400,-400,0,0,-400;PU;SP0;',
      [
        [
          [0, 0],
          [400, 0],
          [400, 400],
          [0, 400],
          [0, 0],
        ],
      ],
    ],
    [
      'lower case, spaces and signs between numbers',
      'in;sp1;pu 100 100;pd+200-100,200 +300;pu;',
      [
        [
          [100, 100],
          [200, -100],
          [200, 300],
        ],
      ],
    ],
    [
      'bare PU and PD with one pair a PA',
      'IN;SP1;PU;PA0,0;PD;PA4000,0;PA4000,2000;PA0,2000;PA0,0;PU;SP0;',
      [
        [
          [0, 0],
          [4000, 0],
          [4000, 2000],
          [0, 2000],
          [0, 0],
        ],
      ],
    ],
    [
      'line ends between and inside commands',
      'IN;SP1;\r\nPU1,2;PD3,4,\n5,6;\nPU;\n',
      [
        [
          [1, 2],
          [3, 4],
          [5, 6],
        ],
      ],
    ],
    [
      'no semicolons',
      'IN SP1 PU1,2 PD3,4 PU',
      [
        [
          [1, 2],
          [3, 4],
        ],
      ],
    ],
    [
      'fractions',
      'SP1;PU.5,1.;PD2.25,-.75;PU;',
      [
        [
          [0.5, 1],
          [2.25, -0.75],
        ],
      ],
    ],
    [
      'a line end for the last semicolon',
      'SP1;PU1,2;PD3,4\n',
      [
        [
          [1, 2],
          [3, 4],
        ],
      ],
    ],
    ['a dot', 'SP1;PU1,2;PD;PU;', [[[1, 2]]]],
    [
      'a pen change with the pen down',
      'SP1;PU1,2;PD3,4;SP2;PD5,6;PU;',
      [
        [
          [1, 2],
          [3, 4],
        ],
        [
          [3, 4],
          [5, 6],
        ],
      ],
    ],
  ])('%s', (_, text, out) => {
    expect(units(text)).toEqual(out)
  })

  test('a file that only parks the tool has no strokes', () => {
    expect(units('IN;PU;PU0,0;SP0;')).toEqual([])
  })

  test('arcs and circles come as chords within 0.02 mm, and end where they end', () => {
    // A circle of 10 mm round 20,20, and a quarter of one from 30,0 to 20,10 about 20,0.
    const [ring, quarter] = readHpgl('SP1;PU800,800;CI400;PU1200,0;PD;AA800,0,90;PU;', options)
    expect(ring?.closed).toBe(true)
    expect(quarter?.closed).toBe(false)
    expect(quarter?.points[0]).toEqual({ x: 30, y: 0 })
    expect(quarter?.points.at(-1)).toEqual({ x: 20, y: 10 })
    const off = (points: readonly Point[] = [], y: number) =>
      points.slice(1).map((p, i) => {
        const q = points[i] ?? p
        const middle = Math.hypot((p.x + q.x) / 2 - 20, (p.y + q.y) / 2 - y)
        return Math.max(Math.abs(Math.hypot(p.x - 20, p.y - y) - 10), Math.abs(middle - 10))
      })
    for (const far of [off(ring?.points, 20), off(quarter?.points, 0)]) {
      expect(far.length).toBeGreaterThan(8)
      expect(Math.max(...far)).toBeLessThan(0.0201)
    }
  })

  test('a circle of kilometres comes whole', () => {
    // Radius 2^29 units of 1 mm: chords within 0.02 mm turn by 4 asin(sqrt(0.02 / 2r)) = 1.73e-5 rad at most.
    const [ring] = readHpgl('SP1;CI536870912;', { ...options, unitsPerMm: 1 })
    expect(ring?.points.length).toBeGreaterThan((2 * Math.PI) / 1.73e-5)
  })

  test('no operation is told where no pen is selected or two operations share it', () => {
    const shared = { unitsPerMm: 40, pens: { pen: 1, kiss: 1 } }
    expect(readHpgl('PD40,0;SP1;PD80,0;PU;', shared).map((s) => [s.pen, s.operation])).toEqual([
      [0, undefined],
      [1, undefined],
    ])
  })
})

describe('HP-GL that is refused', () => {
  test.each([
    [
      'an odd coordinate',
      'IN;SP1;PU0,0;PD100,100,200;',
      'odd_coordinate: command 4 (byte 13) is PD with 3 numbers; coordinates come in pairs of x and y',
    ],
    [
      'an unknown command',
      'IN;SP1;PU0,0;ZZ9;PD100,0;PU;',
      'unknown_command: command 4 (byte 13) is "ZZ9;PD100,0;"; no command that this reader knows',
    ],
    [
      'a label, whose letters look like commands',
      'IN;SP1;PU0,0;PD100,0;LBPD500,500;\u0003PU0,50;PD100,50;PU;',
      'not_read: command 5 (byte 21) is LB; what it draws is not read',
    ],
    ['an empty file', ' \n', 'empty: the HP-GL file is empty; it must hold at least one command'],
    [
      'a file cut off in a list with the pen down',
      'IN;SP1;PU0,0;PD100,100,20',
      'cut_off: command 4 (byte 13) is the last one read; the data ends inside PD, after 2 numbers, with the pen down',
    ],
    [
      'a file cut off between whole pairs',
      'IN;SP1;PD;PA100,100',
      'cut_off: command 4 (byte 10) is the last one read; the data ends inside PA, after 1 number, with the pen down',
    ],
    [
      'a file cut off with the pen up',
      'IN;SP1;PU100,200',
      'cut_off: command 3 (byte 7) is the last one read; the data ends inside PU, after 1 number, with the pen up',
    ],
    [
      'half a mnemonic',
      'IN;P',
      'cut_off: command 2 (byte 3) is the last one read; the data ends after one letter of a command',
    ],
    ['a filled box', 'PU0,0;RA40,40;', 'not_read: command 2 (byte 6) is RA; what it draws is not read'],
    [
      'a broken line',
      'SP1;LT2;PD40,0;PU;',
      'broken_line: the stroke at byte 8 is drawn with LT2; a broken line would be cut in dashes',
    ],
    [
      'a scale on corners that only the plotter knows',
      'SC0,1,0,1;',
      'not_settled: the HP-GL file is a scale without IP: P1 taken as 250,279 and P2 as 10250,7479; the file must settle it',
    ],
    [
      'two faults, both',
      'PU1;ZZ;',
      'odd_coordinate: command 1 (byte 0) is PU with 1 number; coordinates come in pairs of x and y\n' +
        'unknown_command: command 2 (byte 4) is "ZZ;"; no command that this reader knows',
    ],
    ['an exponent', 'PU1e2,0;', 'exponent: command 1 (byte 2) is "1e2,0;"; HP-GL numbers have no exponent'],
    ['two commas', 'PU1,,2;', 'no_number: command 1 (byte 4) is ",2;"; a number must stand before each comma'],
    ['a sign alone', 'PU1,-;', 'no_number: command 1 (byte 4) is "-;"; a number must stand here'],
    [
      'numbers without a command',
      'PU;1000,0;',
      'unknown_command: command 2 (byte 3) is "1000,0;"; a command of two letters must stand here',
    ],
    [
      'a number beyond HP-GL/2',
      'PU1073741825,0;',
      'out_of_range: command 1 (byte 2) is "1073741825,0"; numbers go to 1073741824',
    ],
    ['half a pen', 'SP1.5;', 'wrong_pen: command 1 (byte 0) is SP1.5; a pen number is 0 or a whole number above it'],
    ['two pens', 'SP1,2;', 'wrong_count: command 1 (byte 0) is SP with 2 numbers; SP takes one number'],
    ['a number after IN', 'IN1;', 'wrong_count: command 1 (byte 0) is IN with 1 number; IN takes no number'],
  ])('%s is named with its place', (_, text, problem) => {
    expect(problemOf(text)).toBe(problem)
  })
})

test('a million vertices come back, every one', () => {
  const text = `IN;SP1;PU0,0;${'PD12345,23456,30000,1;'.repeat(500_000)}PU;SP0;`
  const [stroke] = readHpgl(text, options)
  expect(stroke?.points.length).toBe(1_000_001)
})
