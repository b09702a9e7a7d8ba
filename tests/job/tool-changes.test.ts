import { expect, test } from 'vitest'
import { jobOf, madeOf } from './jobs.ts'

const lids = 'name: paint tin lid, shape: flat-panel, width: 240, height: 230, copies: 8, slit: none'
const benchOf = (more: string) =>
  `stock: { width: 300, length: 3 m }\nmachine: { name: bench cutter, area: { along: 3000, across: 300 }, range: 200000, tools: { pen: 2, kiss: 1, through: 3 }, blade: { offset: 0 }${more} }\n`

const changesOf = async (more: string) => {
  const made = await madeOf(jobOf([lids], benchOf(more)))
  const done = made.checks.flatMap(({ sent }) => sent?.lines.map(({ operation }) => operation) ?? [])
  return {
    changes: done.filter((own, i) => i > 0 && own !== done[i - 1]).length,
    told: made.summary.filter((line) => line.includes('changed')),
  }
}

test('a machine that changes tools itself does a roll section by section, and it is said how often it changes them', async () => {
  const { changes, told } = await changesOf('')
  expect(changes).toBeGreaterThan(5)
  expect(told).toEqual([
    `The tool is changed ${changes} times, because a roll is done section by section. Where a person has to change it, write changedByHand: true into the profile of the machine.`,
  ])
})

test('where a person changes tools, all of one tool is done before the next', async () => {
  expect(await changesOf(', changedByHand: true')).toEqual({ changes: 1, told: [] })
})
