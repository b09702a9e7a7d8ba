// The tests that `npm run mutate` asks about a changed line: those of its room, the nearest first, and with fewer draws
// where no test counts what it drew.
import { basename } from 'node:path'
import { defineConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification } from 'vitest/node'
import plain from './.vitest.config.ts'

const tests: Record<string, readonly string[]> = {
  'src/geometry': ['geometry'],
  // without the property tests over every shape, which take half a minute
  'src/panel': ['panel/!(properties)'],
  'src/stroke': ['stroke'],
  'src/file/hpgl': ['file/hpgl'],
}

const manyDraws = /properties|tip-check|bridges|blade|mark-out|write-arcs/

const fewer = (text: string) =>
  text.replace(/(numRuns(?::| =)) ([\d_]+)/g, (_, name, n) => `${name} ${Math.ceil(Number(n.replaceAll('_', '')) / 15)}`)

class NearestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const changed = this.ctx.config.related?.map((file) => basename(file, '.ts')) ?? []
    const rank = ({ moduleId }: TestSpecification) =>
      moduleId.includes('properties') ? 2 : changed.some((name) => basename(moduleId).includes(name)) ? 0 : 1
    return files.toSorted((a, b) => rank(a) - rank(b) || (a.moduleId < b.moduleId ? -1 : 1))
  }
}

const rooms = Object.keys(tests).filter((room) => process.env.ROOM?.includes(room) ?? true)

export default defineConfig({
  plugins: [
    {
      name: 'fewer draws',
      enforce: 'pre',
      transform: (text: string, id: string) => (manyDraws.test(id) ? fewer(text) : undefined),
    },
  ],
  test: {
    ...plain.test,
    include: rooms.flatMap((room) => tests[room] ?? []).map((part) => `tests/${part}{/**/*,}.test.ts`),
    sequence: { sequencer: NearestFirst },
  },
})
