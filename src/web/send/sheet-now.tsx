import type { Svg } from '@svgdotjs/svg.js'
import { useMemo } from 'preact/hooks'
import type { SheetPreview } from '../../job/preview-data.ts'
import type { SendPlan } from '../../job/send-run.ts'
import { Viewer } from '../viewer.tsx'

type Piece = SendPlan['pieces'][number]

interface SheetNowProps {
  readonly sheet: SheetPreview
  readonly side: 'film' | 'liner'
  /** what is cut already, and what is under the tool */
  readonly done: readonly Piece[]
  readonly now: Piece | undefined
}

/** A sheet as it lies under the tool, with what is cut and what is being cut. */
export function SheetNow({ sheet, side, done, now }: SheetNowProps) {
  const picture = useMemo(
    () => ({
      ...sheet.picture,
      areas: [],
      words: [],
      lines: [
        ...sheet.picture.lines.filter(({ style }) => style === 'stock'),
        ...sheet[side].map(({ d }) => ({ style: 'dimension' as const, d })),
      ],
    }),
    [sheet, side],
  )
  const count = done.length
  const over = useMemo(
    () => (drawing: Svg) => {
      const layer = drawing.group().addClass('under-tool')
      for (const { name, operation, d } of sheet[side]) {
        const isOf = (piece: Piece) => piece.operation === operation && name.split(':')[0] === piece.name
        const state = now && isOf(now) ? 'now' : done.some(isOf) ? 'cut' : ''
        if (state !== '') layer.path().attr({ d }).addClass(state)
      }
    },
    [sheet, side, count, now],
  )
  return (
    <Viewer picture={picture} scale={1} label={`Sheet ${sheet.number}, ${side} side up, as it is cut`} over={over} />
  )
}
