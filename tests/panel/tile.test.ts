import { describe, expect, test } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import type { Point } from '../../src/geometry/point.ts'
import type { PanelOptions } from '../../src/panel/make-panel.ts'
import type { Panel } from '../../src/panel/panel.ts'
import { tiled } from '../../src/panel/tile.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { taperedBand } from '../../templates/tapered-band/template.ts'
import { panelOf, plainOptions, say, square, thin } from '../templates/measures.ts'

/** A bare flat panel about 0,0. */
function panel(
  width: number,
  height: number,
  own: Partial<PanelOptions> = {},
  openings: readonly object[] = [],
): Panel {
  const values = { width, height, radius: square, openings, points: [] } as Parameters<typeof flatPanel.develop>[0]
  return panelOf(flatPanel.develop(values, thin, say), { ...plainOptions, allowances: { other: 0 }, ...own })
}
const narrower = (most: number) => (part: Panel) => {
  const { low, high } = boundsOf([part.outline])
  return high.x - low.x <= most + 1e-6
}
const partsOf = (whole: Panel, overlap: number, fits: (part: Panel) => boolean) =>
  tiled(whole, overlap, fits, say) ?? expect.fail('no parts')

const round = (mm: number) => Math.round(mm * 1e6) / 1e6 + 0
const place = ({ x, y }: Point) => [round(x), round(y)]
const span = ({ outline, bare }: Panel, axis: 'x' | 'y') =>
  [outline, bare].map((path) => {
    const { low, high } = boundsOf([path])
    return [round(low[axis]), round(high[axis])]
  })
const lines = (stretches: readonly { from: Point; to: Point }[]) =>
  stretches.map(({ from, to }) => [place(from), place(to)])
const ticks = ({ ticks: all }: Panel, role: string) =>
  all.filter((tick) => tick.role === role).map(({ mark, at }) => [mark, ...place(at)])
const codes = ({ labels }: Panel) =>
  labels.filter(({ text }) => /^T\d+$/.test(text)).map(({ text, at, height }) => [text, ...place(at), height])

describe('800 x 200 mm hung level, in two parts with a lap of 10 mm', () => {
  // Halves meet at 0, so that the seam stands half a lap before it: at -5, and the first part runs on to 5.
  const halves = () => partsOf(panel(800, 200, { hinge: 'level' }), 10, narrower(450)) as [Panel, Panel]

  test('each is cut where it should be', () => {
    const [first, second, ...more] = halves()
    expect(more).toEqual([])
    expect([first.name, second.name]).toEqual(['tin part 1', 'tin part 2'])
    expect(span(first, 'x')).toEqual([
      [-400, 5],
      [-400, -5],
    ])
    expect(span(second, 'x')).toEqual([
      [-5, 400],
      [-5, 400],
    ])
    for (const part of [first, second]) {
      expect(span(part, 'y')).toEqual([
        [-100, 100],
        [-100, 100],
      ])
      expect(part.edges.map(({ name, allowance, lapped }) => [name, allowance, lapped])).toEqual(
        [1, 2, 3, 4].map((i) => [`edge ${i}`, 0, false]),
      )
    }
  })

  test('each keeps its stretch of the hinge, with ticks at both ends and a slit 5 mm past them', () => {
    const [first, second] = halves()
    expect(lines([first.hinge, second.hinge])).toEqual([
      [
        [-400, 0],
        [5, 0],
      ],
      [
        [-5, 0],
        [400, 0],
      ],
    ])
    expect(lines([...first.slits, ...second.slits])).toEqual([
      [
        [-405, 0],
        [10, 0],
      ],
      [
        [-10, 0],
        [405, 0],
      ],
    ])
    expect(ticks(first, 'hinge')).toEqual([
      ['hinge bottom', -400, 0],
      ['hinge top', 5, 0],
    ])
    expect(ticks(second, 'hinge')).toEqual([
      ['hinge bottom', -5, 0],
      ['hinge top', 400, 0],
    ])
  })

  test('a tick stands where the other part ends, and the code 6 mm beside the lap', () => {
    const [first, second] = halves()
    expect(ticks(first, 'seam')).toEqual([
      ['seam T1 bottom', -5, -100],
      ['seam T1 top', -5, 100],
    ])
    expect(ticks(second, 'seam')).toEqual([
      ['seam T1 bottom', 5, -100],
      ['seam T1 top', 5, 100],
    ])
    expect(codes(first)).toEqual([['T1', -11, 0, 3]])
    expect(codes(second)).toEqual([['T1', 11, 0, 3]])
    expect(first.ticks.every(({ make }) => make === 'pen')).toBe(true)
  })

  test('marks and notes say where it comes and what goes over what', () => {
    const [first, second] = halves()
    for (const { marks } of [first, second]) {
      expect(marks.map(({ code }) => code)).toEqual(['hinge left', 'hinge right', 'seam T1'])
      expect(marks.at(-1)?.text).toBe("Seam T1: mark the object 395 mm from where the panel's left end comes.")
    }
    const head = (i: number) => `Part ${i} of 2 of a panel that is bigger than the film.`
    expect(first.notes.at(-1)).toBe(`${head(1)} Part 2 goes over it at seam T1 by 10 mm.`)
    expect(second.notes.at(-1)).toBe(`${head(2)} It goes over part 1 at seam T1 by 10 mm.`)
  })

  test('each carries its own name', () => {
    const [first, second] = halves()
    const names = [first, second].map(({ labels }) =>
      labels.map(({ text }) => text).filter((text) => text.includes('UP')),
    )
    expect(names).toEqual([['tin part 1 ↑ UP'], ['tin part 2 ↑ UP']])
  })
})

test('edge to edge there are no ticks at the seam, and the words say so', () => {
  const [first, second] = partsOf(panel(800, 200, { hinge: 'level' }), 0, narrower(450)) as [Panel, Panel]
  expect([span(first, 'x'), span(second, 'x')]).toEqual([
    [
      [-400, 0],
      [-400, 0],
    ],
    [
      [0, 400],
      [0, 400],
    ],
  ])
  expect([ticks(first, 'seam'), ticks(second, 'seam')]).toEqual([[], []])
  expect([codes(first), codes(second)]).toEqual([[['T1', -6, 0, 3]], [['T1', 6, 0, 3]]])
  expect(first.notes.at(-1)).toMatch(/Part 2 goes over it at seam T1, edge to edge\.$/)
})

test('a tall panel hung upright is parted level: 200 x 800 mm, the lower part first', () => {
  const fits = (part: Panel) => boundsOf([part.outline]).high.y - boundsOf([part.outline]).low.y < 450
  const [low, high, ...more] = partsOf(panel(200, 800), 10, fits) as [Panel, Panel]
  expect(more).toEqual([])
  expect([span(low, 'y'), span(high, 'y')]).toEqual([
    [
      [-400, 5],
      [-400, -5],
    ],
    [
      [-5, 400],
      [-5, 400],
    ],
  ])
  expect(lines([low.hinge, high.hinge])).toEqual([
    [
      [0, -400],
      [0, 5],
    ],
    [
      [0, -5],
      [0, 400],
    ],
  ])
  // The letters' feet half their height below the line.
  expect([codes(low), codes(high)]).toEqual([[['T1', 0, -12.5, 3]], [['T1', 0, 9.5, 3]]])
  expect(ticks(low, 'seam').map(([, x, y]) => [Math.abs(Number(x)), y])).toEqual([
    [100, -5],
    [100, -5],
  ])
  expect(low.marks.at(-1)?.text).toBe("Seam T1: mark the object 395 mm from where the panel's lower end comes.")
})

test('of three upright parts the middle one hangs from the hinge, and the others from a parallel in their middle', () => {
  // 900 mm: seams at -155 and 145.
  const parts = partsOf(panel(900, 200), 10, narrower(320))
  expect(parts.map((part) => span(part, 'x')[0])).toEqual([
    [-450, -145],
    [-155, 155],
    [145, 450],
  ])
  expect(parts.map(({ hinge }) => hinge.from.x).map(round)).toEqual([-297.5, 0, 297.5])
  for (const part of parts) {
    const { x } = part.hinge.from
    expect(lines([part.hinge])).toEqual([
      [
        [round(x), -100],
        [round(x), 100],
      ],
    ])
    expect(ticks(part, 'hinge').map(([, at, y]) => [at, y])).toEqual([
      [round(x), -100],
      [round(x), 100],
    ])
  }
  expect(parts.map(({ marks }) => marks.map(({ code }) => code))).toEqual([
    ['seam T1'],
    ['hinge bottom', 'hinge top', 'seam T1', 'seam T2'],
    ['seam T2'],
  ])
  expect(parts[1]?.notes.at(-1)).toBe(
    'Part 2 of 3 of a panel that is bigger than the film. It goes over part 1 at seam T1 by 10 mm. Part 3 goes over it at seam T2 by 10 mm.',
  )
})

test('a seam keeps 4 mm from an opening, on the side that is nearer', () => {
  // 40 mm round about -140: with lap and room nothing may begin between -174 and -116; the even place is -155.
  const opening = { shape: 'round', diameter: 40, fromLeft: 290, fromBottom: 80 }
  const parts = partsOf(panel(900, 200, {}, [opening]), 10, narrower(340))
  expect(parts.map((part) => span(part, 'x')[0])).toEqual([
    [-450, -164],
    [-174, 155],
    [145, 450],
  ])
  expect(parts.map(({ holes }) => holes.length)).toEqual([0, 1, 0])
})

test('a seam keeps off an upright hinge, its slits and its ticks', () => {
  // A strip of 30 mm about 0: nothing may begin between -29 and 19. Even would be -5; both ends are as far, 24 mm.
  const [first, second] = partsOf(panel(800, 200, { slit: { lines: 'strip', strip: 30 } }), 10, narrower(450))
  expect([-29, 19]).toContain(span(second as Panel, 'x')[0]?.[0])
  for (const part of [first, second] as Panel[]) {
    const [a, b] = part.slits
    expect(part.slits).toHaveLength(2)
    expect(Math.abs((a?.from.x ?? 0) - (b?.from.x ?? 0))).toBeCloseTo(30, 9)
  }
})

test('it is parted the other way where that helps, and not at all where nothing does', () => {
  const low = (part: Panel) => boundsOf([part.outline]).high.y - boundsOf([part.outline]).low.y < 300
  expect(partsOf(panel(520, 500), 10, low).map((part) => span(part, 'y')[0])).toEqual([
    [-250, 5],
    [-5, 250],
  ])
  expect(tiled(panel(100, 60), 10, () => false, say)).toBe(undefined)
})

test('the mark of a seam on a cone is told along both edges as the tape reads, not across the flat panel', () => {
  // 60 of radius over a side of 100: the film's middle leans with the cosine 0.8, and unrolls about 0 with the sine 0.6.
  const [low, high, tape, film] = [300, 360, 0.25, 0.04]
  const girths = { bottomGirth: 2 * Math.PI * (low + tape), topGirth: 2 * Math.PI * (high + tape), slant: 100 }
  const values = {
    ...girths,
    bottomGap: Math.PI * (low + tape),
    topGap: Math.PI * (high + tape),
    openings: [],
    points: [],
  }
  const develop = taperedBand.develop as (
    v: object,
    facts: object,
    words: typeof say,
  ) => ReturnType<typeof taperedBand.develop>
  const whole = panelOf(develop(values, { filmThickness: 2 * film, tapeThickness: 2 * tape }, say))
  const parts = partsOf(whole, 10, narrower(600))
  const text = parts[0]?.marks.at(-1)?.text ?? ''
  const found = /mark the object ([\d.]+) mm along the bottom edge and ([\d.]+) mm along the top edge/.exec(text)
  // The seam stands 10 mm in from the cut end of the first part; both edges are arcs about the apex of the pattern.
  const x = (parts[0] ? boundsOf([parts[0].outline]).high.x : Number.NaN) - 10
  const reads = (radius: number) => {
    const sweep = Math.asin((x * 0.6) / (radius + 0.8 * film)) / 0.6
    return (Math.PI / 2 + sweep) * (radius + tape)
  }
  expect(Number(found?.[1])).toBeCloseTo(reads(low), 6)
  expect(Number(found?.[2])).toBeCloseTo(reads(high), 6)
})
