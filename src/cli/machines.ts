import { mkdir, readdir, writeFile } from 'node:fs/promises'
import { homedir } from 'node:os'
import { basename, dirname, extname, join } from 'node:path'
import type { Command } from 'commander'
import { codeOf, why } from './disk.ts'
import { writeFolder } from './folder.ts'
import type { Voice } from './run.ts'
import { addSimulate } from './simulate.ts'
import { Stop } from './stop.ts'
import { textOfFile } from './text-of-file.ts'

const load = () => import('../job/machines.ts')
type Machines = Awaited<ReturnType<typeof load>>
type Read = ReturnType<Machines['readProfile']>
type Machine = NonNullable<Read['machine']>
type Problem = Read['problems'][number]

/** A profile that was found, with its text. */
export interface Found {
  readonly name: string
  /** the file, or undefined for one that comes along */
  readonly file: string | undefined
  readonly text: string
  readonly machine: Machine
}

interface Candidate {
  readonly name: string
  readonly file: string | undefined
  readonly text: string
}

const endings: readonly string[] = ['.yaml', '.yml']

/** Where profiles are looked for, the first before the others: folders of one's own, then the user's configuration. */
export function machineFolders(...own: readonly string[]): string[] {
  const configuration = process.env.XDG_CONFIG_HOME || join(homedir(), '.config')
  return [...new Set([...own, join(configuration, 'midtick', 'machines')])]
}

/**
 * The machine of that name: the profile `name.yaml` in the first folder that has one, or one that comes along; or, of
 * a name with an ending, that file. Throws a `Stop` with what to do where there is none or it is refused.
 */
export async function findMachine(name: string, folders: readonly string[]): Promise<Found> {
  const { readProfile, nearestWord } = await load()
  if (endings.includes(extname(name))) return taken({ name, file: name, text: await textOfFile(name) }, readProfile)
  const all = await candidates(folders)
  const found = all.find((c) => c.name === name)
  if (found) return taken(found, readProfile)
  const names = [...new Set(all.map((c) => c.name))]
  const near = nearestWord(name, names)
  throw new Stop(`There is no machine ${name}. ${near ? `Did you mean ${near}?` : `There are ${names.join(', ')}.`}`, 1)
}

/**
 * What a job that names a machine asks with: the machine of that name, or one problem to tell. Profiles are read
 * beforehand; of one that is refused the first problem is told.
 */
export async function machineFinder(folders: readonly string[]): Promise<(name: string) => Machine | Problem> {
  const { readProfile, nearestWord } = await load()
  const all = await candidates(folders)
  return (name) => {
    const found = all.find((c) => c.name === name)
    if (found) {
      const { machine, problems } = readProfile(found.text)
      if (machine) return machine
      const [first] = problems
      const { place: _, ...rest } = first as Problem
      const check = found.file === undefined ? '' : ` midtick machines check ${found.file} shows everything.`
      return { ...rest, field: `machine ${name}: ${rest.field}`, cure: `${rest.cure}${check}` }
    }
    const names = [...new Set(all.map((c) => c.name))]
    const near = nearestWord(name, names)
    return {
      code: 'unknown_machine',
      field: 'machine',
      value: `"${name}"`,
      limit: `the machines there are: ${names.join(', ')}`,
      cure: near ? `Did you mean ${near}?` : 'Put its profile into a folder called machines beside the job.',
    }
  }
}

async function taken(found: Candidate, readProfile: (text: string) => Read): Promise<Found> {
  const { machine, problems } = readProfile(found.text)
  if (machine) return { ...found, machine }
  throw await refusal(found.file ?? found.name, problems)
}

async function refusal(file: string, problems: Read['problems']): Promise<Stop> {
  const { formatProblem } = await import('../job/problems.ts')
  const n = problems.length
  const lines = problems.map((p) => `  ${formatProblem(p)}`)
  return new Stop(`${file}: ${n} ${n === 1 ? 'problem' : 'problems'}.\n${lines.join('\n')}`, 1)
}

/** Every profile, own ones first; one whose name stood before is not looked at by `findMachine`. */
async function candidates(folders: readonly string[]): Promise<Candidate[]> {
  const { shipped } = await load()
  const own: Candidate[] = []
  for (const folder of folders) {
    for (const file of await profilesIn(folder)) {
      own.push({ name: basename(file, extname(file)), file, text: await textOfFile(file) })
    }
  }
  return [...own, ...shipped.map(({ name, text }) => ({ name, file: undefined, text }))]
}

async function profilesIn(folder: string): Promise<string[]> {
  try {
    const entries = await readdir(folder, { withFileTypes: true })
    return entries
      .filter((entry) => !entry.isDirectory() && endings.includes(extname(entry.name)) && !entry.name.startsWith('.'))
      .map((entry) => join(folder, entry.name))
      .sort()
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return []
    throw new Stop(`${folder} cannot be read: ${codeOf(error) === 'ENOTDIR' ? 'it is a file' : why(error)}.`, 3)
  }
}

/** Writes a file that is not there yet. */
async function writeNew(file: string, text: string): Promise<void> {
  try {
    await mkdir(dirname(file), { recursive: true })
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
  const folders = () => machineFolders(machines.opts<{ own: string }>().own)
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

async function list(folders: readonly string[], voice: Voice): Promise<void> {
  const { readProfile } = await load()
  const all = await candidates(folders)
  const wide = Math.max(...all.map(({ name }) => name.length)) + 2
  const seen = new Set<string>()
  for (const { name, file, text } of all) {
    const { machine, problems } = readProfile(text)
    const n = problems.length
    const what = machine ? sizeOf(machine) : `cannot be used: ${n} ${n === 1 ? 'problem' : 'problems'}`
    const hidden = seen.has(name) ? ', not used: that name stands above' : ''
    voice.out(`${name.padEnd(wide)}${what}; ${file ?? 'comes along'}${hidden}\n`)
    seen.add(name)
  }
  voice.out('\nmidtick machines show NAME prints one, copy NAME FILE begins your own.\n')
}

const round = (n: number) => Number(n.toFixed(3))

const sizeOf = ({ byHand, film, area }: Machine) =>
  byHand ? 'no cutter: paper alone is written' : `${film}, ${round(area.x)} x ${round(area.y)} mm`

async function check(file: string, voice: Voice): Promise<void> {
  const { readProfile } = await load()
  const { machine, problems } = readProfile(await textOfFile(file))
  if (!machine) throw await refusal(file, problems)
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

async function test({ name, machine }: Found, out: string, voice: Voice): Promise<void> {
  const { writeTestPiece } = await load()
  const written = writeTestPiece(machine)
  if ('problems' in written) throw await refusal(name, written.problems)
  const encoder = new TextEncoder()
  const names = [...written.files.map((file) => file.name), 'report.json']
  const report = `${JSON.stringify({ midtick: 1, machine, files: names }, null, 1)}\n`
  await writeFolder(out, [...written.files, { name: 'report.json', bytes: encoder.encode(report) }])
  voice.out(`Written to ${out}: ${names.length} files. Start with read-me.txt.\n`)
}

async function measure({ name, text, machine }: Found, file: string, out: string | undefined, voice: Voice) {
  const { calibrate, changedProfile, readTestReadings } = await load()
  const { readings, problems } = readTestReadings(await textOfFile(file))
  if (!readings) throw await refusal(file, problems)
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
    voice.out(`midtick machines measure ${name} ${file} --out FILE writes the profile with these changes.\n`)
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
