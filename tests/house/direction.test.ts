import { readdirSync, readFileSync } from 'node:fs'
import { join, relative, resolve } from 'node:path'
import { expect, test } from 'vitest'

const top = resolve(import.meta.dirname, '../..')

/** What each room may import beside itself; the order is the order of the data flow. */
const may: Record<string, readonly string[]> = {
  measure: [],
  geometry: [],
  picture: ['geometry', 'panel', 'sheet', 'stroke'],
  panel: ['measure', 'geometry', 'picture'],
  templates: ['measure', 'geometry', 'picture', 'panel'],
  sheet: ['measure', 'geometry', 'panel'],
  stroke: ['measure', 'geometry', 'panel', 'sheet'],
  file: ['measure', 'geometry', 'stroke', 'picture'],
  machine: ['measure', 'geometry', 'stroke', 'file'],
  link: ['measure', 'machine'],
  job: ['measure', 'geometry', 'picture', 'panel', 'templates', 'sheet', 'stroke', 'machine', 'file'],
  cli: ['job', 'link'],
  web: ['job', 'link'],
}

const roomOf = (file: string) => {
  const parts = file.split('/')
  return parts[0] === 'templates' ? 'templates' : (parts[1] ?? '')
}

function filesUnder(folder: string): string[] {
  return readdirSync(join(top, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name))
    .map((name) => join(folder, name))
}

const imports = (text: string) => [...text.matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)].map((m) => m[1] as string)

function faults(files: readonly { file: string; text: string }[]): { faults: string[]; seen: number } {
  const found: string[] = []
  let seen = 0
  for (const { file, text } of files) {
    for (const spec of imports(text)) {
      const from = roomOf(file)
      if (!spec.startsWith('.')) {
        if (spec.startsWith('node:') && from !== 'cli' && from !== 'link')
          found.push(`${file} imports ${spec}; only cli and link may use Node's own modules`)
        continue
      }
      seen++
      const to = roomOf(relative(top, resolve(top, file, '..', spec)))
      if (from !== to && !may[from]?.includes(to)) found.push(`${file} imports ${spec}; ${from} may not import ${to}`)
    }
  }
  return { faults: found, seen }
}

test('imports point one way, and only the command line and its links know Node', () => {
  const files = [...filesUnder('src'), ...filesUnder('templates')].map((file) => ({
    file,
    text: readFileSync(join(top, file), 'utf8'),
  }))
  const result = faults(files)
  expect(result.faults).toEqual([])
  expect(result.seen).toBeGreaterThan(100)
})

test('the check itself finds a format that imports a template, and a clock-room that imports Node', () => {
  const bad = [
    { file: 'src/file/svg/cut.ts', text: "import { x } from '../../../templates/index.ts'" },
    { file: 'src/geometry/arc.ts', text: "import { readFileSync } from 'node:fs'" },
  ]
  expect(faults(bad).faults).toHaveLength(2)
})
