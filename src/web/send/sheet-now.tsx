import type { Svg } from '@svgdotjs/svg.js'
import { useMemo } from 'preact/hooks'
import type { SheetPreview } from '../../job/preview-data.ts'
import { Viewer } from '../viewer.tsx'

interface SheetNowProps {
  readonly sheet: SheetPreview
  readonly side: 'film' | 'liner'
  /** names of what is cut already, and of what is under the tool */
  readonly done: readonly string[]
  readonly now: string | undefined
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
  const key = `${done.join()} ${now}`
  const over = useMemo(
    () => (drawing: Svg) => {
      const layer = drawing.group().addClass('under-tool')
      for (const { name, d } of sheet[side]) {
        const state = name === now ? 'now' : done.includes(name) ? 'cut' : ''
        if (state !== '') layer.path().attr({ d }).addClass(state)
      }
    },
    [sheet, side, key],
  )
  return (
    <Viewer picture={picture} scale={1} label={`Sheet ${sheet.number}, ${side} side up, as it is cut`} over={over} />
  )
}
