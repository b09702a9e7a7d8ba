import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** Is poppler there? Says so loudly when not; on CI (CI=true) its absence is an error. */
export function havePoppler(): boolean {
  const found = ['pdfinfo', 'pdftotext', 'pdftocairo'].every((tool) => spawnSync(tool, ['-v']).error === undefined)
  if (!found && process.env.CI === 'true')
    throw new Error('poppler-utils is not installed: PDF files cannot be checked')
  if (!found) console.warn('POPPLER IS MISSING: THE PDF FILES ARE NOT CHECKED. Install poppler-utils.')
  return found
}

/** What a poppler tool prints about a file; arguments are put before and after the file's name. */
function poppler(tool: string, bytes: Uint8Array, before: readonly string[], after: readonly string[] = []): string {
  const folder = mkdtempSync(join(tmpdir(), 'midtick-'))
  try {
    const file = join(folder, 'file.pdf')
    writeFileSync(file, bytes)
    return execFileSync(tool, [...before, file, ...after], { encoding: 'utf8', maxBuffer: 1 << 26 })
  } finally {
    rmSync(folder, { recursive: true })
  }
}

export const textOf = (bytes: Uint8Array, page: number): string =>
  poppler('pdftotext', bytes, ['-layout', '-f', `${page}`, '-l', `${page}`], ['-'])

/** Page sizes in mm, width and height. */
export function pageSizes(bytes: Uint8Array): [number, number][] {
  const info = poppler('pdfinfo', bytes, ['-f', '1', '-l', '9999'])
  return [...info.matchAll(/Page +\d+ size: +([\d.]+) x ([\d.]+) pts/g)].map((found) => {
    return [(Number(found[1]) * 25.4) / 72, (Number(found[2]) * 25.4) / 72]
  })
}

export interface Found {
  readonly x1: number
  readonly y1: number
  readonly x2: number
  readonly y2: number
  /** width as it was given, mm */
  readonly width: number
}

/**
 * Strokes of a page, each with its points (ends and control points) in mm from the page's lower left corner. Without
 * -noshrink pdftocairo scales an A4 page down to a whole number of points, 0.12 % less.
 */
function strokesOf(bytes: Uint8Array, page: number): { points: [number, number][]; width: number }[] {
  const number = `${page}`
  const svg = poppler('pdftocairo', bytes, ['-svg', '-noshrink', '-nocenter', '-f', number, '-l', number], ['-'])
  const height = Number(/<svg[^>]* height="([\d.]+)/.exec(svg)?.[1])
  return [...svg.matchAll(/<path [^>]*fill:none[^>]*>/g)].map(([element]) => {
    const matrix = /matrix\(([^)]*)\)/.exec(element)?.[1]?.split(',').map(Number) ?? []
    const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = matrix
    const data = / d="([^"]*)"/.exec(element)?.[1] ?? ''
    const points = [...data.matchAll(/(-?[\d.]+) (-?[\d.]+)/g)].map((pair): [number, number] => {
      const [x, y] = [Number(pair[1]), Number(pair[2])]
      return [((a * x + c * y + e) * 25.4) / 72, ((height - (b * x + d * y + f)) * 25.4) / 72]
    })
    return { points, width: Number(/stroke-width:([\d.]+)/.exec(element)?.[1]) }
  })
}

/** Straight strokes of two points. */
export function linesOf(bytes: Uint8Array, page: number): Found[] {
  return strokesOf(bytes, page).flatMap(({ points, width }) => {
    const [from, to, more] = points
    return from && to && !more ? [{ x1: from[0], y1: from[1], x2: to[0], y2: to[1], width }] : []
  })
}

/** Width and height of each stroke's box, control points included, mm. */
export function boxesOf(bytes: Uint8Array, page: number): [number, number][] {
  return strokesOf(bytes, page).map(({ points }) => {
    const xs = points.map(([x]) => x)
    const ys = points.map(([, y]) => y)
    return [Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)]
  })
}
