import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { pathLength } from '../../src/geometry/length.ts'
import type { BareEdge, Development } from '../../src/panel/development.ts'
import type { HingeChoice } from '../../src/panel/hinge.ts'
import { filmAt, tapeAt, tapedBy } from '../../src/panel/taped.ts'
import type { Facts } from '../../src/panel/template.ts'
import { boxSleeve } from '../../templates/box-sleeve/template.ts'
import { dome } from '../../templates/dome/template.ts'
import { elbow } from '../../templates/elbow/template.ts'
import { prismSleeve } from '../../templates/prism-sleeve/template.ts'
import { squareToRound } from '../../templates/square-to-round/template.ts'
import { straightBand } from '../../templates/straight-band/template.ts'
import { taperedBand } from '../../templates/tapered-band/template.ts'
import { turnedBody } from '../../templates/turned-body/template.ts'
import { mm, panelsOf, plainOptions, refusalsOf, say, unopened } from '../templates/measures.ts'

const degree = Math.PI / 180
const rims = {
  topSlant: undefined,
  topRise: undefined,
  topHigh: undefined,
  bottomSlant: undefined,
  bottomDrop: undefined,
  bottomLow: undefined,
}

/** Where the hinge stands on the film, mm along both edges from their left ends, and what its marks say. */
function hung(development: Development | undefined, hinge: HingeChoice) {
  if (!development) return expect.fail('no panel')
  const allowances = { other: 0 }
  const [panel] = panelsOf([development], { ...plainOptions, allowances, hinge })
  const ticks = panel?.ticks.filter(({ role }) => role === 'hinge') ?? []
  const film = (name: string) => {
    const tick = ticks.find(({ edge }) => edge === name) ?? expect.fail(`no tick on the ${name} edge`)
    const edge = panel?.edges.find((own) => own.name === name) ?? expect.fail(`no ${name} edge`)
    const whole = pathLength(edge.bare)
    return name === 'top' ? whole - tick.length : tick.length
  }
  const said = (end: string) => {
    const text = panel?.marks.find(({ code }) => code === `hinge ${end}`)?.text ?? ''
    return Number(/hinge ([\d.]+) mm along/.exec(text)?.[1])
  }
  return { film: { bottom: film('bottom'), top: film('top') }, said: { bottom: said('bottom'), top: said('top') } }
}

/** No thickness, a steel tape, and film of 0.08 mm or a sheet of 2 mm, in all ways. */
const allFacts: Facts[] = [0, 0.5].flatMap((tapeThickness) =>
  [0, 0.08, 2].map((filmThickness) => ({ tapeThickness, filmThickness })),
)

describe.each(allFacts)('a hinge at a length, film $filmThickness mm and tape $tapeThickness mm', (facts) => {
  const [film, tape] = [facts.filmThickness / 2, facts.tapeThickness / 2]

  test('round a cylinder stands where the tape read it, whole or beside a gap', () => {
    const r = 85
    const round = { girth: 2 * Math.PI * (r + tape), diameter: undefined, span: undefined, height: 95 }
    for (const gap of [undefined, 40]) {
      const values = { ...round, gap, overlap: gap === undefined ? 0 : undefined, ...rims, ...unopened }
      const { film: at, said } = hung(straightBand.develop(values, facts, say)[0], 300)
      // The tick by its angle from the left edge, and the tape's way over that angle.
      expect((at.bottom / (r + film)) * (r + tape)).toBeCloseTo(300, 9)
      expect((at.top / (r + film)) * (r + tape)).toBeCloseTo(said.top, 9)
      expect([said.bottom, said.top]).toEqual([300, expect.closeTo(300, 9)])
    }
  })

  test('round a cylinder with slanted rims is read along the rims', () => {
    const r = 85
    const values = {
      diameter: 2 * r,
      girth: undefined,
      span: undefined,
      height: 95,
      gap: undefined,
      overlap: 0,
    }
    const cut = { ...rims, bottomSlant: 20 * degree, topSlant: 30 * degree }
    const { film: at, said } = hung(straightBand.develop({ ...values, ...cut, ...unopened }, facts, say)[0], 200)
    // A rim is the same curve on both, as large as the radius.
    expect((at.bottom * (r + tape)) / (r + film)).toBeCloseTo(200, 9)
    expect((at.top * (r + tape)) / (r + film)).toBeCloseTo(said.top, 9)
  })

  test('round a steep cone is told at the top by the same ray', () => {
    // 60 of radius over a side of 100: the cosine of the lean is 0.8.
    const [low, high] = [100, 160]
    const girths = { bottomGirth: 2 * Math.PI * (low + tape), topGirth: 2 * Math.PI * (high + tape), slant: 100 }
    const none = { bottomDiameter: undefined, topDiameter: undefined, height: undefined, gap: undefined }
    const values = { ...girths, ...none, bottomGap: undefined, topGap: undefined, overlap: 0, ...rims, ...unopened }
    const { film: at, said } = hung(taperedBand.develop(values, facts, say)[0], 163)
    const angle = 163 / (low + tape)
    expect(at.bottom / (low + 0.8 * film)).toBeCloseTo(angle, 9)
    expect(at.top / (high + 0.8 * film)).toBeCloseTo(angle, 9)
    expect(said.top).toBeCloseTo(angle * (high + tape), 9)
  })

  test('round a box is carried over corners, rounded or sharp', () => {
    for (const radius of [0, 25]) {
      const values = { length: 300, width: 200, height: 140, radius, girth: undefined, cover: 'all round' as const }
      const rest = { seam: 'back left', overlap: 0, middles: 'no', lid: 'no', base: 'no', ...unopened } as const
      // From the middle of the back left corner to the right: half a corner, the left side, a corner, the front.
      const corner = (own: number) => (Math.PI / 2) * (radius + own)
      const [side, front] = [200 - 2 * radius, 300 - 2 * radius]
      const place = (own: number, on: number) => corner(own) / 2 + side + corner(own) + on
      const { film: at, said } = hung(boxSleeve.develop({ ...values, ...rest }, facts, say)[0], place(tape, 40))
      expect(at.bottom).toBeCloseTo(place(film, 40), 9)
      expect(at.top).toBeCloseTo(place(film, 40), 9)
      expect(said.top).toBeCloseTo(place(tape, 40), 9)
      expect(front).toBeGreaterThan(40)
    }
  })

  test('round a prism is carried over corners', () => {
    const values = { sides: 6, side: 80, acrossFlats: undefined, height: 90, radius: 5, girth: undefined, covered: 3 }
    const rest = { seam: 'corner', overlap: undefined, middles: 'no', ...unopened } as const
    const flat = 80 - 10 * Math.tan(Math.PI / 6)
    const place = (own: number) => ((5 + own) * Math.PI) / 6 + flat + ((5 + own) * Math.PI) / 3 + 30
    const { film: at, said } = hung(prismSleeve.develop({ ...values, ...rest }, facts, say)[0], place(tape))
    expect(at.bottom).toBeCloseTo(place(film), 9)
    expect(said.top).toBeCloseTo(place(tape), 9)
  })

  test('round the piece of an elbow is told along its mitre', () => {
    const r = 60
    const measures = {
      girth: undefined,
      diameter: 2 * r,
      angle: 90 * degree,
      pieces: 3,
      radius: 150,
      throat: undefined,
    }
    const rest = { firstEnd: 20, lastEnd: 20, seams: 'alternate', overlap: 0, mitreLap: 0 } as const
    const { film: at, said } = hung(elbow.develop({ ...measures, ...rest }, facts, say)[0], 120)
    expect((at.bottom / (r + film)) * (r + tape)).toBeCloseTo(120, 9)
    expect((at.top / (r + film)) * (r + tape)).toBeCloseTo(said.top, 9)
  })

  test('round a hood is told along its flat faces below and round its rim above', () => {
    const measures = { length: 120, width: 90, height: 70, right: 0, back: 0, slant: undefined, divisions: 36 }
    const rest = { panels: 'one', seam: 'back', overlap: 0 } as const
    const rim = { diameter: undefined, girth: 2 * Math.PI * (30 + tape) }
    // Half the back, a corner, the left... to the right: half the back, a corner, a side, a corner, 25 mm of the front.
    const below = 60 + (Math.PI / 2) * tape + 90 + (Math.PI / 2) * tape + 25
    const [hood] = squareToRound.develop({ ...measures, ...rest, ...rim }, facts, say)
    const { film: at, said } = hung(hood, below)
    const bottom = hood?.edges.find(({ name }) => name === 'bottom') ?? expect.fail('no bottom edge')
    // The front is 120 wide, and 25 of that to the left of the hinge: 35 to the middle of the whole edge.
    expect(pathLength(bottom.path) / 2 - at.bottom).toBeCloseTo(35, 6)
    const top = hood?.edges.find(({ name }) => name === 'top') ?? expect.fail('no top edge')
    // The same share of the upper edge as of the lower, within a chord's evenness of the rim.
    const share = at.bottom / pathLength(bottom.path)
    expect(at.top / pathLength(top.path)).toBeCloseTo(share, 9)
    expect(said.top / (2 * Math.PI * (30 + tape))).toBeCloseTo(share, 2)
  })

  test('over a gore is told by the tape round the ball', () => {
    const measures = { girth: undefined, radius: 100, rim: undefined, height: undefined, part: 'half', cap: undefined }
    const rest = { cover: 'equal-arc', gores: 6, zones: 4, seams: 'half round', overlap: 4, tip: 4 } as const
    const values = { ...measures, ...rest, from: 0, to: 60 * degree } as Parameters<typeof dome.develop>[0]
    const { film: at, said } = hung(dome.develop(values, facts, say)[0], 40)
    const angle = 40 / (100 + tape)
    expect(at.bottom / (100 + film)).toBeCloseTo(angle, 9)
    expect(said.top).toBeCloseTo(angle * (50 + tape), 9)
  })

  test('over a turned body of one cone is told as round that cone', () => {
    const stations = [
      { girth: 2 * Math.PI * (100 + tape), along: 0, height: undefined },
      { girth: 2 * Math.PI * (160 + tape), along: 100, height: undefined },
    ]
    const rest = { cover: 'bands', sides: 'straight', seams: 'half round', gores: 8, overlap: 0, tip: 4 } as const
    const { film: at, said } = hung(
      turnedBody.develop({ stations, ...rest } as unknown as Parameters<typeof turnedBody.develop>[0], facts, say)[0],
      163,
    )
    const angle = 163 / (100 + tape)
    expect(at.bottom / (100 + 0.8 * film)).toBeCloseTo(angle, 9)
    expect(said.top).toBeCloseTo(angle * (160 + tape), 9)
  })
})

test('with a steel tape of 0.5 mm on a pail, film would else be 1.18 mm off at 410 mm of 534', () => {
  // By hand: 534 read, film of 0.08 mm is 534 - 0.42 pi = 532.680531 long, so 410 of tape are 408.987 of film.
  const facts = { filmThickness: 0.08, tapeThickness: 0.5 }
  const tin = { girth: 534, diameter: undefined, span: undefined, height: 95, gap: undefined, overlap: 0 }
  const [panel] = straightBand.develop({ ...tin, ...rims, ...unopened }, facts, say)
  expect(hung(panel, 410).film.bottom).toBeCloseTo(408.986925, 5)
  // The end of the tape's way, not of the film's, is what is refused.
  expect(refusalsOf([panel ?? expect.fail('no panel')], { ...plainOptions, hinge: 533.5 })).toEqual([])
  expect(refusalsOf([panel ?? expect.fail('no panel')], { ...plainOptions, hinge: 534.5 })).toMatchObject([
    { code: 'off_the_edge', limit: expect.stringMatching(/bottom edge is 534(\.0+\d+)? mm long/) },
  ])
  const quarters = panelsOf([panel ?? expect.fail('no panel')], { ...plainOptions, ticksAt: ['quarters'] })[0]
  const told = quarters?.marks.filter(({ code }) => code.startsWith('quarter')).map(({ text }) => text) ?? []
  expect(told.map((text) => Number(/tick ([\d.]+) mm/.exec(text)?.[1]))).toEqual(
    [133.5, 133.5, 400.5, 400.5].map((wanted) => expect.closeTo(wanted, 9)),
  )
})

test('film to tape and back is the same place, past the ends mm for mm', () => {
  const pieces = fc.array(fc.record({ film: mm(1, 80), tape: mm(1, 80) }), { minLength: 1, maxLength: 6 })
  fc.assert(
    fc.property(pieces, mm(-0.2, 1.2), (list, share) => {
      const edge: Pick<BareEdge, 'taped'> = tapedBy(list)
      const [film, tape] = [list.reduce((a, b) => a + b.film, 0), list.reduce((a, b) => a + b.tape, 0)]
      expect(filmAt(edge, tapeAt(edge, share * film))).toBeCloseTo(share * film, 9)
      expect(tapeAt(edge, film + 7)).toBeCloseTo(tape + 7, 9)
      expect(tapeAt(edge, -3)).toBe(-3)
    }),
  )
  expect(tapedBy([{ film: 3, tape: 3 }])).toEqual({})
  expect(tapeAt({}, 12)).toBe(12)
})
