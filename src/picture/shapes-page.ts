import { lineTo, openPath } from '../geometry/path.ts'
import { point } from '../geometry/point.ts'
import { following, scaling, transform, translation } from '../geometry/transform.ts'
import type { Picture } from './picture.ts'
import { wrappedText } from './text-width.ts'

/** One shape on the page: its title, the name used in a job file, when to pick it, and where to measure. */
export interface ShapeEntry {
  readonly title: string
  readonly name: string
  readonly when: string
  readonly picture: Picture
}

const columns = 3
const cell = { width: 112, pad: 6 }
const rim = 10
const titleSize = 6
const textSize = 3.2
const lead = 1.35

/** The catalogue: one cell a shape, drawings all to one width, rows as high as their tallest cell. */
export function shapesPage(entries: readonly ShapeEntry[]): Picture {
  const inner = cell.width - 2 * cell.pad
  const cells = entries.map((entry) => {
    const scale = inner / entry.picture.width
    const lines = wrappedText(entry.when, inner, textSize)
    const head = 2 * cell.pad + titleSize + (lines.length + 1) * textSize * lead
    return { entry, scale, lines, head, height: head + entry.picture.height * scale + cell.pad }
  })
  const rows = Array.from({ length: Math.ceil(cells.length / columns) }, (_, i) =>
    cells.slice(i * columns, (i + 1) * columns),
  )
  const heights = rows.map((row) => Math.max(...row.map(({ height }) => height)))
  const width = 2 * rim + columns * cell.width
  const height = heights.reduce((a, b) => a + b, 0) + 2 * rim + 14
  const items: Picture['items'][number][] = []
  const say = (text: string, x: number, y: number, size: number, bold = false) =>
    items.push({ kind: 'words', at: point(x, y), text, size, anchor: 'start', turn: 0, bold })
  say(
    'What is it? Find the shape, and put the tape where the letters are.',
    rim + cell.pad,
    height - rim - 6,
    6.5,
    true,
  )
  let top = height - rim - 14
  rows.forEach((row, i) => {
    items.push({ kind: 'drawn', style: 'dimension', path: openPath(point(rim, top), lineTo(point(width - rim, top))) })
    row.forEach(({ entry, scale, lines, head }, k) => {
      const left = rim + k * cell.width + cell.pad
      let y = top - cell.pad - titleSize
      say(entry.title, left, y, titleSize, true)
      y -= textSize * lead * 1.2
      say(`shape: ${entry.name}`, left, y, textSize)
      for (const line of lines) {
        y -= textSize * lead
        say(line, left, y, textSize)
      }
      const foot = top - head - entry.picture.height * scale
      const place = following(scaling(scale, scale), translation(left, foot))
      for (const item of entry.picture.items) {
        items.push(
          item.kind === 'words'
            ? { ...item, at: point(left + item.at.x * scale, foot + item.at.y * scale), size: item.size * scale }
            : { ...item, path: transform(item.path, place) },
        )
      }
    })
    top -= heights[i] ?? 0
  })
  return { title: 'Shapes', width, height, items }
}
