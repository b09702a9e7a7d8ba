import type { Svg } from '@svgdotjs/svg.js'
import { useMemo } from 'preact/hooks'
import type { SheetPreview } from '../../job/preview-data.ts'
import type { LineState } from '../../job/send-run.ts'
import { Viewer } from '../viewer.tsx'

interface SheetNowProps {
  readonly sheet: SheetPreview
  readonly side: 'film' | 'liner'
  /** the way of the tip in each line of the file, and how that line stands */
  readonly ways: readonly string[]
  readonly states: readonly LineState[]
  /** has the run ended? Then what was begun may be cut or not */
  readonly isOver: boolean
}

/** A sheet as it lies under the tool, with the lines of its file: what is cut, what is begun, and what is left. */
export function SheetNow({ sheet, side, ways, states, isOver }: SheetNowProps) {
  const { picture } = sheet
  const ground = useMemo(
    () => ({ ...picture, areas: [], words: [], lines: picture.lines.filter(({ style }) => style === 'stock') }),
    [picture],
  )
  const all = states.join()
  const over = useMemo(
    () => (drawing: Svg) => {
      const layer = drawing
        .group()
        .addClass('under-tool')
        .attr({ transform: `translate(0 ${picture.height})` })
      const last = { left: 0, cut: 1, begun: 2 }
      const order = ways
        .map((d, i) => ({ d, state: states[i] ?? 'left' }))
        .sort((a, b) => last[a.state] - last[b.state])
      for (const { d, state } of order) layer.path().attr({ d }).addClass(state)
    },
    [ways, all, picture],
  )
  const count = (state: LineState) => states.filter((each) => each === state).length
  const [cut, begun] = [count('cut'), count('begun')]
  return (
    <>
      <Viewer picture={ground} scale={1} label={`Sheet ${sheet.number}, ${side} side up, as it is cut`} over={over} />
      <p class="tool-key">
        <span class="cut">
          cut: {cut} of {states.length} {states.length === 1 ? 'line' : 'lines'}
        </span>
        {begun > 0 && (
          <span class="begun">
            {isOver ? 'begun, look at the film' : 'under the tool'}: {begun}
          </span>
        )}
        <span class="left">not yet: {states.length - cut - begun}</span>
      </p>
    </>
  )
}
