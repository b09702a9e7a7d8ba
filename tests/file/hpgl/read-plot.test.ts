import { describe, expect, test } from 'vitest'
import { type Plot, type PlotOptions, plotLimits, readPlot } from '../../../src/file/hpgl/read.ts'
import { flatten } from '../../../src/geometry/flatten.ts'
import type { Path } from '../../../src/geometry/path.ts'

/** Corners of a path in tenths of a thousandth, with `arc TURN` before those that an arc leads to, degrees. */
const cornersOf = ({ start, segments }: Path) => {
  const place = (p: { readonly x: number; readonly y: number }) =>
    [p.x, p.y].map((v) => Math.round(v * 1e4) / 1e4 + 0) as [number, number]
  return [
    place(start),
    ...segments.flatMap((s) =>
      s.kind === 'arc' ? [`arc ${Math.round((s.sweep * 180e4) / Math.PI) / 1e4}`, place(s.to)] : [place(s.to)],
    ),
  ]
}
const read = (text: string, options: PlotOptions = {}): Plot => readPlot(text, { unitsPerMm: 1, ...options })
const drawn = (text: string, options: PlotOptions = {}) => read(text, options).strokes.map((s) => cornersOf(s.path))
const errors = (text: string) => read(text).faults.map((f) => [f.error, f.offset, f.command])

describe('what is not drawn', () => {
  test.each([
    ['a label, to its end', 'LBPD9,9;\u0003', 'LB'],
    ['a label with an end of its own', 'DT#;LBPD9,9;\u0003#', 'LB'],
    ['a label whose end was set back', 'DT#;DT;LBPD9,9;#\u0003', 'LB'],
    ['a fill', 'RA9,9;', 'RA'],
    ['a symbol, whose sign may be a letter', 'SMP;', 'SM'],
    ['a question', 'OE;', 'OE'],
    ['a comment, whatever it says', 'CO "PD9,9;";', 'CO'],
    ['a header with a name', 'BP1,"PD9,9;",5,1;', 'BP'],
  ])('%s is passed over and named', (_, text, mnemonic) => {
    const plot = read(`SP1;PU1,1;${text}PD2,2;PU;`)
    expect(plot.strokes.map((s) => cornersOf(s.path))).toEqual([
      [
        [1, 1],
        [2, 2],
      ],
    ])
    expect(plot.skipped.map((s) => [s.mnemonic, s.count])).toEqual([[mnemonic, 1]])
    expect(plot.faults).toEqual([])
    expect(plot.stopped).toBe(undefined)
  })

  test.each([
    // HP 07470-90001, pages 10-23 to 10-39
    ['between commands', '\u001b.@;13:\u001b.I80;;17:\u001b.(SP1;PU1,1;\u001b.BPD2,2;\u001b.Y;PU;'],
    ['inside a list', 'SP1;PU1,1;PD\u001b.B2,\u001b.N10;19:2;PU;'],
    // HP 5961-0509, page 17-2 and following: ESC % 0 B enters HP-GL/2 and ESC % 0 A leaves it
    ['before and after HP-GL/2', '\u001bE\u001b&l0O\u001b%0BSP1;PU1,1;PD2,2;PU;\u001b%0APD9,9;\u001b%1B'],
  ])('device-control strings %s', (_, text) => {
    const plot = read(text)
    expect(plot.strokes.map((s) => cornersOf(s.path))).toEqual([
      [
        [1, 1],
        [2, 2],
      ],
    ])
    expect(plot.faults).toEqual([])
  })
})

describe('where the data ends', () => {
  const line = 'IN;SP1;PU0,0;PD100,0;'
  test.each([
    ['in a move with the pen up', `${line}PU;PU100,2`, 24],
    ['in a list with the pen down', `${line}PD100,100,20`, 21],
    ['behind a comma', `${line}PD100,100,`, 21],
    ['in a mnemonic', `${line}P`, 21],
    ['in a label', `${line}LBabc`, 21],
    ['in a comment', `${line}CO"abc`, 21],
    ['in an encoded polyline', `${line}PE7__`, 21],
    ['in a device-control string', `${line}\u001b.`, 21],
    ['in the choice of a label end', `${line}DT`, 21],
    ['in numbers of other commands', `${line}AA1,2,3`, 21],
  ])('%s is told, and what stands before it is given', (_, text, offset) => {
    const plot = read(text)
    expect(plot.stopped?.offset).toBe(offset)
    expect(plot.stopped?.why).toMatch(/^the data ends/)
    expect(plot.strokes.map((s) => cornersOf(s.path))[0]?.slice(0, 2)).toEqual([
      [0, 0],
      [100, 0],
    ])
    expect(plot.penDownAtEnd).toBe(!text.includes('PU;'))
  })

  test('the last number, which may be cut, is not drawn to, and whole pairs before it are', () => {
    expect(drawn(`${line}PD100,100,20,5`)).toEqual([
      [
        [0, 0],
        [100, 0],
        [100, 100],
      ],
    ])
  })

  test('in a polygon is told', () => {
    expect(read('SP1;PM0;PD9,0,9,9;').stopped).toEqual({
      offset: 18,
      why: 'the data ends inside a polygon, before PM2',
    })
  })

  test.each([`${line}PU`, `${line}PU;SP0`, `${line}PU;SP0;`, `${line}PD100,200\n`, `${line}\r\n\u001a`])(
    '%j is whole',
    (text) => expect(read(text).stopped).toBe(undefined),
  )
})

describe('faults', () => {
  // Numbers of HP 07470-90001, chapter 7; bytes and commands counted by hand.
  test.each([
    ['an unknown command', 'PU;ZZ1,2;', [[1, 3, 2]]],
    ['one letter alone', 'PU;P;PU;', [[1, 3, 2]]],
    ['numbers without a command', 'PU;10,20;', [[1, 3, 2]]],
    ['a byte that no command has', 'PU;\u00ff\u00fe;', [[3, 3, 2]]],
    ['an odd coordinate', 'PU1,2,3;', [[2, 0, 1]]],
    ['too few numbers', 'PU;AA1,2;', [[2, 3, 2]]],
    ['too many numbers', 'PU;SP1,2;', [[2, 3, 2]]],
    ['no number before a comma', 'PU1,,2;', [[2, 4, 1]]],
    ['an exponent', 'PU1e2,0;', [[3, 2, 1]]],
    ['a sign alone', 'PU1,-;', [[3, 4, 1]]],
    ['a number past 2^30', 'PU1073741825,0;', [[3, 2, 1]]],
    ['a pen below 0', 'PU;SP-1;', [[3, 3, 2]]],
    ['a speed below 0', 'PU;VS-1;', [[3, 3, 2]]],
    ['a force for half a pen', 'PU;FS3,1.5;', [[3, 3, 2]]],
    ['a flat scale', 'PU;IP0,0,9,9;SC0,0,0,1;', [[3, 13, 3]]],
    ['a turn by 45 degrees', 'PU;RO45;', [[3, 3, 2]]],
    ['PM1 outside a polygon', 'PU;PM1;', [[3, 3, 2]]],
    ['a pen change inside a polygon', 'PM0;SP2;PM2;', [[1, 4, 2]]],
    ['relative moves out of range, once', 'PR;PU1000000000,0,1000000000,0,5,5;', [[6, 3, 2]]],
    ['a text end that no text may have', 'DT\n;PU;', [[3, 0, 1]]],
  ])('%s', (_, text, expected) => {
    expect(errors(text)).toEqual(expected)
  })

  test('say what was read and what is allowed', () => {
    expect(read('PU1,2,3;').faults).toEqual([
      {
        error: 2,
        code: 'odd_coordinate',
        offset: 0,
        command: 1,
        value: 'PU with 3 numbers',
        limit: 'coordinates come in pairs of x and y',
        what: 'PU with 3 numbers; coordinates come in pairs of x and y',
      },
    ])
  })

  test.each([
    ['IN5;', 'IN with 1 number; IN takes no number'],
    ['SP1,2;', 'SP with 2 numbers; SP takes one number'],
    ['CI;', 'CI with 0 numbers; CI takes 1 or 2 numbers'],
    ['EA1;', 'EA with 1 number; EA takes 2 numbers'],
    ['AA1,2;', 'AA with 2 numbers; AA takes 3 or 4 numbers'],
    ['SC1;', 'SC with 1 number; SC takes 4, 5 or 7 numbers'],
  ])('%s tells how many numbers there may be', (text, what) => {
    expect(read(text).faults.map((f) => f.what)).toEqual([what])
  })

  test.each(['PU1e2,0;', 'PU1e+2,0;', 'PU1e-2,0;', 'PU1E-2,0;'])('%s is an exponent', (text) => {
    expect(read(text).faults.map((f) => [f.error, f.code, f.offset])).toEqual([[3, 'exponent', 2]])
  })

  test('an E behind a number may begin the next command', () => {
    const plot = read('SP1;PU5,5EA9,8PU;')
    expect(plot.faults).toEqual([])
    expect(plot.strokes.map((s) => cornersOf(s.path))).toEqual([
      [
        [5, 5],
        [9, 5],
        [9, 8],
        [5, 8],
        [5, 5],
      ],
    ])
  })

  test('numbers go to 2^30 and no further', () => {
    expect(read('PU1073741824,-1073741824;').faults).toEqual([])
    expect(read('PU-1073741825,0;').faults.map((f) => f.code)).toEqual(['out_of_range'])
  })

  test.each([
    ['SP2;', 'SP'],
    ['LBZZ9;\u0003', 'LB'],
    ['BLZZ9;\u0003', 'BL'],
  ])('%j may not stand in a polygon, and is passed over to its end', (text, name) => {
    const plot = read(`SP1;PM0;${text}PM2;PD5,5;PU;`)
    expect(plot.faults).toMatchObject([
      { error: 1, code: 'in_polygon', value: name, limit: 'it may not stand between PM0 and PM2', offset: 8 },
    ])
    expect(plot.stopped).toBe(undefined)
    expect(plot.strokes.map((s) => [s.pen, cornersOf(s.path)])).toEqual([
      [
        1,
        [
          [0, 0],
          [5, 5],
        ],
      ],
    ])
  })

  test.each([
    ['SP-1;', 'a pen number is 0 or a whole number above it'],
    ['FS3,1.5;', 'a pen number is 0 or a whole number above it'],
    ['VS-1;', 'a speed goes from 0 to 32767'],
    ['FS32768;', 'a force goes from 0 to 32767'],
    ['AS-2;', 'an acceleration goes from 0 to 32767'],
  ])('%s tells what may be set', (text, limit) => {
    expect(read(text).faults.map((f) => f.limit)).toEqual([limit])
  })

  test('circles and rectangles past the range, or from a lost pen, are not drawn', () => {
    const far = read('SP1;PU1073741823,0;CI5;')
    expect(far.faults.map((f) => [f.error, f.code])).toEqual([[6, 'beyond_range']])
    expect(far.strokes).toEqual([])
    const lost = read('SP1;PR1000000000,0,1000000000,0;CI5;ER5,5;PA1,1;CI5;')
    expect(lost.faults.map((f) => f.error)).toEqual([6])
    expect(lost.strokes.map((s) => s.path.start)).toEqual([{ x: 6, y: 1 }])
  })

  test('a bad speed or pen leaves the old one', () => {
    expect(read('SP2;VS10;SP-1;VS-5;PD9,9;PU;').strokes.map((s) => [s.pen, s.speed])).toEqual([[2, 10]])
  })

  test('a pen out of range draws nothing until it is sent to an absolute place: HP 5961-0509, page 20-36', () => {
    const text = 'SP1;PU5,5;PD9,9;PR1000000000,0,1000000000,0,-2000000000,0;PA20,20,30,20;PU;'
    expect(drawn(text)).toEqual([
      [
        [5, 5],
        [9, 9],
        [1000000009, 9],
      ],
      [
        [20, 20],
        [30, 20],
      ],
    ])
  })
})

describe('strict reading', () => {
  test('takes plain HP-GL', () => {
    const text = 'IN;SP1;VS12.5;\nPU0,0;PD4000,0,-5,20;AA0,0,-45.5;\r\nPU;PE7<=O]`O]`;SP0;\n'
    const plot = read(text, { mode: 'strict' })
    expect([plot.faults, plot.stopped, plot.strokes.length]).toEqual([[], undefined, 1])
  })

  test.each([
    ['small letters', 'IN;sp1;', 3],
    ['a blank', 'IN;PU 1,2;', 5],
    ['a blank after a number', 'IN;PU1,2 ;', 8],
    ['a blank between commands', 'IN; PU;', 3],
    ['a sign as a separator', 'IN;PU1-2;', 6],
    ['a plus', 'IN;PU+1,2;', 5],
    ['a point', 'IN;PU1.5,2;', 5],
    ['a comma after the last', 'IN;PU1,2,;', 9],
    ['two semicolons', 'IN;;PU;', 3],
    ['no semicolon', 'IN;PU1,2PD;', 8],
    ['no semicolon at the end', 'IN;PU', 3],
    ['a line end for the semicolon', 'IN;PU1,2\n', 8],
    ['a line end in a list', 'IN;PU1,\n2;', 7],
    ['a label', 'IN;LBa\u0003', 3],
    ['a device-control string', '\u001b.BIN;', 0],
    ['an unknown command', 'IN;ZZ;PU;', 3],
    ['an odd coordinate', 'IN;PU1;PU;', 3],
  ])('stops at %s', (_, text, offset) => {
    const plot = read(text, { mode: 'strict' })
    expect(plot.stopped?.offset).toBe(offset)
    expect(plot.faults.length).toBe(text === 'IN;PU' ? 0 : 1)
  })

  test('says what does not belong into a plain file', () => {
    for (const [text, value] of [
      ['IN;LBa\u0003', 'LB'],
      ['IN;DT#;', 'DT'],
      ['IN;SM*;', 'SM'],
      ['IN;CO"a";', 'CO'],
    ] as const) {
      expect(read(text, { mode: 'strict' }).faults).toMatchObject([
        { error: 1, code: 'not_plain', value, limit: 'it does not belong into a plain file' },
      ])
    }
  })

  test('gives what stands before the fault', () => {
    const plot = read('IN;SP1;PU0,0;PD5,5;PU;ZZ;PD9,9;', { mode: 'strict' })
    expect(plot.strokes.map((s) => cornersOf(s.path))).toEqual([
      [
        [0, 0],
        [5, 5],
      ],
    ])
  })
})

describe('facts of a stroke', () => {
  test('the pen, speed, force and acceleration that are set when it is drawn', () => {
    const text = 'SP1;VS20;FS3,2;AS2;PD1,0;SP2;PD2,0;VS5,2;PD3,0;VS;FS;AS;PD4,0;PU;IN;PD9,9;PU;'
    expect(read(text).strokes.map(({ path: _, offset: __, ...facts }) => facts)).toEqual([
      { pen: 1, speed: 20, acceleration: 2 },
      { pen: 2, speed: 20, force: 3, acceleration: 2 },
      { pen: 2, speed: 5, force: 3, acceleration: 2 },
      { pen: 2 },
      { pen: 0 },
    ])
  })

  test('IN takes back pace and relative moves', () => {
    const [stroke] = read('SP1;VS20;FS3;AS2;PR3,3;IN;SP1;PU5,5;PD9,9;PU;').strokes
    expect(stroke && cornersOf(stroke.path)).toEqual([
      [5, 5],
      [9, 9],
    ])
    expect(Object.keys(stroke ?? {}).sort()).toEqual(['offset', 'path', 'pen'])
  })

  test('DF takes back relative moves and leaves pace', () => {
    const [stroke] = read('SP1;VS20;PR3,3;DF;PU5,5;PD9,9;PU;').strokes
    expect(stroke && [stroke.speed, ...cornersOf(stroke.path)]).toEqual([20, [5, 5], [9, 9]])
  })

  test.each([
    ['a triangle', 'PD9,7,9,9,5,7;', true],
    ['there and back', 'PD9,7,5,7;', true],
    ['four quarters of a circle', 'PD;AA0,0,90;AA0,0,90;AA0,0,90;AA0,0,90;', true],
    ['one line', 'PD9,7;', false],
    ['a line to where it is', 'PD5,7;', false],
    ['one unit beside its start', 'PD9,7,9,9,6,7;', false],
    ['one unit above its start', 'PD9,7,9,9,5,8;', false],
    ['a tenth of a thousandth beside its start', 'PD9,7,9,9,5.0001,7;', false],
    ['a tenth of a thousandth above its start', 'PD9,7,9,9,5,7.0001;', false],
  ])('is it closed? %s', (_, text, closed) => {
    for (const unitsPerMm of [1, 40, 4000]) {
      const [stroke] = read(`SP1;PU5,7;${text}PU;`, { unitsPerMm }).strokes
      expect(stroke?.path.closed).toBe(closed)
      // A closed one ends on the very point at which it begins.
      if (closed) expect(stroke?.path.segments.at(-1)?.to).toEqual(stroke?.path.start)
    }
  })

  test('the broken line it is drawn with, until LT or DF', () => {
    const text = 'SP1;LT2,4;PD1,0;LT;PD2,0;LT-3;PD3,0;DF;PD4,0;PU;'
    expect(read(text).strokes.map((s) => s.lineType)).toEqual([2, undefined, -3, undefined])
  })

  test('the byte of the command that begins it', () => {
    // bytes: IN; 0, SP1; 3, PU5,5; 7, PD 13, PA9,9; 16, CI2; 22, SP2; 26, PD8,8; 30, PU; 36, EA1,1; 39
    const text = 'IN;SP1;PU5,5;PD;PA9,9;CI2;SP2;PD8,8;PU;EA1,1;'
    expect(read(text).strokes.map((s) => s.offset)).toEqual([13, 22, 30, 39])
  })

  test('pens in the order of use, without those that draw nothing', () => {
    expect(read('SP3;PD9,9;SP7;SP1;PD5,5;SP3;PD1,1;PU;').pens).toEqual([3, 1])
  })

  test('a pen that only touches down is a stroke, and one that only goes on after a circle is none', () => {
    expect(drawn('SP1;PU3,4;PD;PU;')).toEqual([[[3, 4]]])
    expect(drawn('SP1;PU0,0;PD5,0;CI2;PU;').length).toBe(2)
  })
})

describe('windows', () => {
  const window = 'IW0,0,10,10;'
  test.each([
    [
      'a line across',
      'PU-5,5;PD15,5;',
      [
        [
          [0, 5],
          [10, 5],
        ],
      ],
    ],
    [
      'a line that leaves and comes back',
      'PU5,5;PD15,5,15,8,5,8;',
      [
        [
          [5, 5],
          [10, 5],
        ],
        [
          [10, 8],
          [5, 8],
        ],
      ],
    ],
    ['a line outside', 'PU11,0;PD11,9;', []],
    [
      'a line along the edge',
      'PU10,2;PD10,12;',
      [
        [
          [10, 2],
          [10, 10],
        ],
      ],
    ],
    ['a dot outside', 'PU11,11;PD;', []],
    // y = 8 on the circle of radius 10 round the origin is x = 6: a 3-4-5 triangle
    [
      'an arc cut at the top',
      'IW;IW0,0,10,8;PU10,0;PD;AA0,0,90;',
      [[[10, 0], `arc ${Math.round((Math.asin(0.8) * 180e4) / Math.PI) / 1e4}`, [6, 8]]],
    ],
    // Its middle is on the edge: two quarters of the circle are inside.
    [
      'a circle half outside',
      'PU0,5;CI2;',
      [
        [[2, 5], 'arc 90', [0, 7]],
        [[0, 3], 'arc 90', [2, 5]],
      ],
    ],
  ])('%s', (_, text, out) => {
    expect(drawn(`SP1;${window}${text}PU;`)).toEqual(out)
  })

  test('what is inside stays in one part past corners, and a cut path is closed no longer', () => {
    const [part, ...others] = read(`SP1;${window}PU5,5;PD8,5,8,8,15,8,15,5,5,5;PU;`).strokes
    expect(part?.path.closed).toBe(false)
    expect(part && cornersOf(part.path)).toEqual([
      [5, 5],
      [8, 5],
      [8, 8],
      [10, 8],
    ])
    expect(others.map((s) => [cornersOf(s.path), s.path.closed])).toEqual([
      [
        [
          [10, 5],
          [5, 5],
        ],
        false,
      ],
    ])
  })

  test('a path inside is left whole, and one outside is followed: the pen is where it went', () => {
    expect(drawn(`SP1;${window}PU1,1;PD9,1,9,9,1,1;PU20,20;PR;PU-15,-15;PD1,0;PU;`)).toEqual([
      [
        [1, 1],
        [9, 1],
        [9, 9],
        [1, 1],
      ],
      [
        [5, 5],
        [6, 5],
      ],
    ])
    expect(read(`SP1;${window}PU5,5;CI2;`).strokes[0]?.path.closed).toBe(true)
  })

  test('a window is in user units, and IW alone takes it away', () => {
    const text = 'SP1;IP0,0,100,100;SC0,10,0,10;IW0,0,5,5;PU0,1;PD10,1;IW;PD10,2;PU;'
    expect(drawn(text)).toEqual([
      [
        [0, 10],
        [50, 10],
      ],
      [
        [100, 10],
        [100, 20],
      ],
    ])
  })

  test('the sheet is a window too, and IN does not widen it', () => {
    const text = 'IN;SP1;IW-5,-5,40,40;PU-5,5;PD50,5;IW;PU5,9;PD50,9;PU;'
    expect(drawn(text, { page: { x: 30, y: 20 } })).toEqual([
      [
        [0, 5],
        [30, 5],
      ],
      [
        [5, 9],
        [30, 9],
      ],
    ])
  })
})

describe('turned axes: HP 5961-0509, pages 19-34 and 19-35', () => {
  const page = { x: 100, y: 60 }
  // The origin of the turned axes is the corner that lies lower left in them.
  test.each([
    [
      90,
      [
        [100, 0],
        [100, 10],
        [95, 10],
      ],
    ],
    [
      180,
      [
        [100, 60],
        [90, 60],
        [90, 55],
      ],
    ],
    [
      270,
      [
        [0, 60],
        [0, 50],
        [5, 50],
      ],
    ],
  ])('RO%d', (turn, out) => {
    expect(drawn(`SP1;RO${turn};PU0,0;PD10,0,10,5;PU;`, { page })).toEqual([out])
  })

  test('the pen stays where it is, and arcs keep their hand', () => {
    const text = 'SP1;PU50,20;RO90;PD;PR10,0;AR0,5,90;PU;'
    expect(drawn(text, { page })).toEqual([[[50, 20], [50, 30], 'arc 90', [45, 35]]])
  })

  test('IP without numbers takes the corners of the turned sheet', () => {
    // 100 x 60 turned by 90: user 1,1 lies 60 along and 100 across, which is 0,60 on the sheet
    expect(drawn('SP1;RO90;IP;SC0,1,0,1;PU0,0;PD1,1;PU;', { page })).toEqual([
      [
        [100, 0],
        [0, 60],
      ],
    ])
  })
})

describe('scales', () => {
  test('by point and factor: HP 5961-0509, page 19-41', () => {
    expect(drawn('SP1;IP100,200;SC1,10,2,20,2;PU1,2;PD2,3;PU;')).toEqual([
      [
        [100, 200],
        [110, 220],
      ],
    ])
  })

  test('isotropic, with the space left over at the left and below', () => {
    expect(drawn('SP1;IP0,0,8000,4000;SC0,100,0,100,1,0,50;PU0,0;PD100,100;PU;')).toEqual([
      [
        [0, 0],
        [4000, 4000],
      ],
    ])
    expect(drawn('SP1;IP0,0,4000,8000;SC0,100,0,100,1,50,100;PU0,0;PD100,100;PU;')).toEqual([
      [
        [0, 4000],
        [4000, 8000],
      ],
    ])
  })

  test('mirrored, an arc turns the other way', () => {
    expect(drawn('SP1;IP100,0,0,100;SC0,100,0,100;PU20,0;PD;AA10,0,90;PU;')).toEqual([[[80, 0], 'arc -90', [90, 10]]])
  })

  test('a circle with two scales is an ellipse', () => {
    const [ellipse] = read('SP1;IP0,0,2000,1000;SC0,100,0,100;PU50,50;CI30;').strokes
    const found = ellipse?.path.segments.map((s) => ((s.to.x - 1000) / 600) ** 2 + ((s.to.y - 500) / 300) ** 2) ?? []
    expect(found.length).toBeGreaterThan(3)
    for (const value of found) expect(value).toBeCloseTo(1, 9)
  })

  test('units of the two axes may differ', () => {
    expect(drawn('SP1;PU0,0;PD400,400;PU;', { unitsPerMm: { x: 40, y: 50 } })).toEqual([
      [
        [0, 0],
        [10, 8],
      ],
    ])
  })

  test.each([
    ['a circle', 'PU0,0;CI400;'],
    ['arcs of the pen', 'PU400,0;PD;AA0,0,180;AA0,0,180;PU;'],
  ])('%s is an ellipse where they do', (_, text) => {
    // 400 units are 10 mm along and 8 mm up.
    const [stroke] = read(`SP1;${text}`, { unitsPerMm: { x: 40, y: 50 } }).strokes
    const found = stroke ? flatten(stroke.path, 1e-4) : []
    expect(found.length).toBeGreaterThan(100)
    for (const { x, y } of found) expect(Math.hypot(x / 10, y / 8)).toBeCloseTo(1, 3)
    expect(stroke?.path.segments.map(({ kind }) => kind)).not.toContain('arc')
  })

  test('DF takes it off and leaves P1 and P2, IN takes both', () => {
    const [square, after] = ['SP1;IP0,0,1000,1000;SC0,10,0,10;', 'SC0,1,0,1;PU0,0;PD1,1;PU;']
    const far = (text: string) =>
      drawn(text, { corners: { p1: { x: 0, y: 0 }, p2: { x: 50, y: 50 } } })
        .at(-1)
        ?.at(-1)
    expect(far(`${square}DF;PU0,0;PD1,1;PU;`)).toEqual([1, 1])
    expect(far(`${square}DF;${after}`)).toEqual([1000, 1000])
    expect(far(`${square}IN;SP1;${after}`)).toEqual([50, 50])
  })

  test('corners that only the plotter knows are named', () => {
    expect(read('SC0,1,0,1;').assumed.length).toBe(1)
    expect(read('IP0,0,9,9;SC0,1,0,1;').assumed).toEqual([])
    expect(read('SC0,1,0,1;', { page: { x: 9, y: 9 } }).assumed).toEqual([])
  })
})

describe('arcs through three points: HP 5961-0509, pages 20-16 and 20-17', () => {
  test.each([
    ['to the left', 'AT10,10,0,20', [[0, 0], 'arc 180', [0, 20]]],
    ['to the right', 'AT-10,10,0,20', [[0, 0], 'arc -180', [0, 20]]],
    // centre 10,0: from 0,0 over 10,-10 and 20,0 to 10,10 is three quarters of a turn to the left
    [
      'more than half a turn',
      'AT20,0,10,10',
      [[0, 0], 'arc 135', [17.0711, -7.0711].map((v) => Number(v)), 'arc 135', [10, 10]],
    ],
    [
      'straight, the middle point between the ends',
      'AT5,5,10,10',
      [
        [0, 0],
        [10, 10],
      ],
    ],
    [
      'straight, the middle point an end',
      'AT0,0,10,10',
      [
        [0, 0],
        [10, 10],
      ],
    ],
    ['a circle, the ends one point', 'AT10,0,0,0', [[0, 0], 'arc 180', [10, 0], 'arc 180', [0, 0]]],
    ['a dot, all one point', 'AT0,0,0,0', [[0, 0]]],
  ])('%s', (_, command, out) => {
    expect(drawn(`SP1;PU0,0;PD;${command};PU;`)).toEqual([out])
  })

  test('one that runs through infinity is told, and drawn up to its middle point', () => {
    expect(drawn('SP1;PU0,0;PD;AT-5,0,10,0;PD10,5;PU;')).toEqual([
      [
        [0, 0],
        [-5, 0],
      ],
      [
        [10, 0],
        [10, 5],
      ],
    ])
    expect(drawn('SP1;PU0,0;PD;AT15,0,10,0;PU;')).toEqual([
      [[0, 0]],
      [
        [15, 0],
        [10, 0],
      ],
    ])
    expect(errors('SP1;PU0,0;PD;AT15,0,10,0;PU;')).toEqual([[3, 13, 4]])
  })
})

describe('arcs about a centre', () => {
  test('a whole turn comes back to its very start, and two turns go round twice', () => {
    expect(drawn('SP1;PU10.3,0.7;PD;AA3,4,360;PU;')).toEqual([
      [[10.3, 0.7], 'arc 180', [-4.3, 7.3], 'arc 180', [10.3, 0.7]],
    ])
    expect(drawn('SP1;PU10,0;PD;AA0,0,-720;PU;')[0]?.filter((c) => c === 'arc -180').length).toBe(4)
  })

  test('a radius of nothing draws nothing, and a circle of nothing is a dot', () => {
    expect(drawn('SP1;PU3,4;PD5,5;AA5,5,90;PU;')).toEqual([
      [
        [3, 4],
        [5, 5],
      ],
    ])
    expect(drawn('SP1;PU3,4;CI0;')).toEqual([[[3, 4]]])
  })

  test('a wedge with a radius below 0 lies across: HP 5961-0509, page 21-6', () => {
    expect(drawn('SP1;PU10,10;EW-5,0,90;')).toEqual([[[10, 10], [5, 10], 'arc 90', [10, 5], [10, 10]]])
  })
})

describe('polygons: HP 5961-0509, pages 21-34 to 21-37', () => {
  test('edges defined with the pen up are not drawn, and the closing edge is added', () => {
    // The edge from 9,0 to 9,9 is defined with the pen up.
    expect(drawn('SP1;PU0,0;PM0;PD9,0;PU9,9;PD0,9;PM2;EP;')).toEqual([
      [
        [0, 0],
        [9, 0],
      ],
      [
        [9, 9],
        [0, 9],
        [0, 0],
      ],
    ])
  })

  test('a polygon stays for a second EP, an outline takes its place, and IN clears it', () => {
    const square = 'SP1;PU0,0;PM0;PD9,0,9,9;PM2;'
    expect(drawn(`${square}EP;EP;`).length).toBe(2)
    expect(drawn(`${square}EA5,5;EP;`)[1]).toEqual(drawn(`${square}EA5,5;EP;`)[0])
    expect(drawn(`${square}IN;SP1;EP;`)).toEqual([])
    expect(drawn('SP1;PU0,0;PM0;PD9,0;IN;SP1;PU1,1;PD2,2;PU;EP;')).toEqual([
      [
        [1, 1],
        [2, 2],
      ],
    ])
  })

  test('after PM2 the pen is where and as it was before PM0', () => {
    expect(drawn('SP1;PU1,1;PM0;PD9,0,9,9;PM2;PD2,2;PU;')).toEqual([
      [
        [1, 1],
        [2, 2],
      ],
    ])
  })

  test('an encoded polyline may define one, without its pens', () => {
    // `:` with pen 2, then 9,0 and 0,9: 9 is 18 = 95 + 18 = `q`, 2 is 4 = `c`
    const plot = read('SP1;PU0,0;PM0;PE7:cq__q;PM2;EP;')
    expect(plot.strokes.map((s) => [s.pen, cornersOf(s.path)])).toEqual([
      [
        1,
        [
          [0, 0],
          [9, 0],
          [9, 9],
          [0, 0],
        ],
      ],
    ])
  })
})

describe('encoded polylines: HP 5961-0509, pages 20-34 to 20-41', () => {
  test('are relative whatever went before, and PR is on again after', () => {
    // `c` is 2
    expect(drawn('SP1;PU1,1;PR;PE7cc;PD1,0;PU;')).toEqual([
      [
        [1, 1],
        [3, 3],
        [4, 3],
      ],
    ])
  })

  test('end with the pen up only after a move with the pen up, and alone move nothing', () => {
    expect(read('SP1;PE7cc;').penDownAtEnd).toBe(true)
    expect(read('SP1;PE7cc<cc;').penDownAtEnd).toBe(false)
    expect(drawn('SP1;PU1,1;PE;PD2,2;PU;')).toEqual([
      [
        [1, 1],
        [2, 2],
      ],
    ])
  })

  test('change pens', () => {
    expect(read('SP1;PE7cc:ccc;PU;').strokes.map((s) => s.pen)).toEqual([1, 2])
  })
})

describe('limits', () => {
  const small = { strokes: 3, points: 100, faults: 5, polygon: 10 }
  test.each([
    ['strokes', `SP1;${'PU1,1;PD2,2;'.repeat(9)}PU;`, 'there are more than 3 strokes'],
    ['points', `SP1;PD${'1,1,'.repeat(200)}1,1;`, 'more than 100 points are drawn to'],
    [
      'points of polygons drawn again and again',
      `SP1;PM0;PD9,0,9,9;PM2;IW50,50,60,60;${'EP;'.repeat(50)}`,
      'more than 100 points are drawn to',
    ],
    ['faults', 'ZZ;'.repeat(50), 'there are 5 faults: this may be no HP-GL'],
  ])('more %s stop the reading', (_, text, why) => {
    const plot = read(text, { limits: small })
    expect(plot.stopped?.why).toBe(why)
    expect(plot.strokes.length).toBeLessThanOrEqual(3)
  })

  test('what was drawn before the limit is given', () => {
    expect(read(`SP1;PU1,1;PD${'1,1,'.repeat(200)}1,1;`, { limits: small }).strokes[0]?.path.segments.length).toBe(99)
  })

  test('a polygon too big for its buffer is fault 7, told once, and not drawn by half', () => {
    const plot = read(`SP1;PM0;PD${'1,1,2,2,'.repeat(10)}3,3;PM2;EP;`, { limits: small })
    expect(plot.faults.map((f) => f.error)).toEqual([7])
    expect(plot.strokes).toEqual([])
  })

  test('nothing is added to a polygon whose buffer was too small', () => {
    const plot = read(`SP1;PM0;PD${'1,1,2,2,'.repeat(10)}3,3;PM1;CI5;PM2;EP;`, { limits: small })
    expect(plot.faults.map((f) => f.error)).toEqual([7])
    expect(plot.strokes).toEqual([])
  })

  test('are stated', () => {
    expect(plotLimits).toEqual({ strokes: 1_000_000, points: 8_000_000, faults: 10_000, polygon: 1_000_000 })
  })
})

test('bytes are read as they are', () => {
  const text = 'IN;SP1;PE<=\u00bf\u00bf_\u00cb\u00bf;'
  const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0))
  expect(readPlot(bytes, { unitsPerMm: 1 })).toEqual(read(text))
  expect(drawn(text)).toEqual([
    [
      [0, 0],
      [400, 0],
    ],
  ])
})
