import { dirname, join, resolve } from 'node:path'
import type { Planned } from '../job/plan-job.ts'
import { besideJob, profilesIn } from './machine-profiles.ts'
import { ownShapes } from './own-shapes.ts'
import type { Voice } from './run.ts'
import { readBytes, textOfFile } from './text-of-file.ts'

/** A job file's text with the shapes it may need, and what reads the files and machines that it names. */
export async function jobOnDisk(file: string, own: string | undefined, voice: Pick<Voice, 'err'>) {
  const text = await textOfFile(file)
  const [{ shapesNamedIn, shapeIds }, { machineLookup }, profiles, found] = await Promise.all([
    import('../job/catalogue.ts'),
    import('../job/machine-lookup.ts'),
    profilesIn(besideJob(file)),
    ownShapes(own ?? join(dirname(file), 'shapes')),
  ])
  for (const refusal of found.refused) voice.err(`Look again: ${refusal}\n`)
  const templates = [...(await shapesNamedIn(text)), ...found.templates]
  const options = {
    shapeIds: [...shapeIds, ...found.templates.map(({ id }) => id)],
    readFile: (name: string) => readBytes(resolve(dirname(file), name)),
    findMachine: machineLookup(profiles),
  }
  return { text, templates, options }
}

/** A job file worked out as far as where its pieces lie; `anew`: whatever places were found before. */
export async function planFile(
  file: string,
  own: string | undefined,
  voice: Pick<Voice, 'err'>,
  anew = false,
): Promise<Planned> {
  const [{ text, templates, options }, { planJob }] = await Promise.all([
    jobOnDisk(file, own, voice),
    import('../job/plan-job.ts'),
  ])
  return planJob(text, templates, { ...options, anew })
}
