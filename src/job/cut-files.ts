import { hpglBytes } from '../file/hpgl/write.ts'
import { writeCutSvg } from '../file/svg/cut.ts'
import { boundsOf } from '../geometry/bounds.ts'
import type { Machine } from '../machine/profile.ts'
import { reachProblems } from '../machine/reach.ts'
import type { LineNames } from '../machine/send/parts.ts'
import { type Problem, Refusal } from '../measure/problem.ts'
import type { Side } from '../stroke/side.ts'
import { type Operation, operations, type Stroke } from '../stroke/stroke.ts'
import { pieceProblems } from './all-pieces.ts'
import type { FilmSide } from './as-planned.ts'
import { hpglOf } from './hpgl-of.ts'
import type { OutFile } from './out-file.ts'
import type { Cut, Plan } from './plan-job.ts'
import { type FileCheck, readBack } from './read-back.ts'
import { readBackSvg } from './read-back-svg.ts'
import type { Setting } from './setting.ts'

/** Writes and reads back every cut file, or says what of it the machine cannot do. */
export function cutFiles({
  job,
  cuts,
  machine,
  objects,
}: Pick<Plan, 'job' | 'cuts' | 'machine' | 'objects'>):
  | { readonly files: OutFile[]; readonly checks: FileCheck[] }
  | { readonly problems: readonly Problem[] } {
  const files: OutFile[] = []
  const checks: FileCheck[] = []
  const problems = pieceProblems(objects, cuts)
  if (problems.length > 0) return { problems }
  const both = (name: string, side: Side, faces: FilmSide, { sheet }: Cut, own: Machine, set?: Setting) => {
    problems.push(...beyondReach(`${name}.hpgl`, side, machine))
    const bytes = hpglBytes(hpglOf(side.driven, own))
    files.push({ name: `${name}.hpgl`, bytes })
    const sent = {
      side: faces,
      film: job.film.name,
      stock: sheet.stock.name,
      bytes: bytes.length,
      lines: lineNames(side.driven),
      ...(set ? { set } : {}),
    }
    checks.push({ ...readBack(`${name}.hpgl`, side, faces, bytes, machine).check, sent })
    const size = { width: sheet.length, height: sheet.width }
    // Each operation has a group, in the order in which they are done.
    const grouped = operations.flatMap((operation) => side.strokes.filter((stroke) => stroke.operation === operation))
    const svg = writeCutSvg(grouped, size)
    files.push({ name: `${name}.cut.svg`, bytes: new TextEncoder().encode(svg) })
    checks.push(readBackSvg(`${name}.cut.svg`, side.strokes, size, svg))
  }
  try {
    for (const cut of cuts) {
      const name = `sheet-${cut.sheet.number}`
      const names = cut.parts.map(({ set }) => (set === undefined || set === 'kiss' ? name : `${name}.${set}`))
      cut.parts.forEach(({ set, side }, i) => {
        // Commands at the end may move the film on.
        const own = i === cut.parts.length - 1 ? machine : { ...machine, end: '' }
        const after = names[i - 1] === undefined ? {} : { after: `${names[i - 1]}.hpgl` }
        both(
          names[i] as string,
          side,
          'film',
          cut,
          own,
          set && { to: set, tool: machine.tools[set]?.number ?? 0, ...after },
        )
      })
      if (cut.liner.strokes.length > 0) both(`${name}.liner-up`, cut.liner, 'liner', cut, machine)
    }
  } catch (error) {
    if (error instanceof Refusal) return { problems: error.problems }
    throw error
  }
  return problems.length > 0 ? { problems } : { files, checks }
}

/** The first stroke of a side of which the machine does not get to all, by the rule that holds when it is sent. */
function beyondReach(file: string, { driven }: Side, machine: Machine): Problem[] {
  const cure = 'Give the film more margin, move what is pinned, or name a bigger machine.'
  for (const { name, path } of driven) {
    const problems = reachProblems(`${file}, ${name}`, boundsOf([path]), machine, cure)
    if (problems.length > 0) return problems
  }
  return []
}

/** Names and operations one after the other, each for as many strokes as have it in a row. */
function lineNames(driven: readonly Stroke[]): LineNames {
  const runs: { name: string; piece?: string; operation: Operation; lines: number }[] = []
  for (const { name, piece, operation } of driven) {
    const last = runs.at(-1)
    if (last?.name === name && last.piece === piece && last.operation === operation) last.lines++
    else runs.push({ name, ...(piece === undefined ? {} : { piece }), operation, lines: 1 })
  }
  return runs
}
