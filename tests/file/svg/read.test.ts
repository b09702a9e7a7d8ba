import { describe, expect, test } from 'vitest'
import { readCutSvg } from '../../../src/file/svg/read.ts'
import { formatProblem, Refusal } from '../../../src/measure/problem.ts'

const root = 'xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10"'
const group = (inside: string, more = '') => `<svg ${root}>\n<g data-operation="kiss"${more}>\n${inside}\n</g>\n</svg>`

function problemsOf(text: string): readonly string[] {
  try {
    readCutSvg(text)
  } catch (error) {
    if (error instanceof Refusal) return error.problems.map(formatProblem)
    throw error
  }
  return []
}

describe('a foreign SVG', () => {
  test.each([
    [
      'a transform',
      group('<path d="M 0 0 L 1 1"/>', ' transform="scale(2)"'),
      'line 2, column 1: the cut file is attribute transform of <g>',
    ],
    [
      'a style',
      group('<path d="M 0 0 L 1 1" style="display:none"/>'),
      'line 3, column 1: the cut file is attribute style of <path>',
    ],
    ['a text', group('<text>a</text>'), 'line 3, column 1: the cut file is <text>'],
    ['a use', group('<use href="#a"/>'), 'line 3, column 1: the cut file is <use>'],
    ['a nested drawing', group('<svg/>'), 'line 3, column 1: the cut file is <svg>'],
    ['loose words', group('cut here'), 'the cut file is text in <g>'],
    ['relative path data', group('<path d="M 0 0 l 1 1"/>'), 'line 3, column 1: path data at character 7 is "l 1 1"'],
    ['a path without data', group('<path/>'), 'line 3, column 1: path data at character 1 is at its end'],
    [
      'an unknown operation',
      group('').replace('kiss', 'burn'),
      'line 2, column 1: the cut file is data-operation "burn"',
    ],
    [
      'a size in pixels',
      group('').replace('20mm', '20px'),
      'line 1, column 1: width is "20px"; a length in mm is needed',
    ],
    ['a missing size', group('').replace('height="10mm"', ''), 'height is ""; a length in mm is needed'],
    ['another scale', group('').replace('0 0 20 10', '0 0 200 100'), 'viewBox is "0 0 200 100"; 1:1 needs "0 0 20 10"'],
    ['a moved origin', group('').replace('0 0 20 10', '5 0 20 10'), 'viewBox is "5 0 20 10"; 1:1 needs "0 0 20 10"'],
    ['another document', '<html/>', 'the cut file is <html>; a drawing starts with <svg>'],
    ['a document type', `<!DOCTYPE svg>${group('')}`, 'a document type may not be given'],
    ['a cut-off file', group('').slice(0, 90), 'the SVG file is not readable'],
    ['an empty file', '', 'the SVG file is not readable'],
  ])('with %s is refused by name and place', (_, text, words) => {
    expect(problemsOf(text).join('\n')).toContain(words)
  })

  test('is refused for everything in it at once', () => {
    const text = group('<path d="M 0 0 L 1"/>\n<rect/>', ' class="a"').replace('20mm', '20')
    expect(problemsOf(text).map((problem) => problem.split(';')[0])).toEqual([
      'line 2, column 1: the cut file is attribute class of <g>',
      'line 4, column 1: the cut file is <rect>',
      'line 1, column 1: width is "20"',
      'line 3, column 1: path data at character 10 is at its end',
    ])
  })
})

test('comments and spaces change nothing', () => {
  expect(readCutSvg(group('<!-- a note --><path d=" M 0 0 L 1 1 " data-name="a"/>')).strokes.length).toBe(1)
})
