import { expect, test } from 'vitest'
import { loadShapes } from '../../src/job/catalogue.ts'
import { machineLookup } from '../../src/job/machine-lookup.ts'
import { planJob } from '../../src/job/plan-job.ts'
import { jobOf } from './jobs.ts'

const templates = await loadShapes()

/** What a job is told that is cut on a machine of such a profile, which lies beside it. */
async function toldBy(profile: string): Promise<unknown[]> {
  const from = { where: 'beside', file: 'machines/bench.yaml' } as const
  const findMachine = machineLookup([{ name: 'bench', from, text: profile }])
  const text = jobOf(['name: lid, shape: disc, diameter: 150'], 'machine: bench\n')
  const { plan, warnings } = await planJob(text, templates, { findMachine })
  expect(plan).toBeDefined()
  return warnings.map(({ field, text: words }) => `${field}: ${words}`)
}

const inCm = (offset: string) =>
  `name: bench\nunit: cm\narea: { along: 80, across: 60 }\ntools: { pen: 2, kiss: 1, through: 3 }\nblade: { offset: ${offset}, compensate: file }\n`

test('a blade offset that a profile in cm gives bare is doubted, with the file that has it', async () => {
  expect(await toldBy(inCm('0.25'))).toEqual([
    'machine: machines/bench.yaml: blade.offset: 0.25 is read as 0.25 cm, which is 2.5 mm. Write 0.25 mm if that is meant, else 0.25 cm.',
  ])
  expect(await toldBy(inCm('0.25 mm'))).toEqual([])
  expect(await toldBy(inCm('0.025'))).toEqual([])
})

test('readings of one length that a profile has are doubted where the tape does not explain them', async () => {
  const told = await toldBy(inCm('0.25 mm').replace('across: 60', 'across: [60, 60.25]'))
  expect(told).toEqual([
    expect.stringMatching(/^machine: machines\/bench\.yaml: area\.across: readings 60, 60\.25 differ/),
  ])
})

test('a profile that cannot be read says so in sentences, and what to do', async () => {
  const from = { where: 'beside', file: 'machines/bench.yaml' } as const
  const findMachine = machineLookup([
    { name: 'bench', from, unreadable: '"machines/bench.yaml" is a pipe. Name a file.' },
  ])
  expect(findMachine('bench')).toMatchObject({
    limit: '"machines/bench.yaml" is a pipe. Name a file',
    cure: 'Or name another machine.',
  })
})
