import { expect, test } from 'vitest'
import { circle, lineTo, openPath, type Path, rectangle } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import type { Problem } from '../../src/measure/problem.ts'
import type { PanelEdge } from '../../src/panel/panel.ts'
import {
  cutOutProblem,
  hingeProblem,
  holeProblems,
  innerProblems,
  lapProblem,
  notchProblems,
  stripProblem,
  swallowProblem,
  tickProblems,
} from '../../src/panel/panel-problems.ts'

const outline = rectangle(point(0, 0), point(200, 100))
const opening = (name: string, path: Path) => ({ name, path })
const said = (problems: readonly Problem[]) => problems.map(({ code, field }) => [code, field])
/** Every part of it is told. */
const isWhole = ({ code, field, value, limit, cure }: Problem) =>
  /^[a-z_]+$/.test(code) && field !== '' && value.length > 3 && limit.length > 12 && /^[A-Z].+\.$/.test(cure ?? '')

const edge = (allowance: number, lapped = false): PanelEdge => {
  const path = openPath(point(0, 0), lineTo(point(200, 0)))
  return { name: 'bottom', bare: path, outline: path, radius: 0, allowance, lapped }
}

test('insets that leave nothing are told edge by edge, with the size of the bare panel', () => {
  const edges = ['bottom', 'top'].map((name) => ({ name, path: openPath(point(0, 0), lineTo(point(200, 0))) }))
  const problem = swallowProblem('lid', outline, edges, [-60, -45])
  expect(problem).toMatchObject({ field: 'lid.allowance', value: 'bottom -60 mm, top -45 mm' })
  expect(problem.limit).toContain('200.0 x 100.0 mm')
  expect(isWhole(problem)).toBe(true)
})

test('each way in which an opening spoils the panel is told by the opening', () => {
  const openings = [opening('opening 1', outline), opening('opening 2', outline)]
  const kinds = ['splits', 'swallows', 'outside', 'touches'] as const
  const problems = kinds.map((problem) => cutOutProblem('lid', openings, { problem, opening: 1 }))
  expect(said(problems)).toEqual(kinds.map((kind) => [`opening_${kind}`, 'lid.opening 2']))
  expect(problems.filter((problem) => !isWhole(problem))).toEqual([])
  expect(new Set(problems.map(({ value }) => value)).size).toBe(4)
})

test('an opening keeps 2 mm from the edge', () => {
  const near = (gap: number) => {
    const hole = rectangle(point(gap, 40), point(gap + 20, 60))
    return holeProblems('lid', [opening('opening 1', hole)], [hole], outline)
  }
  expect(said(near(1.9))).toEqual([['opening_near_edge', 'lid.opening 1']])
  expect(near(1.9).every(isWhole)).toBe(true)
  expect(near(2.1)).toEqual([])
  expect(holeProblems('lid', [], [], outline)).toEqual([])
})

test('openings keep 2 mm from each other, any two of them', () => {
  const holes = [20, 100, 141.9].map((x) => circle(point(x, 50), 20))
  // The first is 20 mm in from the left; the others are 1.9 mm apart.
  const openings = holes.map((path, i) => opening(`opening ${i + 1}`, path))
  const inside = holes.slice(1)
  const found = holeProblems('lid', openings, inside, outline)
  expect(said(found)).toEqual([['openings_too_near', 'lid.opening 2']])
  expect(found[0]?.value).toContain('opening 3')
  expect(found.every(isWhole)).toBe(true)
  const apart = [100, 142.1].map((x) => circle(point(x, 50), 20))
  expect(holeProblems('lid', openings, apart, outline)).toEqual([])
  // Not the neighbours in the list alone.
  const three = [circle(point(50, 30), 10), circle(point(150, 30), 10), circle(point(50, 51.5), 10)]
  const names = three.map((path, i) => opening(`opening ${i + 1}`, path))
  expect(said(holeProblems('lid', names, three, outline))).toEqual([['openings_too_near', 'lid.opening 1']])
})

test('what is cut inside keeps 1 mm of film round it', () => {
  const letter = (gap: number) => [rectangle(point(gap, 40), point(gap + 30, 60))]
  expect(said(innerProblems('lid', letter(0.9), outline))).toEqual([['inset_cuts_inside', 'lid.allowance']])
  expect(innerProblems('lid', letter(0.9), outline).every(isWhole)).toBe(true)
  expect(innerProblems('lid', letter(1.1), outline)).toEqual([])
  expect(innerProblems('lid', [], outline)).toEqual([])
  expect(innerProblems('lid', [...letter(50), ...letter(0.5)], outline)).toHaveLength(1)
})

test('a notch needs 1.5 mm of allowance', () => {
  const found = notchProblems('lid', [edge(1.4), edge(1.6)])
  expect(found).toMatchObject([{ code: 'notch_needs_allowance', field: 'lid.allowance.bottom', value: '1.4 mm' }])
  expect(found.every(isWhole)).toBe(true)
})

test('a notch keeps 1.2 mm from a corner, at either end of its edge', () => {
  const at = (length: number, role: 'seam' | 'hinge' = 'hinge', own: PanelEdge | undefined = edge(3)) =>
    tickProblems('lid', [{ spot: { at: point(length, 0), heading: point(1, 0), edge: own, length }, role }])
  for (const length of [1.1, 198.9]) {
    expect(said(at(length))).toEqual([['notch_needs_room', 'lid.allowance']])
    expect(at(length)[0]?.value).toContain('1.10 mm')
    expect(said(at(length, 'seam'))).toEqual([['notch_needs_room', 'lid.overlap']])
    expect(at(length).every(isWhole)).toBe(true)
  }
  expect([at(1.3), at(198.7)]).toEqual([[], []])
  // On the rim of an opening, and on a lap too narrow for notches, the tick goes into the waste.
  expect(
    tickProblems('lid', [
      { spot: { at: point(1, 0), heading: point(1, 0), edge: undefined, length: 1 }, role: 'hinge' },
    ]),
  ).toEqual([])
  expect(at(1.1, 'seam', edge(1, true))).toEqual([])
  expect(at(1.1, 'seam', edge(10, true))).toHaveLength(1)
})

test('a panel that meets itself is told of a gap only where its shape may have one', () => {
  expect(lapProblem('tin', true).cure).toContain('give a gap')
  expect(lapProblem('tin', false).cure).not.toContain('gap')
  expect(isWhole(lapProblem('tin', false))).toBe(true)
})

test('the others name the panel too', () => {
  expect(said([lapProblem('lid', true), hingeProblem('lid'), stripProblem('lid', 40)])).toEqual([
    ['panel_overlaps_itself', 'lid'],
    ['hinge_off_panel', 'lid.allowance'],
    ['strip_too_wide', 'lid.strip'],
  ])
  expect([lapProblem('lid', true), hingeProblem('lid'), stripProblem('lid', 40)].every(isWhole)).toBe(true)
  expect(stripProblem('lid', 40).value).toBe('40 mm')
})
