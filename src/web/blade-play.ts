import type { TipWay } from '../job/preview-data.ts'

type Spot = TipWay['points'][number]

/** A stroke of the tip with the way to it; lengths in mm. */
export interface Part {
  readonly stroke: TipWay
  /** where the tool comes from */
  readonly before: Spot
  /** how long the way to the stroke is */
  readonly travel: number
  /** how far each of the stroke's points lies along it */
  readonly along: readonly number[]
  readonly length: number
  /** where it all begins along the whole way */
  readonly from: number
}

/** Strokes one after the other, from the corner where the tool rests. */
export function partsOf(strokes: readonly TipWay[], rest: Spot): Part[] {
  let from = 0
  let before = rest
  return strokes.map((stroke): Part => {
    const first = stroke.points[0] ?? before
    const travel = apart(before, first)
    let length = 0
    const along = stroke.points.map((spot, i) => {
      length += apart(stroke.points[i - 1] ?? spot, spot)
      return length
    })
    const part = { stroke, before, travel, along, length, from }
    from += travel + length
    before = stroke.points.at(-1) ?? before
    return part
  })
}

const apart = (a: Spot, b: Spot) => Math.hypot(b.x - a.x, b.y - a.y)
const between = (a: Spot, b: Spot, share: number): Spot => ({
  x: a.x + (b.x - a.x) * share,
  y: a.y + (b.y - a.y) * share,
})
const dataOf = (spots: readonly Spot[]) => `M ${spots.map(({ x, y }) => `${x.toFixed(4)} ${y.toFixed(4)}`).join(' L ')}`

/** The stroke's points up to a length along it. */
function upTo({ stroke: { points }, along }: Part, length: number): Spot[] {
  const next = along.findIndex((own) => own > length)
  if (next < 1) return [...points]
  const [a, b] = [points[next - 1] as Spot, points[next] as Spot]
  const [from, to] = [along[next - 1] as number, along[next] as number]
  return [...points.slice(0, next), between(a, b, (length - from) / (to - from))]
}

/**
 * Draws in a group what is done at each place along the whole way, as strong lines, and the tool where it is. Only what
 * has changed since it was last drawn is drawn anew.
 */
export function bladeDrawing(layer: SVGGElement, parts: readonly Part[]): (at: number) => void {
  const made = (kind: string) => {
    const node = document.createElementNS('http://www.w3.org/2000/svg', 'path')
    node.setAttribute('class', kind)
    return node
  }
  const lines = parts.map(({ stroke }) => ({ travel: made('travel'), done: made(`done ${stroke.operation}`) }))
  const drawn = parts.map(() => ({ travel: 0, done: 0 }))
  const tool = made('tool up')
  layer.replaceChildren(...lines.flatMap(({ travel, done }) => [travel, done]), tool)
  return (at) => {
    let tip: Spot | undefined
    let isDown = false
    parts.forEach((part, i) => {
      const { stroke, before, from } = part
      const [old, own] = [drawn[i], lines[i]]
      if (!old || !own) return
      const travel = Math.max(0, Math.min(part.travel, at - from))
      const done = Math.max(0, Math.min(part.length, at - from - part.travel))
      if (at >= from) {
        const share = part.travel > 0 ? travel / part.travel : 1
        const spots = done > 0 ? upTo(part, done) : undefined
        tip = spots?.at(-1) ?? between(before, stroke.points[0] ?? before, share)
        isDown = done > 0 && done < part.length
        if (done !== old.done) own.done.setAttribute('d', spots ? dataOf(spots) : '')
        if (travel !== old.travel)
          own.travel.setAttribute(
            'd',
            travel > 0 ? dataOf([before, between(before, stroke.points[0] ?? before, share)]) : '',
          )
      } else if (old.travel + old.done > 0) {
        own.travel.setAttribute('d', '')
        own.done.setAttribute('d', '')
      }
      drawn[i] = { travel, done }
    })
    tool.setAttribute('class', `tool ${isDown ? 'down' : 'up'}`)
    tool.setAttribute('d', tip ? `M ${tip.x} ${tip.y} l 0 0.01` : '')
  }
}
