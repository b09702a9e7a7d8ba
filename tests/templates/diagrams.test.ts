import { readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { expect, test } from 'vitest'
import { catalogueDrawing, diagram, loadShapes } from '../../src/job/catalogue.ts'
import { makeJob } from '../../src/job/make-job.ts'

const templates = await loadShapes()

// A changed drawing is written anew by: npm run diagrams
test('each shape has the where-to-measure diagram that its sketch draws', () => {
  expect(templates.length).toBeGreaterThanOrEqual(3)
  for (const template of templates) {
    const file = resolve(import.meta.dirname, '../../templates', template.id, 'diagram.svg')
    expect(readFileSync(file, 'utf8'), template.id).toBe(diagram(template))
  }
})

test('the catalogue page in samples is the one that the shapes make', () => {
  const file = resolve(import.meta.dirname, '../../samples/shapes.svg')
  expect(readFileSync(file, 'utf8')).toBe(catalogueDrawing(templates))
})

test('the panel of the pail that the README shows is the one that its job makes', async () => {
  const samples = resolve(import.meta.dirname, '../../samples')
  const { made } = await makeJob(readFileSync(resolve(samples, 'tool-library.yaml'), 'utf8'), templates)
  const file = made?.files.find(({ name }) => name === 'panel-lidded-pail.svg')
  expect(readFileSync(resolve(samples, 'lidded-pail.svg'), 'utf8')).toBe(new TextDecoder().decode(file?.bytes))
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
