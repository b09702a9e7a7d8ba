import fc from 'fast-check'
import { expect, test } from 'vitest'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { pathLength } from '../../src/geometry/length.ts'
import { distance, dot, leftOf, type Point, point, subtract, unit } from '../../src/geometry/point.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import { fourSidedPanel } from '../../templates/four-sided-panel/template.ts'
import {
  adjustedLengths,
  cornersOf,
  type FourCorners,
  lengthNames,
  lengthsOf,
  type SixLengths,
} from '../../templates/quadrilateral.ts'
import { any } from './any/four-sided-panel.ts'
import { edgeOf, expectClosed, faceOf, pointsRound, polygonArea } from './faces.ts'
import { mm, panelOf, say, thin, unopened } from './measures.ts'

// The published quadrilateral goes round A, B, C, D clockwise with A-C along x; seen from A the order A, D, C, B is
// counter-clockwise: A bottom left, D bottom right, C top right, B top left.
const published = { bottom: 9, right: 12, top: 14, left: 13, bottomLeftToTopRight: 15 }
const surveyed: SixLengths = {
  bottom: 89.9,
  right: 120.2,
  top: 139.8,
  left: 130.3,
  bottomLeftToTopRight: 150.1,
  bottomRightToTopLeft: 184.6,
}

const door = { bottom: 420, right: 246, top: 398, left: 239, bottomLeftToTopRight: 478, bottomRightToTopLeft: 473 }
const none = { bottomLeftToTopRight: undefined, bottomRightToTopLeft: undefined, ...unopened }
const developed = (values: object) => faceOf(fourSidedPanel.develop({ ...none, ...values }, thin, say))
const doubtsOf = (values: object) => fourSidedPanel.doubts?.({ ...none, ...values }, thin, say) ?? []
const problems = (values: object) =>
  fourSidedPanel.check({ ...none, ...door, ...values }).map((problem) => ({ ...problem, text: formatProblem(problem) }))

/** Turned about its first corner so that its third lies along x. */
function alongDiagonal([a, b, c, d]: FourCorners): Point[] {
  const way = unit(subtract(c, a))
  return [a, b, c, d].map((p) => point(dot(subtract(p, a), way), dot(subtract(p, a), leftOf(way))))
}

test('AB 13, BC 14, CD 12, DA 9 and AC 15 leave 18.439089 for BD and an area of 138 (two triangles, 84 + 54)', () => {
  const corners = cornersOf(published)
  expect(lengthsOf(corners).bottomRightToTopLeft).toBeCloseTo(18.439089, 6)
  const [a, d, c, b] = alongDiagonal(corners)
  expect(a).toEqual(point(0, 0))
  expect(c?.x).toBeCloseTo(15, 12)
  expect(b?.x).toBeCloseTo(6.6, 12)
  expect(b?.y).toBeCloseTo(11.2, 12)
  expect(d?.x).toBeCloseTo(5.4, 12)
  expect(d?.y).toBeCloseTo(-7.2, 12)
  // Ten times as big, so that it is a panel: the area of Bretschneider's formula with both diagonals, 13800.
  const face = developed(Object.fromEntries(Object.entries(published).map(([name, length]) => [name, 10 * length])))
  expect(polygonArea(pointsRound(face, 1))).toBeCloseTo(13800, 7)
  const [p, q] = [150, 184.39089]
  const across = 90 ** 2 + 140 ** 2 - 120 ** 2 - 130 ** 2
  expect(Math.sqrt(4 * p * p * q * q - across * across) / 4).toBeCloseTo(13800, 2)
})

test('six readings of a braced quadrilateral are adjusted with equal weights (worked example, 1e-6)', () => {
  const adjusted = adjustedLengths(surveyed) ?? expect.fail('no adjustment')
  expect(adjusted.misclosure).toBeCloseTo(0.121974, 6)
  expect(adjusted.s0).toBeCloseTo(0.066175, 6)
  const wanted: SixLengths = {
    left: 130.325338,
    top: 139.817503,
    right: 120.223416,
    bottom: 89.927203,
    bottomLeftToTopRight: 150.070791,
    bottomRightToTopLeft: 184.564092,
  }
  const residuals: SixLengths = {
    left: 0.025338,
    top: 0.017503,
    right: 0.023416,
    bottom: 0.027203,
    bottomLeftToTopRight: -0.029209,
    bottomRightToTopLeft: -0.035908,
  }
  for (const name of lengthNames) {
    expect(Math.abs(adjusted.lengths[name] - wanted[name])).toBeLessThan(1e-6)
    expect(Math.abs(adjusted.residuals[name] - residuals[name])).toBeLessThan(1e-6)
  }
  expect(lengthNames.reduce((sum, name) => sum + adjusted.residuals[name] ** 2, 0)).toBeCloseTo(0.004379, 6)
  const [, d, c, b] = alongDiagonal(adjusted.corners)
  for (const [found, x, y] of [
    [c, 150.070791, 0],
    [b, 66.49196, 112.087078],
    [d, 53.822847, -72.041675],
  ] as const) {
    expect(Math.abs((found?.x ?? 0) - x)).toBeLessThan(1e-6)
    expect(Math.abs((found?.y ?? 0) - y)).toBeLessThan(1e-6)
  }
})

test('no other quadrilateral near the adjusted one is nearer to the readings', () => {
  const push = fc.tuple(mm(-1, 1), mm(-1, 1))
  fc.assert(
    fc.property(any, fc.tuple(push, push, push, push), fc.constantFrom(1e-3, 1e-2, 1), ({ values }, pushes, size) => {
      const six = values as unknown as SixLengths
      if (six.bottomLeftToTopRight === undefined || six.bottomRightToTopLeft === undefined) return
      const adjusted = adjustedLengths(six) ?? expect.fail('no adjustment')
      const off = (corners: FourCorners) => {
        const own = lengthsOf(corners)
        return lengthNames.reduce((sum, name) => sum + (own[name] - six[name]) ** 2, 0)
      }
      const best = off(adjusted.corners)
      expect(Math.sqrt(best)).toBeCloseTo(adjusted.s0, 9)
      const moved = adjusted.corners.map(({ x, y }, i) => {
        const [dx, dy] = pushes[i] ?? [0, 0]
        return point(x + size * dx, y + size * dy)
      })
      expect(off(moved as unknown as FourCorners)).toBeGreaterThanOrEqual(best * (1 - 1e-9))
    }),
  )
})

test('five lengths are kept as they were read, whichever diagonal is given', () => {
  const [rising, falling] = [472.9, 477.6]
  for (const [given, left] of [
    ['bottomLeftToTopRight', 'bottomRightToTopLeft'],
    ['bottomRightToTopLeft', 'bottomLeftToTopRight'],
  ] as const) {
    const diagonal = given === 'bottomLeftToTopRight' ? rising : falling
    const face = developed({ ...door, [given]: diagonal, [left]: undefined })
    expectClosed(face)
    for (const name of ['bottom', 'right', 'top', 'left'] as const) {
      expect(Math.abs(pathLength(edgeOf(face, name)) - door[name])).toBeLessThan(1e-9)
    }
    const from = edgeOf(face, given === 'bottomLeftToTopRight' ? 'bottom' : 'right').start
    const to = edgeOf(face, given === 'bottomLeftToTopRight' ? 'top' : 'left').start
    expect(Math.abs(distance(from, to) - diagonal)).toBeLessThan(1e-9)
    expect(face.notes).toHaveLength(1)
    expect(face.notes[0]).toMatch(new RegExp(`nothing to check them: ${left} should be`))
    // The note's length closes the figure: given as the sixth reading it leaves nothing to adjust.
    const other = Number(/should be ([\d.]+) mm/.exec(face.notes[0] ?? '')?.[1])
    const six = { ...door, [given]: diagonal, [left]: other } as SixLengths
    expect(Math.abs(adjustedLengths(six)?.misclosure ?? 1)).toBeLessThan(1e-9)
  }
})

test('the hinge stands in the middle of the bottom edge and of the top edge, and the sheet says how far that is', () => {
  const face = developed({ ...door, bottomRightToTopLeft: undefined })
  const bottom = edgeOf(face, 'bottom')
  expect(distance(face.hinge.from, bottom.start)).toBeCloseTo(210, 9)
  expect(distance(face.hinge.to, edgeOf(face, 'top').start)).toBeCloseTo(199, 9)
  expect(face.marks.map(({ text }) => text)).toEqual([
    'Mark the object 210 mm along its bottom edge, from the bottom left corner.',
    'Mark the object 199 mm along its top edge, from the top left corner.',
  ])
})

test('residuals, s0 and what the tape explains go on the sheet; a doubtful set is doubted, with what to measure again', () => {
  const good = developed(surveyed).notes
  expect(good).toEqual([
    'Six readings adjusted by least squares, by bottom +0.03 mm, right +0.02 mm, top +0.02 mm, left +0.03 mm, bottomLeftToTopRight -0.03 mm, bottomRightToTopLeft -0.04 mm; s0 0.07 mm.',
    // A class II tape is within 0.5 mm under a metre; the growths with each length are the residuals over 0.035908.
    `The second diagonal closes within 0.12 mm; a class II tape explains ${((0.5 * Math.sqrt(0.004379)) / 0.035908).toFixed(2)} mm.`,
  ])
  // The falling diagonal 2 mm too long: it has the largest residual, as its error makes the most of the misclosure.
  const off = { ...surveyed, bottomRightToTopLeft: 186.478026 }
  expect(developed(off).notes[1]).toMatch(/closes within 2 mm;/)
  const [doubt, ...others] = doubtsOf(off)
  expect(doubt?.field).toBe('bottomRightToTopLeft')
  expect(doubt?.text).toMatch(
    /within 2 mm, .*Measure bottomRightToTopLeft again first; if it alone is wrong it reads about 184\.47\d* mm/,
  )
  expect([others, doubtsOf(surveyed)]).toEqual([[], []])
})

test('openings stand along the bottom edge from its left end and square to it, and the sheet says so', () => {
  const openings = [
    {
      shape: 'rectangular',
      diameter: undefined,
      width: 60,
      height: 30,
      radius: 0,
      fromLeft: 100,
      fromBottom: 80,
    },
  ]
  const face = developed({
    ...door,
    bottomRightToTopLeft: undefined,
    openings,
    points: [{ fromLeft: 90, fromBottom: 40 }],
  })
  const low = edgeOf(face, 'bottom').start
  const box = boundsOf(face.holes.map((hole) => hole.path))
  expect(box.low.x - low.x).toBeCloseTo(100, 9)
  expect(box.low.y - low.y).toBeCloseTo(80, 9)
  expect(box.high.x - box.low.x).toBeCloseTo(60, 9)
  expect(face.points).toEqual([{ x: expect.closeTo(low.x + 90, 9), y: expect.closeTo(low.y + 40, 9) }])
  expect(face.notes.at(-1)).toMatch(/along the bottom edge from its left end, and square to it/)
})

test('a triangle that does not close is refused by its three sides and by how much, with the likely reading', () => {
  // 246 + 420 = 666, 239 + 398 = 637: only the second is too short for 660, by 23.
  const [one, ...others] = problems({ bottomLeftToTopRight: 660, bottomRightToTopLeft: undefined })
  expect(others).toEqual([])
  expect(one).toMatchObject({ code: 'triangle_open', field: 'bottomLeftToTopRight', value: '660 mm' })
  expect(one?.text).toMatch(
    /triangle of bottomLeftToTopRight, top and left the other two are 637 mm together, 23 mm too short/,
  )
  // A bottom edge of 100 in place of 420 opens both of its triangles, so it is the one to look at.
  const two = problems({ bottom: 100 })
  expect(two.map(({ code }) => code)).toEqual(['triangle_open', 'triangle_open'])
  for (const { cure } of two) expect(cure).toBe('Measure bottom again first.')
})

test('a triangle so thin that the tape moves its corner too far is refused', () => {
  // Sides 239 and 398 over a diagonal of 636.9: half the sum is 636.95, so its height is about 5 mm for 5 wanted at least.
  const flat = (rising: number) =>
    problems({ bottom: 450, bottomLeftToTopRight: rising, bottomRightToTopLeft: undefined })
  const [problem] = flat(636.98)
  expect(problem).toMatchObject({ code: 'triangle_thin', field: 'bottomLeftToTopRight' })
  expect(problem?.text).toMatch(/triangle of bottomLeftToTopRight, top and left .* mm high; under 5 mm/)
  expect(flat(600)).toEqual([])
})

test('a corner that turns in is refused by its name', () => {
  // (0, 0), (300, 0), (x, y), (0, 300): its top right corner lies inside the line from (300, 0) to (0, 300) if x + y < 300.
  const face = (x: number, y: number) =>
    problems({
      bottom: 300,
      right: Math.hypot(300 - x, y),
      top: Math.hypot(x, 300 - y),
      left: 300,
      bottomLeftToTopRight: Math.hypot(x, y),
      bottomRightToTopLeft: undefined,
    })
  expect(face(170, 150)).toEqual([])
  const [problem, ...others] = face(100, 50)
  expect(others).toEqual([])
  expect(problem).toMatchObject({ code: 'corner_turns_in', field: 'bottomLeftToTopRight' })
  expect(problem?.text).toMatch(/such that the top right corner is flat or turns inward.*outline-by-offsets/)
})

test('four sides alone are refused, and diagonals that contradict each other by how much', () => {
  expect(problems({ bottomLeftToTopRight: undefined, bottomRightToTopLeft: undefined })).toMatchObject([
    { code: 'missing', field: 'bottomLeftToTopRight' },
  ])
  const [problem, ...others] = problems({ bottomRightToTopLeft: 483 })
  expect(others).toEqual([])
  expect(problem).toMatchObject({ code: 'contradiction', field: 'bottomRightToTopLeft', value: '483 mm' })
  // The other five make it 472.7, by the two triangles worked out apart in degrees below.
  const angle = (a: number, b: number, c: number) => Math.acos((a * a + b * b - c * c) / (2 * a * b))
  const turn = angle(420, 478, 246) + angle(478, 239, 398)
  const other = Math.sqrt(420 ** 2 + 239 ** 2 - 2 * 420 * 239 * Math.cos(turn))
  expect(problem?.limit).toContain(`make it ${other.toFixed(1)} mm, and a difference of ${(483 - other).toFixed(1)} mm`)
  expect(problem?.cure).toMatch(/^Measure .* again first; if it alone is wrong it reads about [\d.]+ mm\.$/)
})

test('any readings that belong together make a panel of those sides', () => {
  fc.assert(
    fc.property(any, ({ template, values, facts }) => {
      expect(template.check(values)).toEqual([])
      const face = faceOf(template.develop(values, facts, say))
      expectClosed(face)
      panelOf([face])
      for (const name of ['bottom', 'right', 'top', 'left']) {
        expect(Math.abs(pathLength(edgeOf(face, name)) - Number(values[name]))).toBeLessThan(0.3)
      }
      expect(edgeOf(face, 'bottom').start.y).toBeCloseTo(edgeOf(face, 'right').start.y, 9)
    }),
  )
})
