import { describe, expect, test } from 'vitest'
import { readPlot } from '../../../src/file/hpgl/read.ts'
import { arcPoint } from '../../../src/geometry/arc.ts'
import { type Path, pieces } from '../../../src/geometry/path.ts'
import { distance, point } from '../../../src/geometry/point.ts'

/** Plotter units and degrees; `arc` is centre, radius, angle of its start and turn, and `circle` centre and radius. */
type Item =
  | readonly number[]
  | { readonly arc: readonly number[]; readonly to: readonly number[] }
  | { readonly circle: readonly number[] }
interface Vector {
  readonly id: string
  readonly text: string
  readonly out: readonly (readonly Item[])[]
  /** corners of chords for an arc, which lie in the middles and at the ends of our arcs */
  readonly corners?: readonly (readonly number[])[]
}

/** Strings and results of published listings; the results are worked out again from the manuals' words. */
const published: readonly Vector[] = [
  {
    id: 'P1',
    // HP 5961-0509, page 20-32, table 20-20
    text: 'IN;SP1;PA10,10;PD2500,10,10,1500,10,10;',
    out: [
      [
        [10, 10],
        [2500, 10],
        [10, 1500],
        [10, 10],
      ],
    ],
  },
  {
    id: 'P2',
    // HP 5961-0509, page 21-3, table 21-3
    text: 'IN;SP1;PA10,10;EA2500,1500;',
    out: [
      [
        [10, 10],
        [2500, 10],
        [2500, 1500],
        [10, 1500],
        [10, 10],
      ],
    ],
  },
  {
    id: 'P3',
    // HP LaserJet support note 1828, 1993; the first lines as in HP 5961-0509, page 20-17
    text: 'IN;SP1;PA1000,100;PR;PD1500,0;PU-1850,1050;PD350,0;PU-350,-700;PD350,0;PU0,-350;PD0,1500,1500,0;RT700,-750,0,-1500;PU700,850;PD;RT100,-100,0,-200;PU100,100;PD200,0;',
    out: [
      [
        [1000, 100],
        [2500, 100],
      ],
      [
        [650, 1150],
        [1000, 1150],
      ],
      [
        [650, 450],
        [1000, 450],
      ],
      [[1000, 100], [1000, 1600], [2500, 1600], { arc: [2448.214, 850, 751.786, 86.05, -172.1], to: [2500, 100] }],
      [[3200, 950], { arc: [3200, 850, 100, 90, -180], to: [3200, 750] }],
      [
        [3300, 850],
        [3500, 850],
      ],
    ],
  },
  {
    id: 'P4',
    // HP 5961-0509, pages 21-37 and 21-38, table 21-20, whose arc ends at 2720,2340 (2720,2500 is its centre)
    text: 'IN;SP1;PA2000,2000;PM0;PD3000,2000,3000,3000;PD2000,3000,2000,2000;PM1;PD2080,2160,2480,2160,2480,2340,2080,2340,2080,2160;PM1;PD2080,2660,2480,2660,2480,2840,2080,2840,2080,2660;PM1;PD2920,2340,2920,2660,2720,2660;AA2720,2500,180;PD2920,2340;PM2;FP;EP;',
    out: [
      [
        [2000, 2000],
        [3000, 2000],
        [3000, 3000],
        [2000, 3000],
        [2000, 2000],
      ],
      [
        [2080, 2160],
        [2480, 2160],
        [2480, 2340],
        [2080, 2340],
        [2080, 2160],
      ],
      [
        [2080, 2660],
        [2480, 2660],
        [2480, 2840],
        [2080, 2840],
        [2080, 2660],
      ],
      [[2920, 2340], [2920, 2660], [2720, 2660], { arc: [2720, 2500, 160, 90, 180], to: [2720, 2340] }, [2920, 2340]],
    ],
  },
  {
    id: 'P5',
    // HP 5961-0509, page 21-21, table 21-10
    text: 'IN;SP1;PA2000,10;PM0;PD10,2000,10,10,2000,10;PM1;PU610,610;CI500;PM2;EP;',
    out: [
      [
        [2000, 10],
        [10, 2000],
        [10, 10],
        [2000, 10],
      ],
      [{ circle: [610, 610, 500] }],
    ],
  },
  {
    id: 'P6',
    // HP 5961-0509, page 20-14, table 20-8
    text: 'IN;SP1;PA1500,1500;PD;AR0,2000,80,25;AR2000,0,80;',
    out: [
      [
        [1500, 1500],
        { arc: [1500, 3500, 2000, -90, 80], to: [3469.616, 3152.704] },
        { arc: [5469.616, 3152.704, 2000, 180, 80], to: [5122.319, 1183.088] },
      ],
    ],
  },
  {
    id: 'P7',
    // HP LaserJet support note 1880, 1993, with the misprint PU;1000,0; mended
    text: 'IN;SP1;PA2000,0;PD;AA0,0,45,25;PU1050,1060;PD;AA0,0,-45,10;PU1000,0;PD;AA0,0,45;',
    out: [
      [[2000, 0], { arc: [0, 0, 2000, 0, 45], to: [1414.214, 1414.214] }],
      [[1050, 1060], { arc: [0, 0, 1492.012, 45.272, -45], to: [1491.995, 7.071] }],
      [[1000, 0], { arc: [0, 0, 1000, 0, 45], to: [707.107, 707.107] }],
    ],
  },
  {
    id: 'P8',
    // HP LaserJet support note 1878, 1993, on a square of 6000 units; no semicolon after the first EA
    text: 'IN;IP0,0,6000,6000;SP1;SC0,150,0,150,1;PA75,105;EA115,130PA95,105;PD95,95;PD65,95,65,90;PU45,90;EA85,65;PU95,95;PD125,95,125,90;PU145,90;EA105,65;',
    out: [
      [
        [3000, 4200],
        [4600, 4200],
        [4600, 5200],
        [3000, 5200],
        [3000, 4200],
      ],
      [
        [3800, 4200],
        [3800, 3800],
        [2600, 3800],
        [2600, 3600],
      ],
      [
        [1800, 3600],
        [3400, 3600],
        [3400, 2600],
        [1800, 2600],
        [1800, 3600],
      ],
      [
        [3800, 3800],
        [5000, 3800],
        [5000, 3600],
      ],
      [
        [5800, 3600],
        [4200, 3600],
        [4200, 2600],
        [5800, 2600],
        [5800, 3600],
      ],
    ],
  },
  {
    id: 'P9',
    // HP 5961-0509, page 21-25, table 21-12, on the same square: EA and ER put the pen back
    text: 'IN;IP0,0,6000,6000;SP1;SC0,150,0,150,1;PA75,105;ER40,25;PR20,0;PD0,-10;PD-30,0,0,-5;PU-20,0;ER40,-25;PU50,5;PD30,0,0,-5;PU20,0;ER-40,-25;',
    out: [
      [
        [3000, 4200],
        [4600, 4200],
        [4600, 5200],
        [3000, 5200],
        [3000, 4200],
      ],
      [
        [3800, 4200],
        [3800, 3800],
        [2600, 3800],
        [2600, 3600],
      ],
      [
        [1800, 3600],
        [3400, 3600],
        [3400, 2600],
        [1800, 2600],
        [1800, 3600],
      ],
      [
        [3800, 3800],
        [5000, 3800],
        [5000, 3600],
      ],
      [
        [5800, 3600],
        [4200, 3600],
        [4200, 2600],
        [5800, 2600],
        [5800, 3600],
      ],
    ],
  },
  {
    id: 'P10',
    // Brother laser printer technical reference, page 4-19, sample 24
    text: 'IN;SP1;PA2000,6000;PD0,6000,2000,7500,2000,6000;PU2500,6000;PAPD4500,6000,2500,7500,2500,6000;PU10365,500;',
    out: [
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
    ],
  },
  {
    id: 'P11',
    // Brother laser printer technical reference, page 4-19, sample 25, with a pen selected
    text: 'IN;SP1;PA5000,4500,;PDPR-2000,0,2000,2000,0,-2000;PU500,0;PD2000,0,-2000,2000,0,-2000;PU;',
    out: [
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
    ],
  },
  {
    id: 'P12',
    // Brother laser printer technical reference, page 9-12, sample 69
    text: 'IN;SP1;IP2650,1325,7650,6325;SC-100,100,-100,100;PA-80,-80;PD;AR0,50,90;AR50,0,90;PU;',
    out: [
      [
        [3150, 1825],
        { arc: [3150, 3075, 1250, -90, 90], to: [4400, 3075] },
        { arc: [5650, 3075, 1250, 180, 90], to: [5650, 1825] },
      ],
    ],
  },
]

/** Worked out by hand from the rules of HP 5961-0509. */
const derived: readonly Vector[] = [
  {
    id: 'D1',
    // 100 x 50 mm closed panel, 3 mm tick at the middle of the bottom edge
    text: 'IN;SP1;PU0,0;PD4000,0,4000,2000,0,2000,0,0;PU2000,0;PD2000,120;PU;SP0;',
    out: [
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
  },
  {
    id: 'D2',
    // 10 mm square, relative
    text: 'IN;SP1;PA0,0;PD;PR400,0,0,400,-400,0,0,-400;PU;SP0;',
    out: [
      [
        [0, 0],
        [400, 0],
        [400, 400],
        [0, 400],
        [0, 0],
      ],
    ],
  },
  {
    id: 'D3',
    // lower case, space and sign as separators (reader only)
    text: 'in;sp1;pu 100 100;pd+200-100,200 +300;pu;',
    out: [
      [
        [100, 100],
        [200, -100],
        [200, 300],
      ],
    ],
  },
  {
    id: 'D4',
    // strictest style: PU/PD bare, one pair per PA
    text: 'IN;SP1;PU;PA0,0;PD;PA4000,0;PA4000,2000;PA0,2000;PA0,0;PU;SP0;',
    out: [
      [
        [0, 0],
        [4000, 0],
        [4000, 2000],
        [0, 2000],
        [0, 0],
      ],
    ],
  },
  {
    id: 'D5',
    // odd coordinate: HP-GL/2 drops it, HP-GL also sets error 2
    text: 'IN;SP1;PU0,0;PD100,100,200;',
    out: [
      [
        [0, 0],
        [100, 100],
      ],
    ],
  },
  {
    id: 'D6',
    // user units, 40 plu each
    text: 'IN;IP1000,1000,5000,5000;SC0,100,0,100;SP1;PU0,0;PD100,0,100,50,0,50,0,0;PU;',
    out: [
      [
        [1000, 1000],
        [5000, 1000],
        [5000, 3000],
        [1000, 3000],
        [1000, 1000],
      ],
    ],
  },
  {
    id: 'D7',
    // isotropic: smaller factor, centred
    text: 'IN;IP0,0,8000,4000;SC0,100,0,100,1;SP1;PU0,0;PD100,0,100,100,0,100,0,0;PU;',
    out: [
      [
        [2000, 0],
        [6000, 0],
        [6000, 4000],
        [2000, 4000],
        [2000, 0],
      ],
    ],
  },
  {
    id: 'D8',
    // IP with one point drags P2 to 5000,5000
    text: 'IN;IP0,0,4000,4000;IP1000,1000;SC0,1,0,1;SP1;PU0,0;PD1,1;PU;',
    out: [
      [
        [1000, 1000],
        [5000, 5000],
      ],
    ],
  },
  {
    id: 'D9',
    // SC; turns scaling off
    text: 'IN;IP0,0,4000,4000;SC0,10,0,10;SC;SP1;PU0,0;PD10,0;PU;',
    out: [
      [
        [0, 0],
        [10, 0],
      ],
    ],
  },
  {
    id: 'D10',
    // IN;SP1;PE<= base 64, 10 mm square
    text: String.fromCharCode(
      0x49,
      0x4e,
      0x3b,
      0x53,
      0x50,
      0x31,
      0x3b,
      0x50,
      0x45,
      0x3c,
      0x3d,
      0xbf,
      0xbf,
      0x5f,
      0xcb,
      0xbf,
      0xbf,
      0x5f,
      0xcb,
      0x60,
      0xcb,
      0xbf,
      0xbf,
      0x60,
      0xcb,
      0x3b,
    ),
    out: [
      [
        [0, 0],
        [400, 0],
        [400, 400],
        [0, 400],
        [0, 0],
      ],
    ],
  },
  {
    id: 'D11',
    // same square, base 32, printable bytes only
    text: 'IN;SP1;PE7<=__?x__?x@x__@x;',
    out: [
      [
        [0, 0],
        [400, 0],
        [400, 400],
        [0, 400],
        [0, 0],
      ],
    ],
  },
  {
    id: 'D12',
    // (one backslash each: JSON escape) 100 x 50 mm at 1000,1000, then a 3 mm tick up from the middle of the bottom edge
    text: 'IN;SP1;PE7<=O]`O]`?Yf__?\\b@Yf__@\\b<?\\b__Of;',
    out: [
      [
        [1000, 1000],
        [5000, 1000],
        [5000, 3000],
        [1000, 3000],
        [1000, 1000],
      ],
      [
        [3000, 1000],
        [3000, 1120],
      ],
    ],
  },
  {
    id: 'D13',
    // unknown mnemonic skipped; error 1 on HP-GL
    text: 'IN;SP1;PU0,0;ZZ9;PD100,0;PU;',
    out: [
      [
        [0, 0],
        [100, 0],
      ],
    ],
  },
  {
    id: 'D14',
    // label text must not be executed (label strokes not counted)
    text: 'IN;SP1;PU0,0;PD100,0;LBPD500,500;\u0003PU0,50;PD100,50;PU;',
    out: [
      [
        [0, 0],
        [100, 0],
      ],
      [
        [0, 50],
        [100, 50],
      ],
    ],
  },
  {
    id: 'D15',
    // four chords, whose corners lie on the circle
    text: 'IN;SP1;PA1000,1000;CI400,90;PU;',
    out: [[{ circle: [1000, 1000, 400] }]],
    corners: [
      [1400, 1000],
      [1000, 1400],
      [600, 1000],
      [1000, 600],
    ],
  },
  {
    id: 'D16',
    // a quarter wedge of two chords, whose middle corner lies on the arc
    text: 'IN;SP1;PA0,0;EW1000,0,90,45;PU;',
    out: [[[0, 0], [1000, 0], { arc: [0, 0, 1000, 0, 90], to: [0, 1000] }, [0, 0]]],
    corners: [[707.107, 707.107]],
  },
]

/** Nothing may be farther off than the three decimals of the figures above. */
const close = 0.001

const strokesOf = (text: string) => readPlot(text, { unitsPerMm: 1 }).strokes.map((stroke) => stroke.path)

const near = (p: { readonly x: number; readonly y: number }, [x, y]: readonly number[]) =>
  Math.abs(p.x - (x ?? Number.NaN)) <= close && Math.abs(p.y - (y ?? Number.NaN)) <= close

/** Compares a path, item by item; several arcs of ours may stand for one. Gives how many segments were looked at. */
function compare(path: Path, items: readonly Item[]): number {
  const parts = [...pieces(path)]
  const [first, ...rest] = items
  let at = 0
  if (first && 'circle' in first) {
    const [x = 0, y = 0, radius = 0] = first.circle
    expect(path.closed).toBe(true)
    at = expectTurn(parts, 0, [x, y, radius], 360)
  } else {
    expect(near(path.start, first as readonly number[])).toBe(true)
  }
  for (const item of rest) {
    if ('arc' in item) {
      const [x = 0, y = 0, radius = 0, , turn = 0] = item.arc
      at = expectTurn(parts, at, [x, y, radius], turn)
      expect(near(parts[at - 1]?.segment.to ?? point(0, 0), item.to)).toBe(true)
    } else {
      const part = parts[at++]
      expect(part?.segment.kind).toBe('line')
      expect(near(part?.segment.to ?? point(Number.NaN, 0), item as readonly number[])).toBe(true)
    }
  }
  expect(at).toBe(parts.length)
  return at
}

/** Arcs from number `at` on that turn by `degrees` about one centre; gives the number behind them. */
function expectTurn(
  parts: readonly { readonly from: Path['start']; readonly segment: Path['segments'][number] }[],
  at: number,
  [x, y, radius]: readonly [number, number, number],
  degrees: number,
): number {
  let turned = 0
  let i = at
  for (; Math.abs(turned) < Math.abs(degrees) - close && i < parts.length; i++) {
    const part = parts[i]
    if (part?.segment.kind !== 'arc') throw new Error(`segment ${i} is no arc`)
    for (const t of [0, 0.25, 0.5, 0.75, 1]) {
      const off = distance(arcPoint(part.from, part.segment, t), point(x, y)) - radius
      expect(Math.abs(off)).toBeLessThan(2 * close)
    }
    turned += (part.segment.sweep * 180) / Math.PI
  }
  // The angles above have two decimals at least.
  expect(Math.abs(turned - degrees)).toBeLessThan(0.06)
  return i
}

describe.each([
  ['published', published, 12],
  ['derived', derived, 16],
] as const)('%s HP-GL', (_, vectors, count) => {
  test.each(vectors.map((v) => [v.id, v] as const))(
    '%s is drawn as it should be',
    (_id, { text, out, corners = [] }) => {
      const paths = strokesOf(text)
      expect(paths.length).toBe(out.length)
      const looked = paths.map((path, i) => compare(path, out[i] ?? []))
      expect(looked.reduce((sum, n) => sum + n, 0)).toBeGreaterThan(0)
      const middles = paths
        .flatMap((path) => [...pieces(path)])
        .flatMap(({ from, segment }) => {
          return segment.kind === 'arc' ? [from, arcPoint(from, segment, 0.5)] : []
        })
      for (const corner of corners) expect(middles.some((p) => near(p, corner))).toBe(true)
    },
  )

  test('is all there', () => {
    expect(vectors.length).toBe(count)
  })
})

test('D17: without SP an HP-GL/2 device marks nothing, and most others draw', () => {
  const text = 'IN;PU0,0;PD100,0;PU;'
  expect(readPlot(text, { withoutPen: 'nothing' }).strokes).toEqual([])
  expect(
    strokesOf(text).map((path) =>
      compare(path, [
        [0, 0],
        [100, 0],
      ]),
    ),
  ).toEqual([1])
})

test('every fault of the vectors is told, and no other', () => {
  const found = [...published, ...derived].map(
    ({ id, text }) => [id, readPlot(text).faults.map((f) => f.error)] as const,
  )
  // An odd coordinate and an unknown command: HP 07470-90001, chapters 3 and 7.
  expect(found.filter(([, errors]) => errors.length > 0)).toEqual([
    ['D5', [2]],
    ['D13', [1]],
  ])
})

test('no vector stops the reading', () => {
  expect([...published, ...derived].flatMap(({ text }) => readPlot(text).stopped ?? [])).toEqual([])
})
