import type { Point } from '../../geometry/point.ts'
import { Refusal } from '../../measure/problem.ts'
import { type Operation, operations } from '../../stroke/stroke.ts'
import { type Command, commandsOf, refuse } from './grammar.ts'
import type { HpglOptions } from './write.ts'

/** What the tool does between two pen lifts. */
export interface HpglStroke {
  /** as selected; 0 where none was */
  readonly pen: number
  /** undefined where no operation, or more than one, uses the pen */
  readonly operation: Operation | undefined
  /** mm; a single point where the pen only touches down */
  readonly points: readonly Point[]
  /** whether it has more than two points and the last is the first */
  readonly closed: boolean
}

/**
 * Strokes of a plain HP-GL file, in order, from IN, SP, PA, PR, PU and PD only: a command left out would be a cut
 * left out, so any other is refused. Starts pen up at the origin, absolute, with no pen.
 */
export function readHpgl(text: string, options: Pick<HpglOptions, 'unitsPerMm' | 'pens'>): HpglStroke[] {
  const strokes: HpglStroke[] = []
  let x = 0
  let y = 0
  let pen = 0
  let relative = false
  let points: Point[] | undefined
  let last: Command | undefined

  const here = () => ({ x: x / options.unitsPerMm, y: y / options.unitsPerMm })
  const lift = () => {
    if (points) strokes.push(strokeOf(points, pen, options.pens))
    points = undefined
  }
  for (const command of commandsOf(text)) {
    last = command
    checkNumbers(command, points !== undefined || command.mnemonic === 'PD')
    const { mnemonic, numbers } = command
    switch (mnemonic) {
      case 'IN':
        lift()
        relative = false
        pen = 0
        break
      case 'SP': {
        const wasDown = points !== undefined
        lift()
        pen = numbers[0] ?? 0
        if (wasDown) points = [here()]
        break
      }
      case 'PU':
        lift()
        break
      case 'PD':
        points ??= [here()]
        break
      default:
        relative = mnemonic === 'PR'
    }
    if (mnemonic === 'SP') continue
    for (let i = 0; i + 1 < numbers.length; i += 2) {
      x = (relative ? x : 0) + (numbers[i] ?? 0)
      y = (relative ? y : 0) + (numbers[i + 1] ?? 0)
      points?.push(here())
    }
  }
  if (!last) throw emptyFile()
  lift()
  return strokes
}

/** Refuses a wrong count of numbers, and a list that the end of the text cuts off with the pen down. */
function checkNumbers({ mnemonic, numbers, ordinal, offset, ended }: Command, down: boolean): void {
  const count = numbers.length
  const wrong = (code: string, limit: string) => {
    const read = `${mnemonic} with ${count} ${count === 1 ? 'number' : 'numbers'}`
    return refuse(code, ordinal, offset, read, limit)
  }
  if (!ended && down && count > 0 && mnemonic !== 'PU') {
    throw wrong('cut_off', 'the file stops inside it, with the pen down')
  }
  if (mnemonic === 'IN') {
    if (count > 0) throw wrong('wrong_count', 'IN takes no number')
  } else if (mnemonic === 'SP') {
    const pen = numbers[0] ?? 0
    if (count > 1) throw wrong('wrong_count', 'SP takes one number')
    if (!Number.isInteger(pen) || pen < 0) {
      throw refuse('wrong_pen', ordinal, offset, `SP${pen}`, 'a pen number is 0 or a whole number above it')
    }
  } else if (count % 2 === 1) {
    throw wrong('odd_coordinate', 'coordinates come in pairs of x and y')
  }
}

function strokeOf(points: readonly Point[], pen: number, pens: HpglOptions['pens']): HpglStroke {
  const [operation, ...others] = operations.filter((each) => pens[each] === pen)
  const first = points[0]
  const end = points.at(-1)
  const closed = points.length > 2 && first?.x === end?.x && first?.y === end?.y
  return { pen, operation: others.length === 0 ? operation : undefined, points, closed }
}

function emptyFile(): Refusal {
  return new Refusal([
    {
      code: 'empty',
      field: 'the HP-GL file',
      value: 'empty',
      limit: 'it must hold at least one command',
      cure: 'Write the file again; it was probably cut off.',
    },
  ])
}
