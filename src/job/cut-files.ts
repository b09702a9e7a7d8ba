import { readHpgl } from '../file/hpgl/read.ts'
import { type HpglOptions, writeHpgl } from '../file/hpgl/write.ts'
import { writeCutSvg } from '../file/svg/cut.ts'
import { readCutSvg } from '../file/svg/read.ts'
import { deviation } from '../geometry/deviation.ts'
import { defaultTolerance } from '../geometry/flatten.ts'
import { type Path, polyline } from '../geometry/path.ts'
import type { Point } from '../geometry/point.ts'
import type { Machine } from '../machine/profile.ts'
import { type Problem, Refusal } from '../measure/problem.ts'
import type { Sheet } from '../sheet/sheet.ts'
import type { Stroke } from '../stroke/stroke.ts'
import type { OutFile } from './out-file.ts'
import type { Cut } from './plan-job.ts'

/** The farthest that a cut file, read back, lies from what was asked. */
export interface FileCheck {
  readonly file: string
  readonly strokes: number
  readonly worst: number
  readonly at: Point
  readonly stroke: string
}

/** Writes and reads back every cut file, or says what of it the machine cannot do. */
export function cutFiles(
  cuts: readonly Cut[],
  machine: Machine,
): { readonly files: OutFile[]; readonly checks: FileCheck[] } | { readonly problems: readonly Problem[] } {
  const files: OutFile[] = []
  const checks: FileCheck[] = []
  const encoder = new TextEncoder()
  const options: HpglOptions = {
    unitsPerMm: machine.unitsPerMm,
    pens: machine.pens,
    area: machine.area,
    wideRange: machine.wideRange,
    tolerance: defaultTolerance,
  }
  const put = (name: string, text: string, asked: readonly Stroke[], back: readonly Path[]) => {
    files.push({ name, bytes: encoder.encode(text) })
    checks.push(compare(name, asked, back))
  }
  const both = (name: string, strokes: readonly Stroke[], sheet: Sheet) => {
    const hpgl = writeHpgl(strokes, options)
    put(
      `${name}.hpgl`,
      hpgl,
      strokes,
      readHpgl(hpgl, options).map((s) => polyline(s.points)),
    )
    const svg = writeCutSvg(strokes, { width: sheet.length, height: sheet.width })
    put(
      `${name}.cut.svg`,
      svg,
      strokes,
      readCutSvg(svg).strokes.map((s) => s.path),
    )
  }
  try {
    for (const { sheet, film, liner } of cuts) {
      both(`sheet-${sheet.number}`, film, sheet)
      if (liner.length > 0) both(`sheet-${sheet.number}.liner-up`, liner, sheet)
    }
  } catch (error) {
    if (error instanceof Refusal) return { problems: error.problems }
    throw error
  }
  return { files, checks }
}

function compare(file: string, asked: readonly Stroke[], back: readonly Path[]): FileCheck {
  if (asked.length !== back.length) {
    throw new Error(`${file}: ${asked.length} strokes were asked for and ${back.length} came back`)
  }
  let check: FileCheck = { file, strokes: asked.length, worst: 0, at: { x: 0, y: 0 }, stroke: '' }
  asked.forEach((stroke, i) => {
    const found = deviation(back[i] as Path, stroke.path)
    if (found.distance > check.worst) check = { ...check, worst: found.distance, at: found.at, stroke: stroke.name }
  })
  return check
}
