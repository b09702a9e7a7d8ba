import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { crossings } from '../../src/geometry/intersect.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { closedPath, type Path } from '../../src/geometry/path.ts'
import { distance, point } from '../../src/geometry/point.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import type { BareEdge, Development } from '../../src/panel/development.ts'
import { elbow } from '../../templates/elbow/template.ts'
import { any } from './any/elbow.ts'
import { panelsOf, plainOptions, say, thin } from './measures.ts'

const degree = Math.PI / 180
/** A dust pipe 200 mm across, so that lengths over 100 are those of a tube of radius 1. */
const pipe = {
  girth: undefined,
  diameter: 200,
  angle: 90 * degree,
  pieces: 5,
  radius: 300,
  throat: undefined,
  firstEnd: 0,
  lastEnd: 0,
  seams: 'alternate',
  overlap: 6,
  mitreLap: 0,
}
const develop = (values: object, facts = thin) => elbow.develop({ ...pipe, ...values }, facts, say)
const problems = (values: object) =>
  elbow.check({ ...pipe, ...values }).map((problem) => ({ ...problem, text: formatProblem(problem) }))

const edgeOf = (development: Development | undefined, name: string): BareEdge =>
  development?.edges.find((edge) => edge.name === name) ?? expect.fail(`no ${name} edge`)
const lengthOf = (development: Development | undefined, name: string) => pathLength(edgeOf(development, name).path)
const tall = ({ hinge: { from, to } }: Development) => distance(from, to)
const areaOf = ({ edges }: Development) => {
  const [first = expect.fail('no edge')] = edges
  return signedArea(
    closedPath(
      first.path.start,
      edges.flatMap(({ path }) => path.segments),
    ),
  )
}
/** Height of an edge at x, by the one place where an upright line meets it. */
const heightAt = (path: Path, x: number) => {
  const [met, ...others] = crossings(path, point(x, 0), point(0, 1))
  expect(others).toEqual([])
  return met?.reach ?? expect.fail(`nothing at ${x}`)
}
/** Every two pieces that meet, the lower first. */
const pairs = (developments: readonly Development[]) =>
  developments.slice(1).map((upper, i) => [developments[i] ?? upper, upper] as const)

test('five pieces and a square bend: 8 backsets of 11 1/4 degrees, rises 11.25, 33.75, 56.25, 78.75 (Longfield 1921, p. 59)', () => {
  const pieces = develop({})
  expect(pieces.map(({ part }) => part)).toEqual(['piece 1', 'piece 2', 'piece 3', 'piece 4', 'piece 5'])
  expect(pieces[0]?.notes.join(' ')).toContain(
    'cut 11.25 degrees from square; the mitre lines rise at 11.25, 33.75, 56.25, 78.75 degrees',
  )
  // A backset by its edge: from throat to heel it rises by the diameter times its tangent.
  const backset = (edge: BareEdge) => {
    const ends = [edge.path.start.y, heightAt(edge.path, 0)] as const
    return Math.atan(Math.abs(ends[0] - ends[1]) / 200) / degree
  }
  const mitres = pieces.flatMap(({ edges }) => edges.filter(({ seam }) => seam?.startsWith('M')))
  expect(mitres).toHaveLength(8)
  for (const mitre of mitres) expect(backset(mitre)).toBeCloseTo(11.25, 9)
})

test.each([
  // Exercises 13B and 13C on the same page, answers worked by hand.
  [4, 75, '12.5, 37.5, 62.5'],
  [3, 90, '22.5, 67.5'],
])('%d pieces that turn %d degrees have mitre lines at %s', (pieces, angle, rises) => {
  expect(develop({ pieces, angle: angle * degree })[0]?.notes.join(' ')).toContain(`rise at ${rises} degrees`)
})

test('one pattern serves 2 pieces and 12 degrees up to 8 pieces and 84 degrees (Longfield 1921, exercises 13D to 13J)', () => {
  const [first, ...others] = [2, 3, 4, 5, 6, 7, 8].map((pieces) =>
    develop({ pieces, angle: 12 * (pieces - 1) * degree, firstEnd: 50 }),
  )
  const pattern = first?.[0]?.edges.map(({ path }) => pathLength(path)) ?? []
  // The backset is 6 degrees and its tangent 0.105104.
  expect(tall(first?.[0] ?? expect.fail('no piece'))).toBeCloseTo(50 + 400 * 0.105104, 3)
  expect(others).toHaveLength(6)
  for (const [end] of others) {
    expect(end?.edges).toHaveLength(4)
    end?.edges.forEach(({ path }, i) => {
      expect(pathLength(path)).toBeCloseTo(pattern[i] ?? 0, 9)
    })
  }
})

describe('ordinates of a tube of radius 1, from the heel (computed beforehand, to 6 places)', () => {
  const stations = [0, 22.5, 30, 45, 60, 67.5, 90]
  test.each([
    [2, [1, 0.92388, 0.866025, Math.SQRT1_2, 0.5, 0.382683, 0]],
    [3, [0.414214, 0.382683, 0.358719, 0.292893, 0.207107, 0.158513, 0]],
    [4, [0.267949, 0.247553, 0.232051, 0.189469, 0.133975, 0.10254, 0]],
    [5, [0.198912, 0.183771, 0.172263, 0.140652, 0.099456, 0.07612, 0]],
  ])('for %d pieces and 90 degrees', (count, ordinates) => {
    const [first, second] = develop({ pieces: count })
    const backset = 90 / (2 * (count - 1))
    for (const [i, station] of stations.entries()) {
      for (const turn of [station, -station]) {
        // The first piece has the heel in its middle, the second one the throat; heights over the middle line's.
        const top = edgeOf(first, 'top').path
        const foot = edgeOf(first, 'bottom').path.start.y
        const mean = 300 * Math.tan(backset * degree)
        const x = 100 * turn * degree
        expect((heightAt(top, x) - foot - mean) / 100).toBeCloseTo(ordinates[i] ?? 0, 6)
        const below = edgeOf(second, 'bottom').path
        const [low, high] = [heightAt(below, 100 * Math.PI * 0.9999999), heightAt(below, 0)]
        expect((heightAt(below, x) - (low + high) / 2) / 100).toBeCloseTo(ordinates[i] ?? 0, 6)
      }
    }
  })
})

test('a two-piece corner of 90 degrees has mitres as long as half a mitre of 45 degrees: 7.640396 radii', () => {
  const [first, second] = develop({ pieces: 2 })
  expect(lengthOf(first, 'top') / 100).toBeCloseTo(7.640396, 6)
  expect(lengthOf(second, 'bottom') / 100).toBeCloseTo(7.640396, 6)
})

test('neighbours meet in edges of one length and one curve, whatever the bend, and carry the code of their seam', () => {
  fc.assert(
    fc.property(any, ({ values, facts }) => {
      expect(elbow.check(values)).toEqual([])
      const developments = elbow.develop(values, facts, say)
      expect(developments).toHaveLength(Number(values.pieces))
      for (const [i, [lower, upper]] of pairs(developments).entries()) {
        const [top, bottom] = [edgeOf(lower, 'top'), edgeOf(upper, 'bottom')]
        expect(top).toMatchObject({ lap: 0, seam: `M${i + 1}` })
        expect(bottom).toMatchObject({ lap: values.mitreLap, seam: `M${i + 1}` })
        expect(Math.abs(pathLength(top.path) - pathLength(bottom.path))).toBeLessThan(1e-9)
        // One on the other: turned to the same side of the tube, the two curves are a constant height apart.
        const half = lengthOf(upper, 'bottom') > 0 ? -bottom.path.start.x : 0
        const shift = values.seams === 'alternate' ? 0 : half
        const gaps = [-0.8, -0.5, -0.2, 0.1, 0.4, 0.9].map((share) => {
          const x = share * half
          const other = shift === 0 ? x : x > 0 ? x - shift : x + shift
          // Where both seams lie on one side the lower edge stands as the upper one half a turn on.
          return heightAt(top.path, x) - heightAt(bottom.path, other)
        })
        for (const gap of gaps) expect(Math.abs(gap - (gaps[0] ?? 0))).toBeLessThan(1e-9)
      }
    }),
    { numRuns: 40 },
  )
})

test('each piece is 2 pi r times its length along the middle line; all together make up the whole tube', () => {
  fc.assert(
    fc.property(any, ({ values, facts }) => {
      const v = values as typeof pipe & { girth?: number; diameter?: number; radius?: number; throat?: number }
      const across = v.diameter ?? (v.girth ?? 0) / Math.PI - facts.tapeThickness
      const radius = v.radius ?? (v.throat ?? 0) + across / 2
      const tan = Math.tan(v.angle / (2 * (v.pieces - 1)))
      const round = Math.PI * (across + facts.filmThickness)
      const developments = elbow.develop(values, facts, say)
      const lengths = developments.map((_, i) =>
        i === 0 ? radius * tan + v.firstEnd : i === v.pieces - 1 ? radius * tan + v.lastEnd : 2 * radius * tan,
      )
      developments.forEach((development, i) => {
        expect(areaOf(development) / (round * (lengths[i] ?? 0))).toBeCloseTo(1, 9)
        expect(lengthOf(development, 'left')).toBeCloseTo(lengthOf(development, 'right'), 9)
      })
    }),
    { numRuns: 40 },
  )
})

test('seams lie at the throat and the heel by turns, with the hinge opposite, or all on one side', () => {
  // Radius 300 and 200 across: heel and throat of an end piece 400 and 200 times tan 11.25.
  const unit = 100 * Math.tan(11.25 * degree)
  const heights = (seams: string) =>
    develop({ seams }).map((piece) => [lengthOf(piece, 'left') / unit, tall(piece) / unit])
  const close = (found: number[][], wanted: number[][]) =>
    found.flat().forEach((value, i) => {
      expect(value).toBeCloseTo(wanted.flat()[i] ?? Number.NaN, 9)
    })
  const [end, heelEnd, short, long] = [
    [2, 4],
    [4, 2],
    [4, 8],
    [8, 4],
  ] as const
  close(heights('alternate'), [[...end], [...long], [...short], [...long], [...end]])
  close(heights('throat'), [[...end], [...short], [...short], [...short], [...end]])
  close(heights('heel'), [[...heelEnd], [...long], [...long], [...long], [...heelEnd]])
  const [first, second] = develop({})
  expect(first?.marks.map(({ text }) => text)).toEqual([
    'The lengthwise seam lies on the throat line of the bend.',
    'Mark the heel line, half round from the throat line, at the first edge.',
    'Mark the heel line, half round from the throat line, at mitre line M1.',
  ])
  expect(second?.marks.map(({ text }) => text)).toEqual([
    'The lengthwise seam lies on the heel line of the bend.',
    'Mark the throat line, half round from the heel line, at mitre line M1.',
    'Mark the throat line, half round from the heel line, at mitre line M2.',
  ])
  expect(first?.notes.some((note) => note.startsWith('Seams lie at the throat and the heel by turns, so that'))).toBe(
    true,
  )
  expect(develop({ seams: 'heel' })[0]?.notes.some((note) => note.startsWith('Seams'))).toBe(false)
})

test('ends add their straight length, and a throat says the same as a radius', () => {
  const [first] = develop({ firstEnd: 40 })
  const unit = 100 * Math.tan(11.25 * degree)
  expect(lengthOf(first, 'left')).toBeCloseTo(2 * unit + 40, 9)
  expect(develop({ lastEnd: 25 }).at(-1)?.notes[0]).toMatch(/^Piece 5 is 104\.56\d* mm long at the heel/)
  expect(develop({ radius: undefined, throat: 200 })).toEqual(develop({}))
  // A sharp corner: the throat is the straight ends alone.
  const [corner] = develop({ pieces: 2, radius: undefined, throat: 0, firstEnd: 80, lastEnd: 50 })
  expect(lengthOf(corner, 'left')).toBeCloseTo(80, 9)
  expect(tall(corner ?? expect.fail('no piece'))).toBeCloseTo(280, 9)
})

test('film and tape thickness count round the tube and leave the bend where it is', () => {
  const facts = { filmThickness: 0.1, tapeThickness: 0.3 }
  const [first] = develop({ diameter: undefined, girth: 200.3 * Math.PI }, facts)
  expect(lengthOf(first, 'bottom')).toBeCloseTo(200.1 * Math.PI, 9)
  expect(lengthOf(first, 'left')).toBeCloseTo((300 - 100.05) * Math.tan(11.25 * degree), 9)
})

test('measures that are missing, told twice or that leave no throat are refused', () => {
  expect(problems({ diameter: undefined, radius: undefined }).map(({ code, field }) => [code, field])).toEqual([
    ['missing', 'girth'],
    ['missing', 'radius'],
  ])
  const both = problems({ girth: 640, throat: 150 })
  expect(both.map(({ code, field }) => [code, field])).toEqual([
    ['contradiction', 'girth'],
    ['contradiction', 'radius'],
  ])
  expect(both[1]?.text).toMatch(/radius is 300 mm beside a throat of 150 mm; an elbow needs one of radius and throat/)
  // 20 mm of throat radius times tan 11.25 is 3.98 mm, and twice that is enough for the pieces between.
  const tight = problems({ radius: 120 })
  expect(tight.map(({ code, field }) => [code, field])).toEqual([
    ['throat_too_short', 'radius'],
    ['throat_too_short', 'radius'],
  ])
  expect(tight[0]?.text).toBe(
    'radius is 120 mm, which leaves 4.0 mm of piece 1 at the throat; the least is 5 mm. Measure the bend again; the ' +
      'radius to the middle line must be 125.1 mm or more, or firstEnd longer.',
  )
  expect(problems({ radius: 126 })).toEqual([])
  expect(problems({ radius: 120, firstEnd: 2, lastEnd: 2 })).toEqual([])
  const steep = problems({ pieces: 2, angle: 150 * degree })
  expect(steep).toMatchObject([{ code: 'too_steep', field: 'pieces' }])
  expect(steep[0]?.text).toMatch(/mitres of 75 degrees; the most is 60 degrees.*takes 3 or more/)
  expect(problems({ pieces: 3, angle: 150 * degree })).toEqual([])
})

test('every piece becomes a panel whose mitred edges lie on the measured line, or lap by what was asked', () => {
  const options = { ...plainOptions, allowances: { bottom: 3, right: 3, top: 3, left: 3 } }
  for (const mitreLap of [0, 5]) {
    const panels = panelsOf(develop({ mitreLap }), options)
    const past = panels.map(({ edges }) => edges.map(({ allowance }) => allowance))
    expect(past).toEqual([
      [3, 6, 0, 0],
      [mitreLap, 6, 0, 0],
      [mitreLap, 6, 0, 0],
      [mitreLap, 6, 0, 0],
      [mitreLap, 6, 3, 0],
    ])
    // The hinge's own tick stands at the middle of a mitred edge; the seam's code stands beside it.
    const codes = panels.map(({ labels }) => labels.map(({ text }) => text).filter((text) => /^M\d$/.test(text)))
    expect(codes).toEqual([['M1'], ['M1', 'M2'], ['M2', 'M3'], ['M3', 'M4'], ['M4']])
  }
})
