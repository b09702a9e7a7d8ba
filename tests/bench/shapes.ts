import { readFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { exampleJob, loadShapes } from '../../src/job/catalogue.ts'
import { buildPanels } from '../../src/job/panels.ts'
import { readJob } from '../../src/job/read-job.ts'
import { formatProblem } from '../../src/measure/problem.ts'
import type { Template } from '../../src/panel/template.ts'

const samples = resolve(import.meta.dirname, '../../samples')
const say = (mm: number) => `${mm} mm`

/** Milliseconds of one call: the median of many after a warm-up. */
function millisecondsOf(work: () => unknown): number {
  for (let i = 0; i < 20; i++) work()
  const times = Array.from({ length: 60 }, () => {
    const start = performance.now()
    if (work() === undefined) throw new Error('a job without a result may be optimised away')
    return performance.now() - start
  }).sort((a, b) => a - b)
  return times[30] ?? Number.NaN
}

/** Builds the panels of a job from measures to ticks, slits and labels; reading the job file is not counted. */
function builderOf(text: string, templates: readonly Template[]): () => number {
  const { job, problems } = readJob(text, templates)
  if (!job) throw new Error(problems.map(formatProblem).join('\n'))
  const fonts = new Map(
    job.objects.flatMap((object) => {
      const font = (object as { font?: unknown }).font
      return typeof font === 'string' ? [[font, new Uint8Array(readFileSync(join(samples, font)))] as const] : []
    }),
  )
  return () => {
    const built = buildPanels(job, templates, fonts, true, say)
    if (built.problems.length > 0) throw new Error(built.problems.map(formatProblem).join('\n'))
    return built.objects.reduce((sum, { panels }) => sum + panels.length, 0)
  }
}

/** Every shape's worked example, and a ball of 200 gores, as panels a second and milliseconds each. */
export async function shapeSpeeds(): Promise<void> {
  const templates = await loadShapes()
  const ball = `version: 1
title: Ball
objects:
  - name: ball
    shape: dome
    girth: 4 m
    part: whole
    gores: 200
`
  const jobs = [
    ...templates.map((template) => [template.id, exampleJob(template)] as const),
    ['200-gore ball', ball] as const,
  ]
  for (const [name, text] of jobs) {
    const build = builderOf(text, templates)
    const ms = millisecondsOf(build)
    const panels = build()
    const many = panels === 1 ? '1 panel' : `${panels} panels`
    console.log(`build ${name}: ${ms.toFixed(2)} ms, ${(1000 / ms).toFixed(0)} a second, ${many} (aim: at most 5 ms)`)
  }
}
