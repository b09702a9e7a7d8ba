import { transform, translation } from '../geometry/transform.ts'
import { drivenPath } from '../stroke/blade.ts'
import { partsSetByHand } from '../stroke/set-by-hand.ts'
import type { Stroke } from '../stroke/stroke.ts'
import type { Machine, Tool } from './profile.ts'
import type { TestPiece, TestStroke } from './test-piece.ts'
import { blankReadings } from './test-readings.ts'

/** Formats that the files are written in. */
export interface TestWriters {
  /** strokes as they are to be driven, mm on the sheet, all of an operation with one tool */
  readonly hpgl: (strokes: readonly Stroke[], machine: Machine) => string
  /** what the tip shall draw and cut, for a person */
  readonly drawing: (strokes: readonly Stroke[], size: TestPiece['size'], title: string) => string
}

interface TextFile {
  readonly name: string
  readonly text: string
}

/**
 * The files of a test piece: one cut file for each setting of the tool, in the order to be sent, so that a setting may
 * also be made on the machine; the drawing; what to do; and a file to write the readings into. Only the last cut file
 * carries the profile's end commands, which may move the film on.
 */
export function testFiles(machine: Machine, piece: TestPiece, writers: TestWriters): TextFile[] {
  const runs = runsOf(machine, piece)
  const cuts = runs.map(({ name, strokes, tools }, i): TextFile => {
    const end = i === runs.length - 1 ? machine.end : ''
    return {
      name: `${i + 1}-${name}.hpgl`,
      text: writers.hpgl(driven(strokes, machine), { ...machine, tools: { ...machine.tools, ...tools }, end }),
    }
  })
  const alone = translation(-piece.corner.x, -piece.corner.y)
  const asked = piece.strokes.map(({ stroke }) => ({ ...stroke, path: transform(stroke.path, alone) }))
  return [
    ...cuts,
    { name: 'test-piece.svg', text: writers.drawing(asked, piece.size, `Test piece for ${machine.name}`) },
    { name: 'readings.yaml', text: blankReadings(piece.side) },
    {
      name: 'read-me.txt',
      text: guide(
        machine,
        piece,
        cuts.map(({ name }) => name),
      ),
    },
  ]
}

interface Run {
  readonly name: string
  readonly strokes: readonly TestStroke[]
  readonly tools: Machine['tools']
}

/** What is drawn, where the pen and the blade go into one holder. */
const penRun = 'pen'

/** Strokes of one setting each: first all with the profile's own tools, then the rungs of force and speed. */
function runsOf({ tools }: Machine, { strokes }: TestPiece): Run[] {
  const isOwn = ({ stroke, tool }: TestStroke) => sameSetting(tool, tools[stroke.operation])
  const own = strokes.filter(isOwn)
  const parts = partsSetByHand(
    own.map(({ stroke }) => stroke),
    tools,
  )
  const runs = parts.map(({ set, strokes: part }): Run => {
    const name = set === 'pen' ? penRun : 'test-piece'
    return { name, strokes: own.filter(({ stroke }) => part.includes(stroke)), tools: {} }
  })
  for (const stroke of strokes.filter((s) => !isOwn(s))) {
    const { operation, name } = stroke.stroke
    runs.push({
      name: name.toLowerCase().replace(/[^a-z0-9.]+/g, '-'),
      strokes: [stroke],
      tools: { [operation]: stroke.tool },
    })
  }
  return runs
}

const sameSetting = (a: Tool, b: Tool | undefined): boolean =>
  a.number === b?.number && a.force === b.force && a.speed === b.speed

/** The way of the swivel axis for each stroke; how the blade stands after one is how it stands before the next. */
function driven(strokes: readonly TestStroke[], { blade }: Machine): Stroke[] {
  let heading: number | undefined
  return strokes.map(({ stroke, offset }) => {
    if (stroke.operation === 'pen') return stroke
    const way = drivenPath(stroke.path, { offset, leastTurn: blade.leastTurn }, heading)
    heading = way.heading
    return { ...stroke, path: way.path }
  })
}

function guide(machine: Machine, { side, size, ladders }: TestPiece, cuts: readonly string[]): string {
  const { compensate, offset } = machine.blade
  const self =
    compensate === 'machine'
      ? ['Set the blade offset on the machine itself to 0 first, or the squares under OFFSET show both together.']
      : []
  const place = machine.axes.origin === 'middle' ? 'at the lower left' : 'by the corner that the machine counts from'
  const use = compensate === 'machine' ? 'set on the machine and put into the profile' : 'put into the profile'
  const lines = [
    `Test piece for ${machine.name}`,
    '',
    `It takes ${Math.ceil(size.x)} x ${Math.ceil(size.y)} mm of film, ${place}.`,
    ...self,
    'Send these in their order, without moving the film:',
    ...cuts.map((name) => `  ${name}`),
    ...(cuts.some((name) => name.endsWith(`-${penRun}.hpgl`))
      ? ['Put the pen into its holder for the first, and the blade in its place before the next.']
      : []),
    ...(cuts.some((name) => !name.endsWith(`-${penRun}.hpgl`) && !name.endsWith('-test-piece.hpgl'))
      ? [
          'Each after that of the test piece is one square, with the force or speed in its name. Where the machine has these on its own',
          'panel and does not take them from a file, set them there before each.',
        ]
      : []),
    '',
    '1. Do the letters read normally? With the film running to the right and its film side up, A lies at the lower left,',
    '   B at the right of it. Where letters are mirrored, all panels would be: correct swap or origin in axes of the',
    '   profile first, and cut this anew.',
    `2. Measure between the crosses with a steel rule: the sides AB, BC, DC and AD, which should have ${side} mm, and the`,
    `   diagonals AC and BD, which should have ${(side * Math.SQRT2).toFixed(2)} mm. Read each more than once, the rule laid on anew.`,
    '3. Look at the corners of the squares under OFFSET. The best has four sharp corners: too small a number leaves them',
    '   round, too large a one gives them ears. Its number is the blade offset in mm, to be',
    `   ${use}; now it is ${offset} there.`,
    ...(ladders.length > 1
      ? [
          '4. Peel the squares under FORCE and SPEED. Take the least force that parts the film all round without cutting',
          '   into the liner, and the highest speed whose corners are still like those of the slow ones.',
        ]
      : ['4. For a ladder of forces and one of speeds, state force and speed of the tool in the profile.']),
    '5. Write the readings into readings.yaml; midtick machines measure works them out and corrects the profile.',
    '',
    ...ladders,
  ]
  return `${lines.join('\n')}\n`
}
