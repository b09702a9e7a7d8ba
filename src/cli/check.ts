import { basename } from 'node:path'
import { type Command, InvalidArgumentError } from 'commander'
import type { Contents } from '../job/check-file.ts'
import { forCutFile } from './machine-profiles.ts'
import { findMachine } from './machines.ts'
import { reportBeside } from './report-beside.ts'
import type { Voice } from './run.ts'
import { Stop } from './stop.ts'
import { bytesOf } from './text-of-file.ts'

interface CheckFlags {
  readonly machine?: string
  readonly against?: string
  readonly units?: number
  readonly area?: { readonly x: number; readonly y: number }
  readonly tolerance: string
  readonly json?: boolean
}

/** Adds the command that reads cut files back. */
export function addCheck(program: Command, voice: Voice): void {
  program
    .command('check')
    .argument('<file...>', 'cut files: HP-GL or cut SVG')
    .option('--against <file>', 'what it should be: another cut file, or the drawing (SVG) of a panel or a sheet')
    .option(
      '--machine <name>',
      'machine that the file was written for: its axes, reach, tools and blade (default: as report.json beside the file says)',
    )
    .option(
      '--units <n>',
      'plotter units in a mm, where no machine is named (default: as the machine has, or 40)',
      positive,
    )
    .option('--area <x,y>', 'largest x and y of the machine in mm', area)
    .option('--tolerance <length>', 'how far a line may be from where it should be, with its unit', '0.1 mm')
    .option('--json', 'print as JSON')
    .description('say what a cut file contains, whether the machine reaches it, and whether it is what it should be')
    .addHelpText(
      'after',
      '\nEnds with 0 where all is as it should be, to within the tolerance, and with 1 where anything is not.',
    )
    .action((files: string[], options: CheckFlags) => check(files, options, voice))
}

function positive(text: string): number {
  const value = Number(text)
  if (!(value > 0 && value < Infinity)) throw new InvalidArgumentError(`${text} is not a number above 0.`)
  return value
}

function area(text: string): { x: number; y: number } {
  const [x, y, ...more] = text.split(',').map(Number)
  if (!x || !y || !(x > 0 && y > 0) || more.length > 0) {
    throw new InvalidArgumentError(`${text} is not two lengths in mm such as 800,630.`)
  }
  return { x, y }
}

/** A length above 0 with its unit, mm. */
async function toleranceOf(text: string): Promise<number> {
  const { readLength } = await import('../job/check.ts')
  const read = readLength(text, 'mm', '--tolerance')
  const isBare = /^[\s\d.,/]*$/.test(text)
  if ('problem' in read || isBare || !(read.mm > 0)) {
    const bare = isBare && text.trim() !== '' ? ` Write ${text.trim()} mm if that is meant.` : ''
    throw new Stop(`--tolerance ${text} is not a length above 0 with its unit, such as 0.1 mm or 0.004 in.${bare}`, 2)
  }
  return read.mm
}

async function check(files: readonly string[], flags: CheckFlags, voice: Voice): Promise<void> {
  const tolerance = await toleranceOf(flags.tolerance)
  const { checkFile, machineLine } = await import('../job/check.ts')
  const named = flags.machine === undefined ? undefined : await findMachine(flags.machine, forCutFile(files[0] ?? ''))
  const other = flags.against
  const against =
    other === undefined ? undefined : { file: other, bytes: await bytesOf(other), report: await reportBeside(other) }
  const found: Contents[] = []
  const refused: string[] = []
  for (const file of files) {
    const bytes = await bytesOf(file)
    const beside = await reportBeside(file)
    // A report tells of the files that its run wrote, and of nothing else in its folder.
    const report = beside?.checks.some((each) => each.file === basename(file)) ? beside : undefined
    const told = flags.units === undefined && report ? { machine: report.machine, from: fromReport } : undefined
    const known = named ?? told
    try {
      const contents = checkFile(file, bytes, {
        unitsPerMm: flags.units ?? 40,
        area: flags.area,
        machine: known?.machine,
        tolerance,
        report,
        against,
      })
      found.push(contents)
      if (!flags.json) for (const line of linesOf(contents, known && machineLine(known), flags)) voice.out(`${line}\n`)
    } catch (error) {
      refused.push(`${file}: ${error instanceof Error ? error.message : String(error)}`)
    }
  }
  if (flags.json) voice.out(`${JSON.stringify({ files: found, refused }, null, 1)}\n`)
  const wrong = [...refused, ...found.flatMap(({ file, wrong: own }) => own.map((words) => `${file}: ${words}.`))]
  if (wrong.length > 0) throw new Stop(wrong.join('\n'), 1)
}

const fromReport = { where: 'report' } as const

/** What a person is told of one file. `whence`: its machine and where that is known from. */
function linesOf(f: Contents, whence: string | undefined, flags: CheckFlags): string[] {
  const sides = { film: 'film side up', liner: 'liner up' }
  const facts = [...(f.side ? [sides[f.side]] : []), ...(f.film === undefined ? [] : [`film: ${f.film}`])]
  const inside = f.outside > 0 ? `outside the area by ${f.outside.toFixed(2)} mm` : 'inside the area'
  return [
    `${f.file}: ${f.kind}`,
    ...f.tools.map(({ tool, strokes, closed }) => `  ${tool}: ${counted(strokes, 'stroke')}, ${closed} closed`),
    `  from ${f.low.x.toFixed(2)}, ${f.low.y.toFixed(2)} to ${f.high.x.toFixed(2)}, ${f.high.y.toFixed(2)} mm`,
    ...(whence === undefined ? [] : [`  ${whence}`]),
    ...(facts.length > 0 ? [`  ${facts.join('; ')}`] : []),
    ...(flags.area ? [`  ${inside}`] : []),
    ...(f.faults ?? []).map(({ error, offset, what }) => `  byte ${offset}: ${what} (error ${error})`),
    ...(f.stopped ? [`  reading stopped at byte ${f.stopped.offset}: ${f.stopped.why}`] : []),
    ...(f.travel ? [`  ${travelWords(f.travel)}`] : []),
    ...(f.panel ? panelLines(f.panel) : []),
    ...(f.against ? againstLines(f.against) : []),
  ]
}

const travelWords = ({ down, up, seconds }: NonNullable<Contents['travel']>) =>
  `${(down / 1000).toFixed(2)} m down and ${(up / 1000).toFixed(2)} m up, about ${Math.ceil(seconds)} s`

const counted = (n: number, what: string) => `${n} ${what}${n === 1 ? '' : 's'}`

const at = ({ x, y }: { readonly x: number; readonly y: number }) => `, at x ${x.toFixed(1)}, y ${y.toFixed(1)} mm`

function againstLines({
  file,
  lines,
  found,
  compared,
  notCompared,
  ...worst
}: NonNullable<Contents['against']>): string[] {
  return [
    `  ${basename(file)}: ${found} of ${counted(lines, 'line')} found`,
    `  at most ${worst.distance.toFixed(3)} mm from ${file}${at(worst)}`,
    `  compared: ${compared.join(', ')}; not compared: ${notCompared.join('; ')}`,
  ]
}

/** How often a panel's drawing was found, how well, and how much of it. */
function panelLines(panel: NonNullable<Contents['panel']>): string[] {
  const { file, copies, asked, mirrored, incomplete, lines, found, worst } = panel
  const name = basename(file)
  const from = worst ? `, at most ${worst.distance.toFixed(3)} mm from it${at(worst.at)}` : ''
  const toldOf = asked === undefined ? 'how many there should be (no report beside the file tells)' : ''
  const not = [
    'where and which way up it lies',
    'kiss or through',
    'ticks, labels and slits',
    'order',
    'force and speed',
  ]
  const compared = `  compared: outline, openings, mirrored or not${asked === undefined ? '' : ', copies'}; not compared: ${[...(toldOf === '' ? [] : [toldOf]), ...not].join(', ')}`
  if (copies === 0 && asked === 0)
    return [`  ${name}: no copy found; the report beside the file has none of it on this sheet`]
  if (copies === 0) return [`  ${name}: ${found} of ${counted(lines, 'line')} found${from}`, compared]
  const all = lines > 1 ? `, all ${lines} lines of it` : ''
  const over = mirrored > 0 ? `, ${mirrored} mirrored` : ''
  const parts = incomplete > 0 ? `; ${incomplete} more of its outline without all its openings` : ''
  const wanted = asked === undefined ? '' : `, ${asked} asked for on this sheet`
  const count = `${copies} ${copies === 1 ? 'copy' : 'copies'} found${wanted}`
  return [`  ${name}: ${count}${all}${over}${from}${parts}`, compared]
}
