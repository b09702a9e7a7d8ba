import { boundsOf, boxHeight, boxWidth } from '../geometry/bounds.ts'
import { type Path, rectangle } from '../geometry/path.ts'
import { add, between, type Point, point } from '../geometry/point.ts'
import { following, scaling, transform, translation } from '../geometry/transform.ts'
import type { Panel } from '../panel/panel.ts'
import type { Strain } from '../panel/strain.ts'
import { fitted } from './fitted.ts'
import type { Drawn, Filled, Picture, Words } from './picture.ts'
import { textWidth, wrappedText } from './text-width.ts'

const rim = 10
const boxSize = 7
const wordSize = 4
/** The longer side of the panel on the drawing, mm. */
const longest = 260

/** Light where the film lies easy; darker orange where it must stretch, darker blue where it must shrink. */
const stretchColours = ['#fbf3ea', '#f6d5ae', '#e9a75f', '#b9691b', '#6f3a06']
const shrinkColours = ['#eef3f8', '#bcd3e8', '#7fa9cf', '#3f74a8', '#173f66']

/** Upper ends of the steps of the scale: fifths of the worst. */
const steps = [0.2, 0.4, 0.6, 0.8, 1]

const stepOf = (strain: number, worst: number) =>
  Math.max(
    0,
    steps.findIndex((end) => Math.abs(strain) <= end * worst * (1 + 1e-9)),
  )

const percent = (strain: number) => `${strain > 0 ? '+' : ''}${(100 * strain).toFixed(2)} %`

/** Where a panel must stretch or shrink, and how much: patches in steps, and their scale and rule beside them. */
export function strainPicture(panel: Panel, strain: Strain): Picture {
  const worst = Math.max(strain.stretch, -strain.shrink)
  const box = boundsOf([panel.outline])
  const scale = Math.min(1, longest / Math.max(boxWidth(box), boxHeight(box)))
  const place = following(scaling(scale, scale), translation(-box.low.x * scale, -box.low.y * scale))
  const colourOf = (value: number) => (value >= 0 ? stretchColours : shrinkColours)[stepOf(value, worst)] as string
  const cells = strain.cells.map(({ path, strain: own }) => ({ path: transform(path, place), own }))
  const areas = cells.map(({ path, own }): Filled => ({ kind: 'filled', path, colour: colourOf(own) }))
  const outline: Drawn = { kind: 'drawn', path: transform(panel.outline, place), style: 'outline' }
  const corner = point(boxWidth(box) * scale + 12, boxHeight(box) * scale)
  const items = [
    ...areas,
    outline,
    ...cells.flatMap(cellWords),
    ...keyItems(panel.name, strain, worst, colourOf, corner),
  ]
  return fitted({ title: `${panel.name}: how much the film must give`, width: 0, height: 0, items }, rim)
}

/** The percentage in a patch that has room for it. */
function cellWords({ path, own }: { path: Path; own: number }): Words[] {
  const cell = boundsOf([path])
  const text = (100 * own).toFixed(1)
  if (boxWidth(cell) < 1.2 * textWidth(text, 2.5) || boxHeight(cell) < 4) return []
  return [
    {
      kind: 'words',
      at: add(between(cell.low, cell.high, 0.5), point(0, -0.9)),
      text,
      size: 2.5,
      anchor: 'middle',
      turn: 0,
    },
  ]
}

/** The scale and the rule in words, downward from `corner`. */
function keyItems(
  name: string,
  strain: Strain,
  worst: number,
  colourOf: (value: number) => string,
  corner: Point,
): (Filled | Drawn | Words)[] {
  const items: (Filled | Drawn | Words)[] = []
  let y = corner.y
  const say = (text: string, size: number, x = corner.x, drop = 1.4 * size) => {
    y -= drop
    items.push({ kind: 'words', at: point(x, y), text, size, anchor: 'start', turn: 0 })
  }
  say(name, 5)
  say('stretch +, shrink -', wordSize)
  const values = [...steps.map((end) => end * worst).reverse(), ...steps.map((end) => -end * worst)]
  for (const value of values.filter((v) => (v > 0 ? strain.stretch > 0 : strain.shrink < 0))) {
    y -= boxSize + 1.5
    const path = rectangle(point(corner.x, y), point(corner.x + boxSize, y + boxSize))
    items.push({ kind: 'filled', path, colour: colourOf(value) }, { kind: 'drawn', path, style: 'dimension' })
    const near = value - 0.2 * Math.sign(value) * worst
    y += 2
    say(`${percent(near)} to ${percent(value)}`, wordSize, corner.x + boxSize + 2.5, 0)
    y -= 2
  }
  y -= 4
  for (const line of wrappedText(strain.rule, 75, 3)) say(line, 3)
  return items
}
