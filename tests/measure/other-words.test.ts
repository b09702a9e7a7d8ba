import { expect, test } from 'vitest'
import { meantFields } from '../../src/measure/other-words.ts'

const band = [
  'name',
  'shape',
  'copies',
  'allowance',
  'girth',
  'diameter',
  'span',
  'height',
  'gap',
  'overlap',
  'openings',
]
const cone = ['name', 'bottomGirth', 'topGirth', 'bottomDiameter', 'topDiameter', 'slant', 'height', 'gap', 'openings']
const head = ['version', 'title', 'unit', 'film', 'stock', 'machine', 'objects']

test.each<[string, readonly string[], readonly string[]]>([
  ['circumference', band, ['girth']],
  ['circumfrence', band, ['girth']],
  ['Perimeter', band, ['girth']],
  ['dia', band, ['diameter']],
  ['handle', band, ['gap', 'openings']],
  ['holes', band, ['openings']],
  ['quantity', band, ['copies']],
  // of letters alone
  ['heigth', band, ['height']],
  ['girht', band, ['girth']],
  // word by word, however they are joined
  ['lowerCircumference', cone, ['bottomGirth']],
  ['upper_dia', cone, ['topDiameter']],
  ['bottom girth', cone, ['bottomGirth']],
  // a part of several names is meant for each
  ['circumference', cone, ['bottomGirth', 'topGirth']],
  ['plotter', head, ['machine']],
  ['items', head, ['objects']],
  ['units', head, ['unit']],
  // nothing like it
  ['weather', band, []],
  ['', band, []],
])('%s is meant for %j: %j', (name, known, meant) => {
  expect(meantFields(name, known)).toEqual(meant)
})
