import { describe, expect, test } from 'vitest'
import { hpglBytes } from '../../src/file/hpgl/write.ts'
import { writeCutSvg } from '../../src/file/svg/cut.ts'
import { reversed } from '../../src/geometry/path.ts'
import { point } from '../../src/geometry/point.ts'
import { type Matrix, mirrorAcross, scaling, transform, translation, turning } from '../../src/geometry/transform.ts'
import { pieceProblems } from '../../src/job/all-pieces.ts'
import { planProblems } from '../../src/job/as-planned.ts'
import { loadShapes } from '../../src/job/catalogue.ts'
import { hpglOf } from '../../src/job/hpgl-of.ts'
import { makeJob } from '../../src/job/make-job.ts'
import { planJob } from '../../src/job/plan-job.ts'
import { readBack } from '../../src/job/read-back.ts'
import { readBackSvg } from '../../src/job/read-back-svg.ts'
import type { Machine } from '../../src/machine/profile.ts'
import { formatProblem, Refusal } from '../../src/measure/problem.ts'
import type { DrivenStroke, Side } from '../../src/stroke/side.ts'
import type { Stroke } from '../../src/stroke/stroke.ts'

const job = `version: 1
title: Lids
cut: through
machine:
  name: bench
  area: { along: 600, across: 600 }
  tools:
    pen: { number: 2, force: 20, speed: 40 }
    kiss: { number: 1, force: 80, speed: 30 }
    through: { number: 3, force: 120, speed: 10, passes: 2 }
    slit: { number: 4, force: 60, speed: 20 }
  blade: { offset: 0.25, compensate: file, overcut: 0.5 }
stock: { kind: roll, width: 500, length: 10 m, margin: 20 }
layout: { weed: piece }
objects:
  - name: lid
    shape: flat-panel
    copies: 2
    width: 140
    height: 90
    radius: 10
    openings: [{ shape: round, diameter: 20, fromLeft: 20, fromBottom: 30 }]
`
const { plan, problems } = await planJob(job, await loadShapes())
if (!plan) throw new Error(problems.map(formatProblem).join('\n'))
const { machine, objects, cuts } = plan
const [cut] = cuts
if (!cut) throw new Error('nothing is laid')
const { film, liner, sheet } = cut

const back = (bytes: Uint8Array, side: Side = film) =>
  readBack('lids.hpgl', side, side === liner ? 'liner' : 'film', bytes, machine)

/** Everything that is told against a file. */
function refused(bytes: Uint8Array, side: Side = film): string {
  try {
    back(bytes, side)
  } catch (error) {
    if (error instanceof Refusal) return error.problems.map(formatProblem).join('\n')
    throw error
  }
  throw new Error('it is not refused')
}

const written = (driven: readonly Stroke[], on: Machine = machine) => hpglBytes(hpglOf(driven, on))
const text = hpglOf(film.driven, machine)
const changed = (from: string | RegExp, to: string) => {
  const other = text.replace(from, to)
  expect(other).not.toBe(text)
  return hpglBytes(other)
}
const moved = (by: Matrix) => film.driven.map((stroke) => ({ ...stroke, path: transform(stroke.path, by) }))
const number = (is: (stroke: DrivenStroke) => boolean) => {
  const i = film.driven.findIndex(is)
  expect(i).toBeGreaterThanOrEqual(0)
  return i
}
const without = (i: number) => film.driven.filter((_, k) => k !== i)
const opening = number(({ name }) => name === 'lid 1: opening')
const outline = number(({ name }) => name === 'lid 1: outline')
const swapped = film.driven.map((_, i) => film.driven[i === opening ? outline : i === outline ? opening : i])

describe('a file as it was asked for, read back', () => {
  test('passes on both sides, and says by which tool each operation is done', () => {
    const { check } = back(written(film.driven))
    expect(check.worst).toBeLessThan(0.05)
    // two pieces with an outline and an opening each, two crosses of two arms, each gone over twice
    expect(check.tools.find(({ operation }) => operation === 'through')).toEqual({
      operation: 'through',
      pen: 3,
      force: 120,
      speed: 10,
      strokes: 2 * (2 * 2 + 2 * 2),
    })
    expect(check.tools.map(({ operation }) => operation)).toEqual(['pen', 'kiss', 'through'])
    for (const what of ['pen', 'force', 'speed', 'order', 'side', 'passes']) expect(check.compared).toContain(what)
    const turned = back(written(liner.driven), liner).check
    expect(turned.tools).toMatchObject([{ operation: 'slit', pen: 4, force: 60, speed: 20 }])
  })

  test('keeps what commands at the start leave the machine with, where a tool states nothing', () => {
    const own: Machine = { ...machine, start: 'FS33;VS12;', tools: { ...machine.tools, slit: { number: 4 } } }
    const { check } = readBack('lids.hpgl', liner, 'liner', written(liner.driven, own), own)
    expect(check.tools).toMatchObject([{ operation: 'slit', force: 33, speed: 12 }])
  })
})

describe('a fault in the writer is found, and named:', () => {
  const exchanged = { ...machine.tools, kiss: machine.tools.through, through: machine.tools.kiss } as Machine['tools']
  test.each<[string, Uint8Array, RegExp]>([
    [
      'pens exchanged',
      written(film.driven, { ...machine, tools: exchanged }),
      /\(kiss\) is pen 3; pen 1 was asked for/,
    ],
    ['one pen for all', changed(/SP3;/g, 'SP1;'), /\(through\) is pen 1; pen 3 was asked for/],
    ['no pen', changed(/SP\d;/g, ''), /\(pen\) is pen 0; pen 2 was asked for/],
    ['another force', changed('FS120;', 'FS12;'), /\(through\) is force 12; force 120 was asked for/],
    ['no force', changed('FS120;', ''), /\(through\) is force 80; force 120 was asked for/],
    ['another speed', changed('VS30;', 'VS31;'), /\(kiss\) is speed 31; speed 30 was asked for/],
    ['a broken line', changed('SP3;', 'LT2;SP3;'), /is line type 2; no line type of its own was asked for/],
    ['a stroke left out', written(without(opening)), /is \d+ strokes, read back; \d+ were asked for/],
    ['a pass left out', written(without(outline + 1)), /is \d+ strokes, read back; \d+ were asked for/],
    ['the lead-in left out', written(without(number(({ leadIn }) => leadIn === true))), /strokes, read back/],
    ['a stroke twice', written(film.driven.flatMap((s, i) => (i === outline ? [s, s] : [s]))), /strokes, read back/],
    ['scaled by half a percent', written(moved(scaling(1.005, 1.005))), /mm from where it was asked for/],
    ['mirrored', written(moved(mirrorAcross(sheet.length / 2))), /mm from where it was asked for/],
    ['shifted by 0.2 mm', written(moved(translation(0.2, 0))), /is 0\.(19|20)\d mm from where it was asked for/],
    ['turned by a tenth of a degree', written(moved(turning(0.1 * (Math.PI / 180), point(0.1, 0)))), /mm from where/],
    ['outside before inside', written(swapped.filter((s) => s !== undefined)), /lid 1: (opening|outline).* mm from/],
    [
      'a stroke the other way',
      written(film.driven.map((s) => (s.operation === 'pen' ? { ...s, path: reversed(s.path) } : s))),
      /mm from where it was asked for/,
    ],
    ['a lost lift', changed(/PU;\s*PU(\d+,\d+);PD(\d+,\d+)/, 'PD$1;PD$2'), /strokes, read back/],
    ['a lift lost at the end', changed(/PU;\s*PU;PU0,0;SP0;\s*$/, 'PD0,0;'), /at its end with the tool down/],
    ['cut off after half', hpglBytes(text).slice(0, text.length / 2), /lids\.hpgl.* is /],
    ['cut off between commands', hpglBytes(text.slice(0, text.indexOf('PU;', text.length / 2) + 3)), /is /],
    ['a command that draws', changed(/SP0;/, 'LBlid\u0003SP0;'), /written with LB/],
  ])('%s', (_, bytes, told) => {
    const sentences = refused(bytes)
    expect(sentences).toMatch(told)
    expect(sentences).toContain('Nothing was written.')
  })

  test('a slit on the film side, and a cut on the side of the liner', () => {
    const slit = liner.driven.at(-1) as DrivenStroke
    const withSlit = [...film.driven, { ...slit, operation: 'kiss' as const }]
    expect(refused(written(withSlit))).toMatch(/strokes, read back/)
    const planned = { ...film, driven: [...film.driven, slit] }
    expect(refused(written(planned.driven), planned)).toMatch(/slit 1 is a stroke of slit; the film faces the tool/)
    const first = film.driven.at(-1) as DrivenStroke
    const turned = { ...liner, driven: [...liner.driven, first] }
    const faults = planProblems('lids.hpgl', 'liner', turned, machine).map(formatProblem).join('\n')
    expect(faults).toMatch(/is a stroke of through; the liner faces the tool/)
  })

  test('in every dialect: a stroke left out, and pens exchanged', () => {
    for (const dialect of ['compact', 'relative', 'encoded'] as const) {
      const own = { ...machine, dialect }
      expect(back(written(film.driven, own)).check.worst).toBeLessThan(0.05)
      expect(refused(written(without(opening), own))).toMatch(/strokes, read back/)
      expect(refused(written(film.driven, { ...own, tools: exchanged }))).toMatch(/is pen 3; pen 1/)
    }
  })
})

describe('a fault on the way from the panels to the strokes is found, and named:', () => {
  const told = (side: Side) => planProblems('lids.hpgl', 'film', side, machine).map(formatProblem).join('\n')
  const drop = (all: readonly Stroke[], name: string) => all.filter((stroke) => stroke.name !== name)
  const shrunk = (all: readonly Stroke[]) =>
    all.map((stroke) => ({ ...stroke, path: transform(stroke.path, scaling(0.995, 0.995)) }))

  test('none where nothing is wrong', () => {
    expect(told(film)).toBe('')
    expect(planProblems('lids.liner-up.hpgl', 'liner', liner, machine)).toEqual([])
    expect(pieceProblems(objects, cuts)).toEqual([])
  })

  test.each<[string, Side, RegExp]>([
    [
      'a stroke lost in ordering',
      { ...film, strokes: drop(film.strokes, 'lid 2: outline'), tip: drop(film.tip, 'lid 2: outline') },
      /lid 2: outline \(through\) is 0 strokes of 0\.00 mm; 1 stroke of/,
    ],
    [
      'a stroke that comes twice',
      { ...film, strokes: film.strokes.flatMap((s) => (s.name === 'lid 1: opening' ? [s, s] : [s])) },
      /lid 1: opening \(through\) is 2 strokes of/,
    ],
    ['strokes of another size', { ...film, strokes: shrunk(film.strokes), tip: shrunk(film.tip) }, /was asked for/],
    [
      'a pass too few',
      { ...film, tip: film.tip.filter((stroke, i) => stroke.name !== film.tip[i - 1]?.name) },
      /mm in each of 2 passes; .* mm was asked for/,
    ],
    ['an overcut left out', { ...film, tip: film.strokes.flatMap((s) => [s, s]) }, /outline \(through\) is .* passes/],
    [
      'the outside before the inside',
      { ...film, strokes: [...film.strokes].reverse() },
      /lid 1: opening is cut after lid 1: outline; it lies inside that and goes first/,
    ],
    [
      'one line asked for twice',
      {
        ...film,
        asked: film.asked.map((s) => (s.name === 'lid 2: opening' ? { ...s, path: named('lid 1: opening') } : s)),
      },
      /lid 2: opening is the same line as lid 1: opening; a line is cut once/,
    ],
  ])('%s', (_, side, sentence) => {
    expect(told(side)).toMatch(sentence)
  })

  test('a piece that no sheet has', () => {
    const fewer = cuts.map((one) => ({
      ...one,
      film: { ...one.film, strokes: drop(one.film.strokes, 'lid 2: outline') },
    }))
    expect(pieceProblems(objects, fewer).map(formatProblem)).toEqual([
      expect.stringMatching(/^lid 2: outline is cut 0 times; 1 was asked for\./),
    ])
  })

  function named(name: string) {
    const stroke = film.asked.find((each) => each.name === name)
    if (!stroke) throw new Error(`no ${name}`)
    return stroke.path
  }
})

describe('a fault in the SVG is found, and named:', () => {
  const size = { width: sheet.length, height: sheet.width }
  const svg = writeCutSvg(film.strokes, size)
  const refusedSvg = (other: string) => {
    expect(other).not.toBe(svg)
    try {
      readBackSvg('lids.cut.svg', film.strokes, size, other)
    } catch (error) {
      if (error instanceof Refusal) return error.problems.map(formatProblem).join('\n')
      throw error
    }
    throw new Error('it is not refused')
  }
  const of = (strokes: readonly Stroke[], by = size) => writeCutSvg(strokes, by)
  const all = (by: Matrix) => of(film.strokes.map((stroke) => ({ ...stroke, path: transform(stroke.path, by) })))
  const exchangedOperations = film.strokes.map(
    (s): Stroke =>
      s.operation === 'kiss'
        ? { ...s, operation: 'through' }
        : s.operation === 'through'
          ? { ...s, operation: 'kiss' }
          : s,
  )

  test('none where nothing is wrong', () => {
    const { worst, tools } = readBackSvg('lids.cut.svg', film.strokes, size, svg)
    expect(worst).toBeLessThan(0.003)
    expect(tools.find(({ operation }) => operation === 'through')).toEqual({ operation: 'through', strokes: 8 })
  })

  test.each<[string, string, RegExp]>([
    ['operations exchanged', of(exchangedOperations), /strokes of kiss, read back; \d+ were asked for/],
    ['a stroke left out', of(film.strokes.slice(1)), /strokes of pen, read back/],
    ['a stroke twice', of([...film.strokes, ...film.strokes.slice(-1)]), /9 strokes of through, read back; 8 were/],
    ['scaled by half a percent', all(scaling(1.005, 1.005)), /mm from where it was asked for/],
    ['mirrored', all(mirrorAcross(sheet.length / 2)), /mm from where it was asked for/],
    ['shifted', all(translation(0, 0.05)), /is 0\.050 mm from where it was asked for/],
    ['the other order', of([...film.strokes].reverse()), /it belongs to something else|mm from where/],
    [
      'a slit on the film side',
      of([...film.strokes, liner.strokes.at(-1) as Stroke]),
      /1 strokes of slit, read back; 0/,
    ],
    ['another sheet', of(film.strokes, { ...size, height: size.height + 1 }), /the sheet is .* x 500\.000 mm/],
    ['another name', svg.replace('lid 2: outline', 'lid 1: outline'), /called lid 1: outline; it belongs to something/],
  ])('%s', (_, other, told) => {
    expect(refusedSvg(other)).toMatch(told)
  })

  test('cut off', () => {
    expect(() => readBackSvg('lids.cut.svg', film.strokes, size, svg.slice(0, svg.length / 2))).toThrow(Refusal)
  })
})

test('commands of the profile that undo what was asked are refused before anything is written', async () => {
  const own = { ...machine, start: 'LT2;' }
  const { made, problems } = await makeJob(job, await loadShapes(), {
    machine: { machine: own, from: { where: 'file', file: 'own.yaml' } },
  })
  expect(made).toBeUndefined()
  expect(problems.map(formatProblem).join('\n')).toContain('Look at start and end in the profile of the machine')
})

test('a job says what was compared', async () => {
  const { made } = await makeJob(job, await loadShapes())
  expect(made?.summary.join('\n')).toMatch(
    /operation, pen, force, speed, passes, side and order of \d+ strokes of 2 pieces; none is left out, added or cut twice\./,
  )
})
