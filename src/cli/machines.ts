import { writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'
import type { Command } from 'commander'
import { codeOf, makeFolder, why } from './disk.ts'
import { writeFolder } from './folder.ts'
import { inFolder, isProfileName, type ProfileFolder, profilesIn } from './machine-profiles.ts'
import type { Voice } from './run.ts'
import { addSimulate } from './simulate.ts'
import { Stop } from './stop.ts'
import { textOfFile } from './text-of-file.ts'

const load = () => import('../job/machines.ts')
type Machines = Awaited<ReturnType<typeof load>>
type Read = ReturnType<Machines['readProfile']>
type Machine = NonNullable<Read['machine']>
type FoundMachine = Exclude<ReturnType<ReturnType<Machines['machineLookup']>>, { code: string }>

/** A profile that was found, with its text. */
export interface Found extends FoundMachine {
  readonly text: string
}

/**
 * The machine of that name, by the rule for all; or, of a name with an ending, that file. Throws a `Stop` with what to
 * do where there is none or it is refused.
 */
export async function findMachine(name: string, folders: readonly ProfileFolder[]): Promise<Found> {
  const { machineLookup, readProfile, withShipped } = await load()
  if (isProfileName(name)) {
    const text = await textOfFile(name)
    const { machine, problems, warnings: doubts } = readProfile(text)
    if (machine) return { machine, from: { where: 'file', file: name }, doubts, text }
    throw await refusal(name, problems)
  }
  const own = await profilesIn(folders)
  const found = machineLookup(own)(name)
  const profile = withShipped(own).find((each) => each.name === name)
  if ('machine' in found) return { ...found, text: profile?.text ?? '' }
  if (found.code === 'unknown_machine') {
    const { limit, cure } = found
    const hint = cure.startsWith('Did you mean') ? cure : `There are ${limit.replace(/^.*: /, '')}.`
    throw new Stop(`There is no machine ${name}. ${hint}`, 1)
  }
  const file = profile?.from.file ?? name
  if (profile?.text === undefined) throw new Stop(`${file}: ${profile?.unreadable ?? found.limit}`, 3)
  throw await refusal(file, readProfile(profile.text).problems)
}

async function refusal(file: string, problems: Read['problems']): Promise<Stop> {
  const { formatProblem } = await import('../job/problems.ts')
  const n = problems.length
  const lines = problems.map((p) => `  ${formatProblem(p)}`)
  return new Stop(`${file}: ${n} ${n === 1 ? 'problem' : 'problems'}.\n${lines.join('\n')}`, 1)
}

/** Writes a file that is not there yet. */
async function writeNew(file: string, text: string): Promise<void> {
  try {
    await makeFolder(dirname(file))
    await writeFile(file, text, { flag: 'wx' })
  } catch (error) {
    if (codeOf(error) === 'EEXIST')
      throw new Stop(`${file} is there already and stays as it is. Choose another name.`, 3)
    throw new Stop(`${file} cannot be written: ${why(error)}.`, 3)
  }
}

/** Adds the command `machines` with what belongs to it. */
export function addMachines(program: Command, voice: Voice): void {
  const machines = program
    .command('machines')
    .option('--own <folder>', 'folder of profiles of your own', 'machines')
    .description('the machine profiles, and what finds the truth about a machine')
    .action(() => list(folders(), voice))
  const folders = () => inFolder(machines.opts<{ own: string }>().own)
  machines
    .command('show')
    .argument('<name>', 'a machine')
    .description('print its profile')
    .action(async (name: string) => voice.out((await findMachine(name, folders())).text))
  machines
    .command('check')
    .argument('<file>', 'a profile (YAML)')
    .description('say what is wrong with a profile, or what the machine is')
    .action((file: string) => check(file, voice))
  machines
    .command('copy')
    .argument('<name>', 'a machine')
    .argument('<file>', 'profile to write; one that is there stays as it is')
    .description('begin a profile of your own')
    .action(async (name: string, file: string) => {
      await writeNew(file, (await findMachine(name, folders())).text)
      voice.out(`Written to ${file}. Correct it, then: midtick machines check ${file}\n`)
    })
  machines
    .command('schema')
    .description('print the JSON Schema of a profile')
    .action(async () => voice.out(`${JSON.stringify((await load()).profileJsonSchema(), null, 2)}\n`))
  machines
    .command('test')
    .argument('<name>', 'a machine')
    .requiredOption('--out <folder>', 'folder to write; an earlier test piece there is replaced as a whole')
    .description('write a test piece that shows its scale, skew, blade offset, force and speed')
    .action(async (name: string, { out }: { out: string }) => test(await findMachine(name, folders()), out, voice))
  machines
    .command('measure')
    .argument('<name>', 'the machine that cut the test piece')
    .argument('<file>', 'readings of the test piece (YAML)')
    .option('--out <file>', 'changed profile to write; one that is there stays as it is')
    .description('work out scale, skew and blade offset from a test piece')
    .action(async (name: string, file: string, { out }: { out?: string }) =>
      measure(await findMachine(name, folders()), file, out, voice),
    )
  addSimulate(machines, folders, voice)
}

async function list(folders: readonly ProfileFolder[], voice: Voice): Promise<void> {
  const { placeWords, readProfile, withShipped } = await load()
  const all = withShipped(await profilesIn(folders))
  const wide = Math.max(...all.map(({ name }) => name.length)) + 2
  const seen = new Set<string>()
  for (const { name, from, text, unreadable } of all) {
    const hidden = seen.has(name) ? ', not used: that name stands above' : ''
    const what = text === undefined ? `cannot be read: ${unreadable}` : whatIs(readProfile(text))
    voice.out(`${name.padEnd(wide)}${what}; ${placeWords(from)}${hidden}\n`)
    seen.add(name)
  }
  voice.out('\nmidtick machines show NAME prints one, copy NAME FILE begins your own.\n')
}

function whatIs({ machine, problems }: Read): string {
  const n = problems.length
  return machine ? sizeOf(machine) : `cannot be used: ${n} ${n === 1 ? 'problem' : 'problems'}`
}

const round = (n: number) => Number(n.toFixed(3))

const sizeOf = ({ byHand, film, area }: Machine) =>
  byHand ? 'no cutter: paper alone is written' : `${film}, ${round(area.x)} x ${round(area.y)} mm`

async function check(file: string, voice: Voice): Promise<void> {
  const { readProfile } = await load()
  const { machine, problems, warnings } = readProfile(await textOfFile(file))
  if (!machine) throw await refusal(file, problems)
  for (const doubt of warnings) voice.err(`Look again: ${doubt.text}\n`)
  const { unitsPerMm, axes, blade, tools, range, skew } = machine
  const degrees = round((skew * 180) / Math.PI)
  const used = Object.entries(tools).map(([operation, tool]) => `${operation} by pen ${tool?.number}`)
  const held = `${blade.offset} mm, made up for ${blade.compensate === 'file' ? 'in the cut files' : 'by the machine'}`
  voice.out(`${machine.name}: ${sizeOf(machine)}\n`)
  voice.out(
    `  counts from ${axes.origin}${axes.swap ? ', X across the film' : ''}${axes.handed ? ', left-handed' : ''}, to ${range} units\n`,
  )
  voice.out(`  ${round(unitsPerMm.x)} and ${round(unitsPerMm.y)} units in a mm along X and Y, skew ${degrees} deg\n`)
  voice.out(`  blade offset ${held}\n`)
  voice.out(`  ${used.join(', ')}\n`)
}

async function test(found: Found, out: string, voice: Voice): Promise<void> {
  const { machineLine, writeTestPiece } = await load()
  const { machine } = found
  const written = writeTestPiece(machine)
  if ('problems' in written) throw await refusal(found.name ?? machine.name, written.problems)
  const encoder = new TextEncoder()
  const names = [...written.files.map((file) => file.name), 'report.json']
  const report = `${JSON.stringify({ midtick: 1, machine, files: names }, null, 1)}\n`
  await writeFolder(out, [...written.files, { name: 'report.json', bytes: encoder.encode(report) }])
  for (const doubt of found.doubts ?? []) voice.err(`Look again: ${doubt.text}\n`)
  voice.out(`${machineLine(found)}\n`)
  voice.out(`Written to ${out}: ${names.length} files. Start with read-me.txt.\n`)
}

async function measure(profile: Found, file: string, out: string | undefined, voice: Voice) {
  const { calibrate, changedProfile, machineLine, readTestReadings } = await load()
  const { text, machine } = profile
  const { readings, problems } = readTestReadings(await textOfFile(file))
  if (!readings) throw await refusal(file, problems)
  voice.out(`${machineLine(profile)}\n`)
  const found = calibrate(machine, readings)
  for (const doubt of found.doubts) voice.err(`Look again: ${doubt}\n`)
  for (const { name: length, read, fitted } of found.lengths) {
    voice.out(`  ${length.padEnd(12)}${read.toFixed(2)} mm read, ${fitted.toFixed(2)} mm by the result\n`)
  }
  const changed = changedProfileOrStop(() => changedProfile(text, machine, found))
  for (const change of changed.changes) voice.out(`Change ${change}\n`)
  for (const kept of changed.kept) voice.out(`Keep   ${kept}, within what the readings can tell\n`)
  if (out !== undefined) {
    await writeNew(out, changed.text)
    voice.out(`Written to ${out}.\n`)
  } else if (changed.changes.length > 0) {
    voice.out(
      `midtick machines measure ${profile.name ?? profile.from.file} ${file} --out FILE writes the profile with these changes.\n`,
    )
  }
}

function changedProfileOrStop<T>(make: () => T): T {
  try {
    return make()
  } catch (error) {
    if (error instanceof RangeError) throw new Stop(error.message, 1)
    throw error
  }
}
