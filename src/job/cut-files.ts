import { hpglBytes } from '../file/hpgl/write.ts'
import { writeCutSvg } from '../file/svg/cut.ts'
import type { LineNames } from '../machine/send/parts.ts'
import { type Problem, Refusal } from '../measure/problem.ts'
import type { Side } from '../stroke/side.ts'
import type { Operation, Stroke } from '../stroke/stroke.ts'
import { pieceProblems } from './all-pieces.ts'
import type { FilmSide } from './as-planned.ts'
import { hpglOf } from './hpgl-of.ts'
import type { OutFile } from './out-file.ts'
import type { Cut, Plan } from './plan-job.ts'
import { type FileCheck, readBack } from './read-back.ts'
import { readBackSvg } from './read-back-svg.ts'

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
  const both = (name: string, side: Side, faces: FilmSide, { sheet }: Cut) => {
    const bytes = hpglBytes(hpglOf(side.driven, machine))
    files.push({ name: `${name}.hpgl`, bytes })
    const sent = {
      side: faces,
      film: job.film.name,
      stock: sheet.stock.name,
      bytes: bytes.length,
      lines: lineNames(side.driven),
    }
    checks.push({ ...readBack(`${name}.hpgl`, side, faces, bytes, machine).check, sent })
    const size = { width: sheet.length, height: sheet.width }
    const svg = writeCutSvg(side.strokes, size)
    files.push({ name: `${name}.cut.svg`, bytes: new TextEncoder().encode(svg) })
    checks.push(readBackSvg(`${name}.cut.svg`, side.strokes, size, svg))
  }
  const problems = pieceProblems(objects, cuts)
  if (problems.length > 0) return { problems }
  try {
    for (const cut of cuts) {
      both(`sheet-${cut.sheet.number}`, cut.film, 'film', cut)
      if (cut.liner.strokes.length > 0) both(`sheet-${cut.sheet.number}.liner-up`, cut.liner, 'liner', cut)
    }
  } catch (error) {
    if (error instanceof Refusal) return { problems: error.problems }
    throw error
  }
  return { files, checks }
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
