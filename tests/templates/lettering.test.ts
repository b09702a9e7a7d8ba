import { readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import fc from 'fast-check'
import * as fontkit from 'fontkit'
import { describe, expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf, boxHeight, boxWidth } from '../../src/geometry/bounds.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { liesWithin, pointInside } from '../../src/geometry/inside.ts'
import { circle, type Path, polyline, rectangle, reversed } from '../../src/geometry/path.ts'
import { distance, point } from '../../src/geometry/point.ts'
import { difference, offsetRings, ringsArea, ringsOf } from '../../src/geometry/polygon.ts'
import { formatProblem, Refusal } from '../../src/measure/problem.ts'
import { makePanel } from '../../src/panel/make-panel.ts'
import { faceOf } from '../../templates/lettering/font.ts'
import { lettering } from '../../templates/lettering/template.ts'
import { thinnest } from '../../templates/lettering/thinnest.ts'
import { any, sampleFont, sampleFonts } from './any/lettering.ts'
import { box, madeFont } from './made-font.ts'
import { mm, panelOf, panelsOf, plainOptions, say } from './measures.ts'

type Values = Parameters<typeof lettering.develop>[0]

const plain = {
  text: 'TOOL LIBRARY',
  font: sampleFont,
  capHeight: 40,
  spacing: 0,
  on: 'line',
  radius: undefined as number | undefined,
  side: 'outside',
  border: 12,
  borderRadius: 3,
  backing: 'none',
  backingMargin: 20,
  backingShape: 'rectangle',
  backingRadius: 8,
  archRise: undefined as number | undefined,
}
const withFonts = (files: ReadonlyMap<string, Uint8Array>) => ({ filmThickness: 0.08, tapeThickness: 0, files })
const facts = withFonts(sampleFonts)
const developed = (values: Partial<typeof plain> = {}, own = facts) =>
  lettering.develop({ ...plain, ...values } as Values, own, say)
const one = (values: Partial<typeof plain> = {}, own = facts) => {
  const [panel, ...others] = developed(values, own)
  expect(others).toEqual([])
  return panel ?? expect.fail('no panel')
}
const inner = (values: Partial<typeof plain> = {}, own = facts) => one(values, own).inner ?? []
const checked = (values: Partial<typeof plain>) => lettering.check({ ...plain, ...values } as Values)
const area = (paths: readonly Path[]) => paths.reduce((sum, path) => sum + signedArea(path), 0)

function refused(values: Partial<typeof plain>, own = facts) {
  try {
    developed(values, own)
  } catch (error) {
    if (error instanceof Refusal) return error.problems
    throw error
  }
  return []
}

/** The same font as a library of its own reads it. */
const bytes = readFileSync(resolve(import.meta.dirname, '../../samples', sampleFont))
const other = fontkit.create(bytes) as fontkit.Font
const em = 1000
const shared = other.characterSet.filter((code) => code > 31 && code < 0xffff).map((code) => String.fromCodePoint(code))
const otherGlyph = (c: string) => other.glyphForCodePoint(c.codePointAt(0) ?? 0)

/** Area by Green's theorem: the integral of x dy over each curve, by Gauss's rule of three points, exact to degree 5. */
function greenArea({ commands }: fontkit.Glyph['path']): number {
  const gauss = [
    [0.5 - Math.sqrt(0.15), 5 / 18],
    [0.5, 8 / 18],
    [0.5 + Math.sqrt(0.15), 5 / 18],
  ] as const
  let sum = 0
  let start: readonly [number, number] = [0, 0]
  let at = start
  const curve = (points: readonly (readonly [number, number])[]) => {
    const bernstein = (own: readonly number[], t: number): number =>
      own.length === 1
        ? (own[0] ?? 0)
        : bernstein(
            own.slice(1).map((v, i) => (own[i] ?? 0) * (1 - t) + v * t),
            t,
          )
    const ys = points.map(([, y]) => y)
    const steps = ys.slice(1).map((y, i) => (y - (ys[i] ?? 0)) * (ys.length - 1))
    for (const [t, weight] of gauss) {
      sum +=
        weight *
        bernstein(
          points.map(([x]) => x),
          t,
        ) *
        bernstein(steps, t)
    }
    at = points.at(-1) ?? at
  }
  for (const { command, args } of commands) {
    const ends = args.flatMap((x, i) => (i % 2 === 0 ? [[x, args[i + 1] ?? 0] as const] : []))
    if (command === 'moveTo') {
      start = ends[0] ?? start
      at = start
    } else if (command === 'closePath') curve([at, start])
    else curve([at, ...ends])
  }
  return sum
}

/** Smallest box round lines and quadratic curves: each curve turns back at t = (a - b) / (a - 2 b + c). */
function quadraticBox({ commands }: fontkit.Glyph['path']): [number, number, number, number] {
  const found: [number[], number[]] = [[], []]
  let at: readonly number[] = []
  for (const { command, args } of commands) {
    if (command === 'closePath') continue
    const to = args.slice(-2)
    for (const k of [0, 1] as const) {
      found[k].push(to[k] ?? 0)
      if (command !== 'quadraticCurveTo') continue
      const [a, b, c] = [at[k] ?? 0, args[k] ?? 0, to[k] ?? 0]
      const t = (a - b) / (a - 2 * b + c)
      if (t > 0 && t < 1) found[k].push(a * (1 - t) ** 2 + 2 * b * t * (1 - t) + c * t * t)
    }
    at = to
  }
  return [Math.min(...found[0]), Math.min(...found[1]), Math.max(...found[0]), Math.max(...found[1])]
}

describe('the sample font, against another font library', () => {
  const face = faceOf(sampleFont, facts)

  test('has every character with the same advance, box and area', () => {
    expect(shared.length).toBeGreaterThan(200)
    for (const c of shared) {
      const glyph = face.glyph(c) ?? expect.fail(`no ${c}`)
      const same = otherGlyph(c)
      expect(Math.abs(glyph.advance - same.advanceWidth), c).toBeLessThan(1e-6 * em)
      expect(Math.abs(area(glyph.contours) - greenArea(same.path)), c).toBeLessThan(1e-6 * em * em)
      if (glyph.contours.length === 0) {
        expect(same.path.commands, c).toEqual([])
        continue
      }
      const { low, high } = boundsOf(glyph.contours)
      const [minX, minY, maxX, maxY] = quadraticBox(same.path)
      for (const [own, wanted] of [
        [low.x, minX],
        [low.y, minY],
        [high.x, maxX],
        [high.y, maxY],
      ] as const) {
        expect(Math.abs(own - wanted), c).toBeLessThan(1e-6 * em)
      }
    }
  })

  test('has the same kerning for every pair of letters that people put on signs', () => {
    const own = [...'ABDFKLOPRTVWXYacefkoprtvwy0147.,-']
    let kerned = 0
    for (const first of own) {
      for (const second of own) {
        const [at] = other.layout(`${first}${second}`, { liga: false }).positions
        const wanted = (at?.xAdvance ?? Number.NaN) - otherGlyph(first).advanceWidth
        expect(face.kerning(first, second), first + second).toBeCloseTo(wanted, 6)
        if (wanted !== 0) kerned++
      }
    }
    expect(kerned).toBeGreaterThan(100)
  })

  test('keeps lines as lines and makes each quadratic curve the cubic that is the same curve', () => {
    for (const c of 'aOgß&8') {
      const count = (kind: string) =>
        (face.glyph(c)?.contours ?? []).flatMap((path) => path.segments).filter((s) => s.kind === kind).length
      let at: readonly number[] = []
      let [curves, lines] = [0, 0]
      let start = at
      for (const { command, args } of otherGlyph(c).path.commands) {
        const to = command === 'closePath' ? start : args.slice(-2)
        const stays = to[0] === at[0] && to[1] === at[1]
        if (command === 'moveTo') start = to
        else if (command === 'quadraticCurveTo') curves++
        else if (!stays) lines++
        at = to
      }
      expect([count('cubic'), count('line')], c).toEqual([curves, lines])
    }
  })
})

describe('letters on a line', () => {
  test('have capitals exactly as high as asked', () => {
    for (const capHeight of [3, 40, 333.3]) {
      const { low, high } = boundsOf(inner({ text: 'H', capHeight }))
      expect(Math.abs(high.y - low.y - capHeight)).toBeLessThan(1e-6)
      expect(Math.abs(low.y)).toBeLessThan(1e-6)
    }
  })

  test('of a font without H are as high as it says its capitals are', () => {
    // Its OS/2 table says 640.
    const own = withFonts(new Map([['made.otf', madeFont({ I: [box(0, 0, 100, 640)], g: [box(0, -200, 100, 500)] })]]))
    expect(boundsOf(inner({ text: 'I', font: 'made.otf', capHeight: 64 }, own)).high.y).toBeCloseTo(64, 9)
    expect(boundsOf(inner({ text: 'g', font: 'made.otf', capHeight: 64 }, own)).low.y).toBeCloseTo(-20, 9)
  })

  test('stand in a border that is as wide as kerning, advances and boxes of the other library add up to', () => {
    const scale = 40 / otherGlyph('H').bbox.maxY
    const { positions, glyphs } = other.layout('TOOL LIBRARY', { liga: false })
    const last = glyphs.length - 1
    const before = positions.slice(0, last).reduce((sum, p) => sum + p.xAdvance, 0)
    const width = scale * (before + (glyphs[last]?.bbox.maxX ?? 0) - (glyphs[0]?.bbox.minX ?? 0))
    const low = scale * Math.min(...glyphs.map((g) => (g.path.commands.length > 0 ? g.bbox.minY : 0)))
    const high = scale * Math.max(...glyphs.map((g) => (g.path.commands.length > 0 ? g.bbox.maxY : 0)))
    const bare = boundsOf([panelOf(developed()).bare])
    expect(boxWidth(bare)).toBeCloseTo(width + 24, 6)
    expect(bare.low.x).toBeCloseTo(-width / 2 - 12, 6)
    expect(bare.low.y).toBeCloseTo(low - 12, 6)
    expect(bare.high.y).toBeCloseTo(high + 12, 6)
    // What the catalogue says of the example.
    expect(lettering.example.shows).toContain(`${boxWidth(bare).toFixed(1)} x ${boxHeight(bare).toFixed(0)} mm`)
    expect(lettering.example.shows).toContain(`${(12 - low).toFixed(1)} mm above its lower edge`)
    expect(lettering.example.shows).toContain(`${(width / 2 + 12).toFixed(1)} mm from its left edge`)
  })

  test('stand wider or closer by the spacing, once between each two', () => {
    const width = (spacing: number) => boxWidth(boundsOf(inner({ text: 'HOEHOE', spacing })))
    expect(width(7) - width(0)).toBeCloseTo(35, 9)
    expect(width(-1.5) - width(0)).toBeCloseTo(-7.5, 9)
  })

  test('are outlines counter-clockwise with counters clockwise, each a closed line of its own', () => {
    const paths = inner({ text: 'BO8' })
    expect(paths.filter((path) => signedArea(path) > 0)).toHaveLength(3)
    expect(paths.filter((path) => signedArea(path) < 0)).toHaveLength(5)
    for (const path of paths) expect(path.closed).toBe(true)
  })

  test('are cut inside the panel and stay film, with the hinge through the middle of what is cut', () => {
    const panel = panelOf(developed())
    expect(panel.inner).toHaveLength(18)
    expect(panel.holes).toEqual([])
    const { low, high } = boundsOf(panel.inner)
    expect(low.x + high.x).toBeCloseTo(0, 9)
    expect([panel.hinge.from.x, panel.hinge.to.x]).toEqual([expect.closeTo(0, 9), expect.closeTo(0, 9)])
    expect(panel.ticks.map((tick) => tick.edge)).toEqual(['bottom', 'top'])
    for (const path of panel.inner) expect(liesWithin(path, panel.bare)).toBe(true)
  })

  test('have their marks told from the base line and the middle', () => {
    // A made font: H is 700 units high and 500 wide, so with 70 mm the scale is 0.1 mm.
    const own = withFonts(
      new Map([['made.otf', madeFont({ H: [box(100, 0, 500, 700)], g: [box(100, -200, 500, 600)] })]]),
    )
    const marks = one({ text: 'gH', font: 'made.otf', capHeight: 70, border: 10 }, own).marks
    expect(marks).toEqual([
      {
        code: 'base line',
        text: 'Draw the base line level on the object. The letters stand on it, 30 mm above the lower edge of the panel.',
      },
      { code: 'middle', text: 'Mark the middle of the text on the base line; the panel reaches 70 mm to either side.' },
      {
        code: 'hinge bottom',
        text: 'Draw the upright line through the middle of the text; mark it 30 mm below the base line.',
      },
      { code: 'hinge top', text: 'On the same upright line, mark 80 mm above the base line.' },
    ])
  })

  test('can hang from a level hinge', () => {
    const panel = panelOf(developed(), { ...plainOptions, hinge: 'level' })
    expect(panel.ticks.map((tick) => tick.edge)).toEqual(['left', 'right'])
    expect(panel.marks.map(({ code }) => code)).toEqual(['base line', 'middle', 'hinge left', 'hinge right'])
  })
})

describe('letters that overlap', () => {
  // O is as wide as its advance less its side bearings; 20 mm closer two of them overlap.
  const alone = () => area(inner({ text: 'O' }))

  test('are one outline, of curves still, and it is said', () => {
    const { inner: paths = [], notes } = one({ text: 'OO', spacing: -15 })
    expect(paths.filter((path) => signedArea(path) > 0)).toHaveLength(1)
    expect(paths.flatMap((path) => path.segments).filter((s) => s.kind === 'cubic').length).toBeGreaterThan(10)
    expect(paths.flatMap((path) => path.segments).length).toBeLessThan(120)
    expect(area(paths)).toBeLessThan(2 * alone() - 10)
    expect(notes).toEqual(['Letters that run into each other are cut as one.'])
  })

  test('fill just what both fill', () => {
    fc.assert(
      fc.property(
        mm(-24, -8),
        fc.array(fc.record({ x: mm(-30, 30), y: mm(-1, 41) }), { minLength: 30, maxLength: 30 }),
        (spacing, places) => {
          const paths = inner({ text: 'OB', spacing })
          // The same letters laid down by hand: font units, kerning and the middle of what is cut from the other library.
          const scale = 40 / otherGlyph('H').bbox.maxY
          const [at] = other.layout('OB', { liga: false }).positions
          const step = scale * (at?.xAdvance ?? 0) + spacing
          const [o, b] = [otherGlyph('O'), otherGlyph('B')]
          const lowX = Math.min(scale * o.bbox.minX, step + scale * b.bbox.minX)
          const highX = Math.max(scale * o.bbox.maxX, step + scale * b.bbox.maxX)
          const face = faceOf(sampleFont, facts)
          const isIn = (c: string, x: number, y: number) =>
            (face.glyph(c)?.contours ?? []).filter((path) => pointInside(path, point(x / scale, y / scale))).length %
              2 ===
            1
          for (const { x, y } of places) {
            const own = x + (lowX + highX) / 2
            const wanted = isIn('O', own, y) || isIn('B', own - step, y)
            expect(paths.filter((path) => pointInside(path, point(x, y))).length % 2 === 1).toBe(wanted)
          }
        },
      ),
      { numRuns: 60 },
    )
  })

  test('within one letter of a font are one outline, whichever way round the font draws them', () => {
    const cross = [box(0, 300, 700, 100), box(300, 0, 100, 700)]
    for (const outline of [cross, cross.map((ring) => [...ring].reverse())]) {
      const own = withFonts(new Map([['made.otf', madeFont({ H: [box(0, 0, 500, 700)], '+': outline })]]))
      const panel = one({ text: '+', font: 'made.otf', capHeight: 70 }, own)
      expect((panel.inner ?? []).map(signedArea)).toEqual([expect.closeTo(700 + 700 - 100, 6)])
      expect(panel.notes).toEqual([])
    }
  })

  test('themselves are worked out on chords, and it is said', () => {
    const bow: [number, number][] = [
      [0, 0],
      [700, 700],
      [700, 0],
      [0, 700],
    ]
    const own = withFonts(new Map([['made.otf', madeFont({ H: [box(0, 0, 500, 700)], x: [bow] })]]))
    const panel = one({ text: 'x', font: 'made.otf', capHeight: 70 }, own)
    expect(area(panel.inner ?? [])).toBeCloseTo((70 * 70) / 2, 2)
    expect(panel.notes).toContain(
      'An outline of the font crosses itself; it is cut on chords within 0.005 mm of its curves.',
    )
  })
})

describe('letters on an arc', () => {
  test('stand square to it, feet on the arc, each at its own place along it', () => {
    // H is as wide to the left of its middle as to the right, so the arc's middle is over the middle of the text.
    const own = withFonts(new Map([['made.otf', madeFont({ H: [box(100, 0, 500, 800)] })]]))
    const [advance, half] = [35, 12.5]
    for (const side of ['outside', 'inside'] as const) {
      const radius = 150
      const hand = side === 'outside' ? 1 : -1
      const paths = [...inner({ text: 'HHH', font: 'made.otf', on: 'arc', radius, side, spacing: 4 }, own)]
      paths.sort((a, b) => a.start.x - b.start.x)
      expect(paths).toHaveLength(3)
      for (const [i, path] of paths.entries()) {
        const turn = ((i - 1) * (advance + 4)) / radius
        const [u, t] = [point(hand * Math.sin(turn), Math.cos(turn)), point(Math.cos(turn), -hand * Math.sin(turn))]
        const local = flatten(path, 0.01).map((p) => {
          const [x, y] = [p.x, p.y + hand * radius]
          return point(x * t.x + y * t.y, x * u.x + y * u.y - hand * radius)
        })
        const { low, high } = boundsOf([polyline(local)])
        expect(low.y).toBeCloseTo(0, 6)
        expect(high.y).toBeCloseTo(40, 6)
        expect(high.x).toBeCloseTo(half, 6)
        expect(low.x).toBeCloseTo(-high.x, 6)
      }
    }
  })

  test('cover as much as on a line as long as none overlap', () => {
    const line = area(inner({ text: 'HEDGE' }))
    expect(area(inner({ text: 'HEDGE', on: 'arc', radius: 300 }))).toBeCloseTo(line, 6)
    expect(area(inner({ text: 'HEDGE', on: 'arc', radius: 300, side: 'inside', spacing: 8 }))).toBeCloseTo(line, 6)
  })

  test('are refused where the text is longer than the circle, with the radius that would do', () => {
    const length = 12 * 0.7 * 40
    const own = withFonts(new Map([['made.otf', madeFont({ H: [box(0, 0, 500, 1000)] })]]))
    const arc = (radius: number) => refused({ text: 'H'.repeat(12), font: 'made.otf', on: 'arc', radius }, own)
    const [problem] = arc(53)
    expect(problem && formatProblem(problem)).toMatch(
      /^radius is 53 mm; the text is 336(\.0+\d*)? mm long, and the whole circle only 333\.00\d* mm\. Give at least 54 mm, or lower letters\.$/,
    )
    expect(arc(Math.ceil(length / (2 * Math.PI)))).toEqual([])
  })

  test('are refused inside an arc in whose middle their heads would meet', () => {
    const own = withFonts(new Map([['made.otf', madeFont({ H: [box(0, 0, 500, 1000)] })]]))
    const arc = (radius: number) => refused({ text: 'HH', font: 'made.otf', on: 'arc', side: 'inside', radius }, own)
    expect(arc(49)).toMatchObject([{ code: 'arc_too_small', field: 'radius', value: '49 mm' }])
    expect(arc(50)).toEqual([])
  })
})

describe('a backing panel', () => {
  const backed = (values: Partial<typeof plain> = {}) => {
    const [behind, letters] = panelsOf(developed({ backing: 'panel', ...values }))
    return behind && letters ? { behind, letters } : expect.fail('not two panels')
  }

  test('goes on first, and hangs from the same upright line', () => {
    const { behind, letters } = backed()
    expect([behind.name, letters.name]).toEqual(['tin backing', 'tin letters'])
    expect(behind.inner).toEqual([])
    expect([behind.hinge.from.x, behind.hinge.to.x, letters.hinge.from.x]).toEqual(
      [0, 0, 0].map((x) => expect.closeTo(x, 9)),
    )
    // 20 mm round the letters against 12.
    expect(letters.hinge.from.y - behind.hinge.from.y).toBeCloseTo(8, 9)
    const [own, border] = [boundsOf([behind.bare]), boundsOf([letters.bare])]
    expect(boxWidth(own) - boxWidth(border)).toBeCloseTo(16, 9)
    // Four roundings of 8 mm take (4 - pi) 64 mm^2 off the rectangle.
    expect(signedArea(behind.bare)).toBeCloseTo(boxWidth(own) * boxHeight(own) - (4 - Math.PI) * 64, 6)
  })

  test('in the form of an arch is a rectangle under a segment of a circle', () => {
    const { behind, letters } = backed({ backingShape: 'arch', archRise: 30, backingRadius: 0 })
    const { low, high } = boundsOf([letters.bare])
    const [width, height] = [high.x - low.x + 16, high.y - low.y + 16]
    const radius = (width * width) / 8 / 30 + 15
    const half = Math.asin(width / 2 / radius)
    const segment = radius * radius * (half - Math.sin(half) * Math.cos(half))
    expect(signedArea(behind.bare)).toBeCloseTo(width * height + segment, 5)
    expect(boxHeight(boundsOf([behind.bare]))).toBeCloseTo(height + 30, 9)
  })

  test('holds the letters grown by its margin, whatever its form', () => {
    const cases: Partial<typeof plain>[] = [
      {},
      { backingShape: 'arch' },
      { on: 'arc', radius: 320 },
      { on: 'arc', radius: 320, backingShape: 'arch' },
      { text: 'TOOL LIBRARY', on: 'arc', radius: 75, backingShape: 'arch' },
      { on: 'arc', radius: 320, side: 'inside', backingShape: 'arch' },
      { on: 'arc', radius: 320, backingShape: 'arch', archRise: 40 },
    ]
    for (const values of cases) {
      const { behind, letters } = backed({ text: 'Ängs Wyy', backingRadius: 5, ...values })
      const round = offsetRings(ringsOf(letters.inner, 0.01), 20)
      const box = ringsOf([behind.bare], 0.01)
      // Beside rounded corners a margin is measured square, so the grown letters' own corners are the test.
      expect(ringsArea(difference(round, box)), JSON.stringify(values)).toBeLessThan(0.5)
    }
  })

  test('along an arc has its top round the middle of that arc', () => {
    const own = withFonts(new Map([['made.otf', madeFont({ H: [box(100, 0, 500, 800)] })]]))
    const values = { text: 'HHH', font: 'made.otf', on: 'arc', radius: 320, backing: 'panel', backingShape: 'arch' }
    const [behind = expect.fail('no panel')] = panelsOf(developed(values, own))
    const top = behind.edges.find((edge) => edge.name === 'top') ?? expect.fail('no top')
    // The farthest points of the letters are their upper corners, 40 mm up and 12.5 mm aside.
    const wanted = Math.hypot(320 + 40, 12.5) + 20
    for (const p of flatten(top.bare, 0.001)) expect(Math.abs(distance(p, point(0, -320)) - wanted)).toBeLessThan(0.05)
  })

  test('is refused as an arch higher than a half circle', () => {
    const high = refused({ text: 'I', backing: 'panel', backingShape: 'arch', archRise: 60 })
    expect(high).toMatchObject([{ code: 'arch_too_high', field: 'archRise', value: '60 mm' }])
  })
})

describe('what cannot be set', () => {
  test('are characters the font has not: each is named, with what would do', () => {
    const [problem, ...others] = refused({ text: 'Łódź ☃ ő' })
    expect(others).toEqual([])
    expect(problem && formatProblem(problem)).toBe(
      'text is "Ł" (U+0141), "ź" (U+017A), "☃" (U+2603), "ő" (U+0151); the font has no letter for these. ' +
        'Write L for Ł, z for ź, o for ő, or take a font that has them.',
    )
    expect(refused({ text: '☃' })[0]?.cure).toBe('Take a font that has it, or write it otherwise.')
  })

  test('are characters that do not show, and texts without any', () => {
    for (const text of [
      'TOOL\nLIBRARY',
      'TOOL\tLIBRARY',
      'TOOL\u0007',
      'TO\u00adOL',
      'a\u202eb',
      'a\u2028b',
      'a\ud800b',
    ]) {
      expect(checked({ text }), JSON.stringify(text)).toMatchObject([{ code: 'control_character', field: 'text' }])
    }
    expect(checked({ text: 'TOOL\nLIBRARY' }).map(formatProblem)).toEqual([
      'text is a text with U+000A; lettering is one line of letters, without line ends, tabs and other characters ' +
        'that do not show. Leave them out; give each line an object of its own.',
    ])
    expect(checked({ text: '  ' })).toMatchObject([{ code: 'no_text' }])
    expect(refused({ text: '\u00a0x\u00a0'.replace('x', '') })).not.toEqual([])
    // A line end after the text is how many files end.
    expect(checked({ text: 'TOOL LIBRARY\n' })).toEqual([])
    expect(inner({ text: 'TOOL LIBRARY\n' })).toEqual(inner())
  })

  test('are loose accents and scripts that are not set letter by letter; accents with a letter of their own are', () => {
    expect(checked({ text: 'q\u0308' })).toMatchObject([{ code: 'loose_accent' }])
    expect(checked({ text: 'A\u0308hre' })).toEqual([])
    expect(inner({ text: 'A\u0308hre' })).toEqual(inner({ text: 'Ähre' }))
    for (const text of ['سلام', 'שלום', 'नम']) expect(checked({ text })).toMatchObject([{ code: 'shaped_script' }])
    expect(checked({ text: 'Ελλάδα Киев 工具' })).toEqual([])
  })

  test('is spacing that puts a letter before the one it follows', () => {
    const own = withFonts(new Map([['made.otf', madeFont({ H: [box(0, 0, 500, 1000)] })]]))
    const [problem] = refused({ text: 'HH', font: 'made.otf', spacing: -28 }, own)
    expect(problem).toMatchObject({ code: 'spacing_too_tight', field: 'spacing', value: '-28 mm' })
    expect(refused({ text: 'HH', font: 'made.otf', spacing: -27 }, own)).toEqual([])
  })

  test('are an arc without a radius, a line with one, and a rise without an arch', () => {
    expect(checked({ on: 'arc' })).toMatchObject([{ code: 'missing', field: 'radius' }])
    expect(checked({ radius: 100 })).toMatchObject([{ code: 'contradiction', field: 'radius', value: '100 mm' }])
    expect(checked({ archRise: 20 })).toMatchObject([{ code: 'contradiction', field: 'archRise' }])
    expect(checked({ archRise: 20, backing: 'panel' })).toMatchObject([{ code: 'contradiction', field: 'archRise' }])
    expect(checked({ archRise: 20, backing: 'panel', backingShape: 'arch' })).toEqual([])
    expect(checked({})).toEqual([])
  })

  test('are corners so round that they come at the letters', () => {
    // 1 mm stays at r = (12 sqrt 2 - 1) / (sqrt 2 - 1) = 38.56 mm.
    expect(checked({ borderRadius: 38.5 })).toEqual([])
    const [problem] = checked({ borderRadius: 38.6 })
    expect(problem && formatProblem(problem)).toBe(
      'borderRadius is 38.6 mm; with border 12 mm the rounding would come nearer than 1 mm to the letters. ' +
        'Give 38 mm or less, or a wider border.',
    )
    expect(refused({ text: '.', border: 20, borderRadius: 30 })).toMatchObject([
      { code: 'radii_too_big', field: 'borderRadius' },
    ])
  })
})

describe('a file that is no font', () => {
  const file = (name: string, start: readonly number[], more = 200) =>
    refused({ font: name }, withFonts(new Map([[name, Uint8Array.from([...start, ...Array(more).fill(7)])]])))
  const codes = (text: string) => [...text].map((c) => c.charCodeAt(0))

  test('is told by what it begins with', () => {
    expect(file('sign.ttf', [0x89, ...codes('PNG\r\n')]).map(formatProblem)).toEqual([
      'font is "sign.ttf"; a font file is TrueType, OpenType or WOFF; this one begins with 89 50 4E 47, as a PNG picture ' +
        'does. Give the font itself, in TrueType (.ttf), OpenType (.otf) or WOFF (.woff).',
    ])
    expect(file('sign.woff2', codes('wOF2'))[0]?.limit).toMatch(/begins with "wOF2", as WOFF2 does$/)
    expect(file('sign.ttc', codes('ttcf'))[0]?.limit).toMatch(/"ttcf", as a collection of several fonts does$/)
    expect(file('sign.svg', codes('<svg '))[0]?.limit).toMatch(/"<svg", as SVG, HTML or XML does$/)
    expect(file('empty.ttf', [], 0)[0]?.limit).toMatch(/this one is empty$/)
    expect(file('noise.ttf', [1, 2, 3, 4])[0]?.limit).toMatch(/this one begins with 01 02 03 04$/)
  })

  test('or is one cut short, is refused too', () => {
    for (const length of [4, 40, 44, 60, 500, 5000, 15000]) {
      const cut = withFonts(new Map([[sampleFont, sampleFonts.get(sampleFont)?.slice(0, length) ?? new Uint8Array()]]))
      const [problem, ...others] = refused({}, cut)
      expect(others).toEqual([])
      expect(problem, `${length} bytes`).toMatchObject({ field: 'font' })
      expect(problem?.code).toBe('broken_font')
    }
  })

  test('or is noise after a good beginning, is refused whatever the noise', () => {
    const good = sampleFonts.get(sampleFont) ?? new Uint8Array()
    fc.assert(
      fc.property(
        fc.integer({ min: 12, max: good.length - 1 }),
        fc.uint8Array({ minLength: 1, maxLength: 60 }),
        (at, noise) => {
          const spoilt = good.slice()
          spoilt.set(noise.subarray(0, good.length - at), at)
          // Either it is read all the same, or it is refused in words; nothing else is thrown.
          for (const { field } of refused({ text: 'HO' }, withFonts(new Map([[sampleFont, spoilt]])))) {
            expect(['font', 'text', 'spacing']).toContain(field)
          }
        },
      ),
      { numRuns: 150 },
    )
  })

  test('or has a single wrong byte in its outlines, is refused', () => {
    const good = madeFont({ H: [box(0, 0, 500, 700)], I: [box(0, 0, 100, 700)] })
    const view = new DataView(good.buffer)
    // The table directory: a tag and three words of 4 bytes each, from byte 12 on.
    const tags = Array.from({ length: view.getUint16(4) }, (_, i) =>
      String.fromCharCode(...good.slice(12 + 16 * i, 16 + 16 * i)),
    )
    const own = 12 + 16 * tags.indexOf('CFF ')
    const [offset, length] = [view.getUint32(own + 8), view.getUint32(own + 12)]
    fc.assert(
      fc.property(fc.integer({ min: 0, max: length - 1 }), fc.integer({ min: 1, max: 255 }), (at, change) => {
        const spoilt = good.slice()
        spoilt[offset + at] = ((spoilt[offset + at] ?? 0) + change) % 256
        expect(refused({ text: 'HI', font: 'made.otf' }, withFonts(new Map([['made.otf', spoilt]])))).toMatchObject([
          { code: 'broken_font', field: 'font', value: '"made.otf"', limit: 'its table CFF  is damaged' },
        ])
      }),
      { numRuns: 60 },
    )
    expect(refused({ text: 'HI', font: 'made.otf' }, withFonts(new Map([['made.otf', good]])))).toEqual([])
  })

  test('or is one without outlines, or was not read, is refused', () => {
    // A table directory with a name table only.
    const bare = [...[0, 1, 0, 0, 0, 1, 0, 16, 0, 0, 0, 0], ...codes('name'), ...Array(12).fill(0)]
    expect(file('dots.ttf', bare)).toMatchObject([{ code: 'no_outlines', field: 'font', value: '"dots.ttf"' }])
    expect(refused({ font: 'gone.ttf' })).toMatchObject([{ code: 'no_file', field: 'font', value: '"gone.ttf"' }])
  })
})

describe('thin strokes', () => {
  const bar = (width: number) => rectangle(point(0, 0), point(width, 20))

  test('are found by their width, and corners are none', () => {
    expect(thinnest([bar(0.5)], 0.8, 0.2)).toBeCloseTo(0.5, 9)
    expect(thinnest([bar(0.81)], 0.8, 0.2)).toBeUndefined()
    // A ring of 0.6 mm between circles, worked out on chords.
    const ring = [circle(point(0, 0), 10), reversed(circle(point(0, 0), 9.4))]
    expect(thinnest(ring, 0.8, 0.2)).toBeCloseTo(0.6, 1)
    // A square and a corner of 45 degrees narrow to nothing without being strokes.
    expect(thinnest([polyline([point(0, 0), point(20, 0), point(20, 20)], true)], 0.8, 0.2)).toBeUndefined()
  })

  test('that taper have the width of the circle between both sides', () => {
    // Sides that lean by 0.02: 20 mm long, 1 mm at one end and 0.6 at the other.
    const taper = polyline([point(0, 0), point(20, 0), point(20, 0.6), point(0, 1)], true)
    const found = thinnest([taper], 0.8, 0.05) ?? expect.fail('none')
    expect(found).toBeGreaterThan(0.6)
    expect(found).toBeLessThan(0.602)
  })

  test('are told on the sheet, by the width of the font’s own bar', () => {
    const { minX, maxX } = otherGlyph('I').bbox
    const stem = (maxX - minX) / otherGlyph('H').bbox.maxY
    const notes = (capHeight: number) => one({ text: 'I', capHeight }).notes
    expect(notes((0.8 / stem) * 1.02)).toEqual([])
    const [note, ...others] = notes((0.8 / stem) * 0.9)
    expect(others).toEqual([])
    expect(Number(/about ([\d.]+) mm wide/.exec(note ?? '')?.[1])).toBeCloseTo(0.72, 6)
    const [, would] = /cap height of (\d+) mm or more/.exec(note ?? '') ?? []
    expect(notes(Number(would))).toEqual([])
  })
})

test('letters of any measures lie inside their border, clear of each other and of its edge', () => {
  fc.assert(
    fc.property(any, ({ values }) => {
      const panels = lettering.develop(values, facts, say)
      const letters = panels.at(-1) ?? expect.fail('no panel')
      const { border } = values as unknown as typeof plain
      const made = makePanel(letters, { ...plainOptions, allowances: { other: 0 } }, say)
      const panel = 'panel' in made ? made.panel : expect.fail(JSON.stringify(made.problems))
      const shrunk = offsetRings(ringsOf([rectangle(...cornersOf(panel.bare))]), -border + 0.001)
      expect(ringsArea(difference(ringsOf(panel.inner, 0.01), shrunk))).toBeLessThan(1e-3)
      // Letters wind once round whatever they cover.
      const own = ringsOf(panel.inner, 0.005)
      expect(ringsArea(own)).toBeCloseTo(ringsArea(offsetRings(own, 0)), 0)
    }),
    { numRuns: 40 },
  )
})

const cornersOf = (path: Path) => {
  const { low, high } = boundsOf([path])
  return [low, high] as const
}
