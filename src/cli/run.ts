import { basename, extname, join } from 'node:path'
import { Command, CommanderError } from 'commander'
import picocolors from 'picocolors'
import { addCheck } from './check.ts'
import { why } from './disk.ts'
import { writeFolder } from './folder.ts'
import { addLayout } from './layout.ts'
import { addLinks } from './links.ts'
import { besideJob } from './machine-profiles.ts'
import { addMachines, findMachine } from './machines.ts'
import { addOpen } from './open.ts'
import { ownShapes } from './own-shapes.ts'
import { jobOnDisk } from './plan-file.ts'
import { addSend } from './send.ts'
import { addShelf } from './shelf.ts'
import { Stop } from './stop.ts'

/** Where a run speaks; tests give their own. */
export interface Voice {
  readonly out: (text: string) => void
  readonly err: (text: string) => void
  readonly colour: boolean
  /** is somebody watching, so that a progress line makes sense? */
  readonly live: boolean
  /** asks a person for yes or no; missing where nobody is there to answer */
  readonly ask?: (question: string) => Promise<boolean>
  /** tells of keys as they are pressed, until the function given back is called; none without a keyboard */
  readonly keys?: (pressed: (key: string) => void) => () => void
}

const help = `
Exit codes: 0 done, 1 the job or file was refused, 2 the command was not understood, 3 reading, writing or sending failed,
4 stopped by the person before the end.

A first job, my-tin.yaml:
  version: 1
  title: Paint tin
  objects:
    - name: paint tin
      shape: straight-band
      girth: 53.4 cm
      height: 18 cm

Then: midtick make my-tin.yaml
Or on a page in the browser: midtick open my-tin.yaml`

/** Runs one command line; the exit code comes back, nothing is thrown. */
export async function run(argv: readonly string[], voice: Voice): Promise<number> {
  const program = new Command('midtick')
    .description(
      'Tape readings in, film panels out: cut files, paper template and job sheet, checked by reading them back.',
    )
    .addHelpText('after', help)
    .showHelpAfterError('(midtick --help shows the commands)')
    .exitOverride()
    .configureOutput({ writeOut: voice.out, writeErr: voice.err, getOutHasColors: () => voice.colour })
  program
    .command('make')
    .argument('<job>', 'job file (YAML)')
    .option('--out <folder>', 'folder to write; an earlier result there is replaced as a whole')
    .option('--own <folder>', 'folder of shapes of your own (default: shapes, beside the job file)')
    .option('--machine <name>', 'machine to cut on, in place of the one in the job; see midtick machines')
    .option('--json', 'print the report as JSON')
    .description('write the cut files, pictures, paper template and job sheet of a job')
    .action((job: string, options: MakeFlags) => make(job, options, voice))
  addCheck(program, voice)
  program
    .command('shapes')
    .argument('[name]', 'a shape')
    .option('--diagram', 'print its where-to-measure diagram as SVG')
    .option('--page', 'print all shapes on one page as SVG')
    .option('--own <folder>', 'folder of shapes of your own', 'shapes')
    .description('the shapes, and what to measure for each')
    .action((name: string | undefined, options: ShapeFlags) => shapes(name, options, voice))
  program
    .command('schema')
    .description('print the JSON Schema of the job file')
    .action(async () => {
      const [{ jobJsonSchema }, { loadShapes }] = await Promise.all([
        import('../job/schema.ts'),
        import('../job/catalogue.ts'),
      ])
      voice.out(`${JSON.stringify(jobJsonSchema(await loadShapes()), null, 2)}\n`)
    })
  addMachines(program, voice)
  addOpen(program, voice)
  addLayout(program, voice)
  addShelf(program, voice)
  addSend(program, voice)
  addLinks(program, voice)
  try {
    await program.parseAsync([...argv], { from: 'user' })
    return 0
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2
    voice.err(`${sentenceOf(error)}\n`)
    return error instanceof Stop ? error.code : 3
  }
}

/** What an error says; one that the system gave as it is, by its file and in words. */
function sentenceOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error)
  const { path } = error as NodeJS.ErrnoException
  return path === undefined ? error.message : `${path} cannot be used: ${why(error)}.`
}

interface MakeFlags {
  readonly machine?: string
  readonly out?: string
  readonly own?: string
  readonly json?: boolean
}

async function make(file: string, options: MakeFlags, voice: Voice): Promise<void> {
  const colours = picocolors.createColors(voice.colour)
  const [{ text, templates, options: found }, { makeJob }, { formatProblem }] = await Promise.all([
    jobOnDisk(file, options.own, voice),
    import('../job/make-job.ts'),
    import('../job/problems.ts'),
  ])
  const outcome = await makeJob(text, templates, {
    ...found,
    onStep: (step) => {
      if (voice.live) voice.err(`\r${step} … `)
    },
    ...(options.machine === undefined ? {} : { machine: await findMachine(options.machine, besideJob(file)) }),
  })
  if (voice.live) voice.err('\r\u001b[K')
  for (const { text: words } of outcome.warnings) voice.err(`${colours.yellow('Look again:')} ${words}\n`)
  const { made } = outcome
  if (!made) {
    if (options.json) {
      const warnings = outcome.warnings.map(({ text: words }) => words)
      voice.out(`${JSON.stringify({ problems: outcome.problems, warnings }, null, 1)}\n`)
    }
    const n = outcome.problems.length
    const lines = outcome.problems.map((p) => `  ${formatProblem(p)}`)
    throw new Stop(`${file}: ${n} ${n === 1 ? 'problem' : 'problems'}, nothing was written.\n${lines.join('\n')}`, 1)
  }
  const folder = options.out ?? join('out', basename(file, extname(file)))
  await writeFolder(folder, made.files)
  if (options.json) {
    voice.out(`${new TextDecoder().decode(made.files.at(-1)?.bytes)}`)
    return
  }
  const wide = Math.max(...made.panels.map((p) => p.name.length)) + 2
  voice.out(`${colours.bold(made.title)}\n`)
  for (const p of made.panels) {
    voice.out(`  ${p.name.padEnd(wide)}${String(p.copies).padStart(3)} x  ${p.width} x ${p.height} over all\n`)
  }
  for (const line of made.summary) voice.out(`${line}\n`)
  voice.out(`Written to ${folder}: ${made.files.length} files. Start with job-sheet.pdf.\n`)
}

interface ShapeFlags {
  readonly diagram?: boolean
  readonly page?: boolean
  readonly own: string
}

async function shapes(name: string | undefined, options: ShapeFlags, voice: Voice): Promise<void> {
  const { loadShapes, teach, diagram, catalogueDrawing, findShape } = await import('../job/catalogue.ts')
  const own = await ownShapes(options.own)
  for (const refusal of own.refused) voice.err(`Look again: ${refusal}\n`)
  const templates = [...(await loadShapes()), ...own.templates]
  if (options.page) {
    voice.out(catalogueDrawing(templates))
    return
  }
  if (name === undefined) {
    const wide = Math.max(...templates.map(({ id }) => id.length)) + 2
    for (const t of templates) voice.out(`${t.id.padEnd(wide)}${t.when}\n`)
    voice.out(
      '\nmidtick shapes NAME says what to measure; --diagram draws it, and --page draws all of them on one page.\n',
    )
    return
  }
  const found = findShape(name, templates)
  if ('near' in found) {
    throw new Stop(
      `There is no shape ${name}. ${found.near ? `Did you mean ${found.near}?` : 'midtick shapes lists them.'}`,
      1,
    )
  }
  voice.out(options.diagram ? diagram(found) : teach(found))
}
