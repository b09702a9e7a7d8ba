import { expect, test } from 'vitest'
import { parse } from 'yaml'
import {
  append,
  duplicateObject,
  emptyJob,
  freeName,
  move,
  readText,
  removeAt,
  removeIn,
  setIn,
  typedValue,
} from '../../src/web/job-text.ts'

const job = `# The shed's tins, 2026.
version: 1
title: Tins        # shown on paper
stock: { width: 630 }   # the grey roll
objects:
  # the red one
  - name: tin
    shape: straight-band
    girth: [534, 534.5]   # two readings
    height: 9.5 cm
  # the lid
  - name: lid
    shape: disc
    diameter: 168
    openings:
      - { shape: round, diameter: 22 }
# end of list
paper: A4
`

test('a changed value changes nothing else of the text', () => {
  expect(setIn(job, ['objects', 0, 'height'], '3 7/16 in')).toBe(job.replace('9.5 cm', '3 7/16 in'))
  expect(setIn(job, ['objects', 0, 'girth'], [534, '53.4 cm'])).toBe(job.replace('[534, 534.5]', '[534, 53.4 cm]'))
  expect(setIn(job, ['objects', 0, 'girth'], 540)).toBe(job.replace('[534, 534.5]', '540'))
  expect(setIn(job, ['stock', 'width'], 1220)).toBe(job.replace('630', '1220'))
  expect(setIn(job, ['title'], 'Tins: red')).toBe(
    job.replace('Tins  ', "'Tins: red'  ").replace("'Tins", '"Tins').replace("red'", 'red"'),
  )
})

test('a new field stands on a line of its own at the end of its table', () => {
  expect(setIn(job, ['objects', 0, 'gap'], '4 mm')).toBe(job.replace('9.5 cm\n', '9.5 cm\n    gap: 4 mm\n'))
  expect(setIn(job, ['stock', 'length'], '10 m')).toBe(job.replace('630 }', '630, length: 10 m }'))
  expect(setIn(job, ['machine', 'blade', 'offset'], 2)).toBe(`${job}machine:\n  blade:\n    offset: 2\n`)
  const named = `${job}machine: wide-roll\n`
  expect(setIn(named, ['machine', 'cut'], 2)).toMatch(/like: wide-roll/)
  expect(setIn(job, ['objects', 1, 'copies'], 3)).toBe(
    job.replace('diameter: 22 }\n', 'diameter: 22 }\n    copies: 3\n'),
  )
})

test('a removed field takes its line with it, and tables left empty', () => {
  expect(removeIn(job, ['objects', 0, 'height'])).toBe(job.replace('    height: 9.5 cm\n', ''))
  expect(removeIn(job, ['paper'])).toBe(job.replace('paper: A4\n', ''))
  const emptied = removeIn(job, ['stock', 'width'])
  expect(emptied).toBe(job.replace('stock: { width: 630 }   # the grey roll\n', ''))
  expect(removeIn(job, ['nothing', 'there'])).toBe(job)
})

test('objects are added, doubled, moved and removed with their comments', () => {
  const more = append(job, ['objects'], { name: 'box', shape: 'box-sleeve' })
  expect(more).toBe(job.replace('# end', '  - name: box\n    shape: box-sleeve\n# end'))
  const first = append(emptyJob, ['objects'], { name: 'box', shape: 'box-sleeve' })
  expect(first).toBe(emptyJob.replace('objects: []', 'objects:\n  - name: box\n    shape: box-sleeve'))
  expect(removeAt(job, ['objects'], 0)).toBe(
    job.slice(0, job.indexOf('  # the red')) + job.slice(job.indexOf('  # the lid')),
  )
  expect(parse(removeAt(first, ['objects'], 0)).objects).toEqual([])
  const twice = duplicateObject(job, 0, 'tin 2')
  expect(parse(twice).objects.map((o: { name: string }) => o.name)).toEqual(['tin', 'tin 2', 'lid'])
  expect(twice.match(/# two readings/g)).toHaveLength(2)
  const moved = move(job, ['objects'], 1, 0)
  expect(moved.indexOf('# the lid')).toBeLessThan(moved.indexOf('# the red one'))
  expect(move(moved, ['objects'], 0, 1)).toBe(job)
  expect(append(job, ['objects', 1, 'openings'], { shape: 'round', diameter: 9 })).toContain(
    '- shape: round\n        diameter: 9',
  )
})

test('every comment is still there after any edit', () => {
  const edits = [
    setIn(job, ['stock'], { width: 300 }),
    setIn(job, ['objects', 1, 'openings', 0, 'radius'], 5),
    removeIn(job, ['objects', 1, 'openings', 0, 'shape']),
    append(job, ['objects', 0, 'points'], { fromLeft: 5, fromBottom: 6 }),
  ]
  for (const edited of edits) {
    for (const comment of [
      'shed',
      'shown on paper',
      'the grey roll',
      'the red one',
      'two readings',
      'the lid',
      'end of',
    ]) {
      expect(edited).toContain(comment)
    }
  }
  expect(readText(edits[1] as string)?.objects).toMatchObject([{}, { openings: [{ radius: 5 }] }])
})

test('digits are a number and all else words, as typed', () => {
  expect(['12', '9.5', '-3', '0'].map(typedValue)).toEqual([12, 9.5, -3, 0])
  for (const words of ['9,5', '3 7/16 in', '5\' 3"', '1e5', '007', 'NaN', '"', '# 3', '- 3', '1:2', 'true']) {
    expect(typedValue(words)).toBe(words)
    expect(parse(setIn(job, ['objects', 0, 'height'], words)).objects[0].height).toBe(words)
    expect(parse(setIn(job, ['objects', 0, 'girth'], [1, words])).objects[0].girth).toEqual([1, words])
  }
})

test('names that are taken are not given again', () => {
  expect(freeName(job, 'box')).toBe('box')
  expect(freeName(job, 'tin')).toBe('tin 2')
})
