import { readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { expect, test } from 'vitest'
import { diagram, templates } from '../../src/job/catalogue.ts'

// A changed drawing is written anew by: npm run diagrams
test('each shape has the where-to-measure diagram that its sketch draws', () => {
  expect(templates.length).toBeGreaterThanOrEqual(3)
  for (const template of templates) {
    const file = resolve(import.meta.dirname, '../../templates', template.id, 'diagram.svg')
    expect(readFileSync(file, 'utf8'), template.id).toBe(diagram(template))
  }
})

test('every measure with a letter has that letter in the diagram', () => {
  for (const template of templates) {
    const words = diagram(template)
    for (const [name, spec] of Object.entries(template.specs)) {
      if (!('letter' in spec) || !spec.letter) continue
      expect(words, `${template.id}.${name}`).toMatch(new RegExp(`[>( ]${spec.letter}(:|  )`))
    }
  }
})
