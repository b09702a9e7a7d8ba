import { hpglBytes } from '../file/hpgl/write.ts'
import { writeCutSvg } from '../file/svg/cut.ts'
import { readCutSvg } from '../file/svg/read.ts'
import { boundsOf } from '../geometry/bounds.ts'
import { deviation } from '../geometry/deviation.ts'
import type { Path } from '../geometry/path.ts'
import { point } from '../geometry/point.ts'
import type { Machine } from '../machine/profile.ts'
import { reachProblems } from '../machine/reach.ts'
import type { LineNames } from '../machine/send/plan.ts'
import { type Problem, Refusal } from '../measure/problem.ts'
import type { Side } from '../stroke/side.ts'
import { type Operation, operations, type Stroke } from '../stroke/stroke.ts'
import { hpglOf } from './hpgl-of.ts'
import type { OutFile } from './out-file.ts'
import type { Cut } from './plan-job.ts'
import { type FileCheck, readBack } from './read-back.ts'
import type { Setting } from './setting.ts'

/** Writes and reads back every cut file, or says what of it the machine cannot do. */
export function cutFiles(
  cuts: readonly Cut[],
  machine: Machine,
): { readonly files: OutFile[]; readonly checks: FileCheck[] } | { readonly problems: readonly Problem[] } {
  const files: OutFile[] = []
  const checks: FileCheck[] = []
  const problems: Problem[] = []
  const both = (name: string, side: Side, faces: 'film' | 'liner', { sheet }: Cut, own: Machine, set?: Setting) => {
    problems.push(...beyondReach(`${name}.hpgl`, side, machine))
    const bytes = hpglBytes(hpglOf(side.driven, own))
    files.push({ name: `${name}.hpgl`, bytes })
    const sent = { side: faces, bytes: bytes.length, lines: lineNames(side.driven), ...(set ? { set } : {}) }
    checks.push({ ...readBack(`${name}.hpgl`, side, bytes, machine).check, sent })
    // A cut SVG has a group for each operation.
    const grouped = operations.flatMap((operation) => side.strokes.filter((stroke) => stroke.operation === operation))
    const svg = writeCutSvg(grouped, { width: sheet.length, height: sheet.width })
    files.push({ name: `${name}.cut.svg`, bytes: new TextEncoder().encode(svg) })
    const back = readCutSvg(svg).strokes.map((stroke) => stroke.path)
    checks.push(checkSvg(`${name}.cut.svg`, grouped, back))
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
  const runs: { name: string; operation: Operation; lines: number }[] = []
  for (const { name, operation } of driven) {
    const last = runs.at(-1)
    if (last?.name === name && last.operation === operation) last.lines++
    else runs.push({ name, operation, lines: 1 })
  }
  return runs
}

function checkSvg(file: string, asked: readonly Stroke[], back: readonly Path[]): FileCheck {
  if (asked.length !== back.length) {
    throw new Error(`${file}: ${asked.length} strokes were asked for and ${back.length} came back`)
  }
  let check: FileCheck = { file, strokes: asked.length, worst: 0, at: point(0, 0), stroke: '', forbidden: [] }
  asked.forEach((stroke, i) => {
    const found = deviation(back[i] as Path, stroke.path)
    if (found.distance > check.worst) check = { ...check, worst: found.distance, at: found.at, stroke: stroke.name }
  })
  return check
}
