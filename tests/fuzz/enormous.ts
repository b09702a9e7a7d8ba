import { readPlot } from '../../src/file/hpgl/read.ts'

const megabytes = 50
const rounds = 5

/** HP-GL of one stroke, so many bytes long. */
function text(pairsInCommand: number): string {
  const parts = ['IN;SP1;PU0,0;PD']
  let size = 0
  for (let i = 0; size < megabytes * 1e6; i++) {
    const next = `${10000 + (i % 20000)},${30000 - (i % 19000)}`
    parts.push(next, i % pairsInCommand === pairsInCommand - 1 ? ';PD' : ',')
    size += next.length + 1
  }
  parts.push('0,0;PU;SP0;\n')
  return parts.join('')
}

const middle = (values: readonly number[]) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN

function inTurn(name: string, data: string): void {
  const taken: { read: number[]; split: number[] } = { read: [], split: [] }
  let points = 0
  for (let i = 0; i <= rounds; i++) {
    const a = performance.now()
    const plot = readPlot(data)
    const b = performance.now()
    const pieces = data.split(',').length
    const c = performance.now()
    if (plot.stopped || pieces < 2) throw new Error(plot.stopped?.why ?? 'nothing split')
    points = plot.strokes.reduce((sum, s) => sum + s.path.segments.length, 0)
    // The first round warms up.
    if (i === 0) continue
    taken.read.push(b - a)
    taken.split.push(c - b)
  }
  const [read, split] = [middle(taken.read), middle(taken.split)]
  console.log(
    `${name}: ${(data.length / 1e6).toFixed(0)} MB, ${points} points, ${(data.length / 1e3 / read).toFixed(0)} MB/s, ` +
      `${(split / read).toFixed(2)} of the speed of split(',')`,
  )
}

/** Reads 50 MB of HP-GL, as lists and as single moves, beside a plain split of the same text, and says how fast. */
export function enormous(): void {
  inTurn('long lists', text(1000))
  inTurn('one pair a command', text(1))
}
