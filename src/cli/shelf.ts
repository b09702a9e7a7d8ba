import { dirname, join } from 'node:path'
import type { Command } from 'commander'
import { bookingOf, planOf, shelfKept } from './booking.ts'
import type { Voice } from './run.ts'
import { changeShelfFile } from './shelf-file.ts'
import { Stop } from './stop.ts'
import { textOfFile } from './text-of-file.ts'

const load = () => import('../job/shelf.ts')

/** Adds the command `shelf` with what belongs to it. */
export function addShelf(program: Command, voice: Voice): void {
  const shelf = program
    .command('shelf')
    .option('--file <file>', 'shelf file (YAML)', 'shelf.yaml')
    .description('the film there is: list it, add to it, see what a job would take, book a cut job')
    .action(() => list(file(), voice))
  const file = () => shelf.opts<{ file: string }>().file
  shelf
    .command('add')
    .argument('<name>', 'what to call the offcut')
    .option('--size <length,width>', 'a rectangle, such as 610,240')
    .option('--corners <list>', 'its corners in turn, such as "0,0 520,12 498,190 16,402"')
    .option('--sides <list>', 'bottom, right, top, left, diagonal from bottom left, and the other one if measured')
    .option('--film <name>', 'which film it is')
    .option('--face <word>', 'plain, printed or brushed', 'plain')
    .option('--margin <length>', 'kept free along its edge', '10 mm')
    .description('put an offcut on the shelf; lengths in the unit of the shelf, or with their own')
    .action((name: string, flags: AddFlags) => add(file(), name, flags, voice))
  shelf
    .command('fit')
    .argument('<job>', 'job file (YAML)')
    .option('--own <folder>', 'folder of shapes of your own (default: shapes, beside the job file)')
    .description('say what of the shelf a job would be cut from, and what each piece of film could take')
    .action((job: string, flags: JobFlags) => fitJob(job, flags, voice))
  shelf
    .command('take')
    .argument('<job>', 'job file (YAML) that has been cut')
    .option('--own <folder>', 'folder of shapes of your own (default: shapes, beside the job file)')
    .option('--yes', 'book it without asking')
    .description('book a cut job: take its film off the shelf and put what is worth keeping there')
    .action((job: string, flags: JobFlags & { readonly yes?: boolean }) => take(job, flags, voice))
  shelf
    .command('schema')
    .description('print the JSON Schema of the shelf file')
    .action(async () => voice.out(`${JSON.stringify((await load()).shelfJsonSchema(), null, 2)}\n`))
}

interface JobFlags {
  readonly own?: string
}

interface AddFlags {
  readonly size?: string
  readonly corners?: string
  readonly sides?: string
  readonly film?: string
  readonly face: string
  readonly margin: string
}

async function list(file: string, voice: Voice): Promise<void> {
  const text = await textOfFile(file)
  const { shelfLines, shelfOf } = await load()
  const shelf = await shelfKept(file, () => shelfOf(text))
  for (const warning of shelf.warnings) voice.err(`Look again: ${warning.text}\n`)
  const lines = shelfLines(shelf)
  for (const line of lines) voice.out(`${line}\n`)
  if (lines.length === 0) voice.out(`${file} is empty.\n`)
}

/** A number as one, anything else as text, which may have a unit. */
const typed = (text: string) => (/^[\d.]+$/.test(text) ? Number(text) : text)

function lengths(text: string, least: number, most: number): (number | string)[] {
  const parts = text.split(',').map((part) => part.trim())
  if (parts.length < least || parts.length > most || parts.includes('')) {
    const count = least === most ? `${least}` : `${least} or ${most}`
    throw new Stop(`${text} is not ${count} lengths with commas between them, such as 610,240.`, 2)
  }
  return parts.map(typed)
}

function measured({ size, corners, sides }: AddFlags): Record<string, unknown> {
  if ([size, corners, sides].filter((way) => way !== undefined).length !== 1) {
    throw new Stop('An offcut is measured in one way: give one of --size, --corners and --sides.', 2)
  }
  if (size !== undefined) {
    const [length, width] = lengths(size, 2, 2)
    return { width, length }
  }
  if (corners !== undefined)
    return {
      corners: corners
        .trim()
        .split(/\s+/)
        .map((pair) => lengths(pair, 2, 2)),
    }
  const names = ['bottom', 'right', 'top', 'left', 'bottomLeftToTopRight', 'bottomRightToTopLeft']
  const read = lengths(sides ?? '', 5, 6)
  return { sides: Object.fromEntries(read.map((value, i) => [names[i], value])) }
}

async function add(file: string, name: string, flags: AddFlags, voice: Voice): Promise<void> {
  const own = measured(flags)
  const { emptyShelf, withEntry } = await load()
  const { film, face, margin } = flags
  const entry = {
    name,
    kind: 'offcut',
    ...(film === undefined ? {} : { film }),
    ...(face === 'plain' ? {} : { face }),
    margin: typed(margin),
    ...own,
  }
  await changeShelfFile(file, (text) => shelfKept(file, () => withEntry(text ?? emptyShelf, entry)))
  voice.out(`${name} is on ${file}.\n`)
}

async function fitJob(job: string, flags: JobFlags, voice: Voice): Promise<void> {
  const plan = await planOf(job, flags.own, voice)
  const [{ machineLine }, { materialLines }, { fitLines }] = await Promise.all([
    import('../job/machine-words.ts'),
    import('../job/material.ts'),
    import('../job/fit.ts'),
  ])
  voice.out(`${machineLine(plan.found)}\n`)
  for (const line of materialLines(plan.job.film.name, plan.material, plan.say, plan.job.unit)) voice.out(`${line}\n`)
  for (const line of fitLines(plan)) voice.out(`${line}\n`)
}

async function take(job: string, flags: JobFlags & { readonly yes?: boolean }, voice: Voice): Promise<void> {
  const { shelf, changes, book } = await bookingOf(job, flags.own, voice)
  for (const change of changes) voice.out(`  ${change}\n`)
  if (changes.length === 0) {
    voice.out(`Nothing of ${shelf} is taken.\n`)
    return
  }
  if (!flags.yes) {
    if (!voice.ask) throw new Stop('Nothing is booked: say --yes to book it.', 1)
    if (!(await voice.ask(`Book this on ${shelf}? [y/N] `))) {
      voice.out('Nothing is booked.\n')
      return
    }
  }
  await book()
  voice.out(`Booked on ${join(dirname(job), shelf)}.\n`)
}
