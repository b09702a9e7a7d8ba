import { useEffect, useRef, useState } from 'preact/hooks'
import { card, keepScreen, pxPerMm } from './screen.ts'

/** Asks for a bank card to be held against the screen, and how big it looks there. */
export function CardDialog({ onClose }: { readonly onClose: (measured: boolean) => void }) {
  const dialog = useRef<HTMLDialogElement>(null)
  const [size, setSize] = useState(pxPerMm.value)
  useEffect(() => dialog.current?.showModal(), [])
  const { width, height, radius } = card
  return (
    <dialog ref={dialog} aria-labelledby="card-title" onClose={() => onClose(dialog.current?.returnValue === 'keep')}>
      <form method="dialog">
        <h2 id="card-title">Measure this screen</h2>
        <p>
          Hold a bank card flat against the outline, and move the slider until the card just covers it. Set the
          browser's own zoom first, and leave it.
        </p>
        <div class="card-room">
          <svg
            class="card"
            aria-hidden="true"
            width={width * size}
            height={height * size}
            viewBox={`0 0 ${width} ${height}`}
          >
            <rect x="0.15" y="0.15" width={width - 0.3} height={height - 0.3} rx={radius} />
            <text x={width / 2} y={height / 2 + 2} text-anchor="middle">
              85.60 × 53.98 mm
            </text>
          </svg>
        </div>
        <label class="slider">
          Size of the outline
          <input
            type="range"
            min="2"
            max="12"
            step="0.01"
            value={size}
            aria-valuetext={`${(width * size).toFixed(0)} pixels wide`}
            onInput={(event) => setSize(Number(event.currentTarget.value))}
          />
        </label>
        <div class="row">
          <button type="submit" value="keep" class="main" onClick={() => keepScreen(size)}>
            It fits
          </button>
          <button type="submit" value="">
            Leave it
          </button>
        </div>
      </form>
    </dialog>
  )
}
