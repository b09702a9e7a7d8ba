import { useState } from 'preact/hooks'
import type { PiecePreview } from '../../job/preview-data.ts'
import type { Spot } from './pins.ts'

interface PieceBarProps {
  readonly pieces: readonly PiecePreview[]
  readonly picked: number | undefined
  readonly onPick: (index: number | undefined) => void
  /** keeps a piece at that place, undefined lets it go */
  readonly onPin: (index: number, spot: Spot | undefined) => void
}

/** The piece that is picked: where it lies, turned, kept there or let go. */
export function PieceBar({ pieces, picked, onPick, onPin }: PieceBarProps) {
  const piece = picked === undefined ? undefined : pieces[picked]
  return (
    <fieldset class="plain pieces-bar" aria-label="A piece on this sheet">
      <label class="pick">
        <span>Piece</span>
        <select
          value={picked === undefined ? '' : String(picked)}
          onChange={(event) => onPick(event.currentTarget.value === '' ? undefined : Number(event.currentTarget.value))}
        >
          <option value="">drag one, or pick it here</option>
          {pieces.map(({ name, isPinned }, i) => (
            <option key={name} value={String(i)}>
              {name}
              {isPinned ? ', kept in place' : ''}
            </option>
          ))}
        </select>
      </label>
      {piece && picked !== undefined && (
        <>
          <Figure label="from left" value={piece.x} onPut={(x) => onPin(picked, { ...piece, x })} />
          <Figure label="from bottom" value={piece.y} onPut={(y) => onPin(picked, { ...piece, y })} />
          <button
            type="button"
            onClick={() => onPin(picked, turned(piece, 90))}
            aria-label="Turn a quarter to the left"
          >
            ↺ 90°
          </button>
          <button
            type="button"
            onClick={() => onPin(picked, turned(piece, -90))}
            aria-label="Turn a quarter to the right"
          >
            ↻ 90°
          </button>
          {piece.isPinned ? (
            <button type="button" onClick={() => onPin(picked, undefined)}>
              Let it go
            </button>
          ) : (
            <button type="button" onClick={() => onPin(picked, piece)}>
              Keep it here
            </button>
          )}
        </>
      )}
    </fieldset>
  )
}

/** Turned about the lower left corner of its box. */
function turned(piece: PiecePreview, by: number): Spot {
  const angle = ((((piece.angle + by + 180) % 360) + 360) % 360) - 180
  return { x: piece.x, y: piece.y, angle }
}

interface FigureProps {
  readonly label: string
  readonly value: number
  readonly onPut: (mm: number) => void
}

/** A length in mm that counts once it is done with. */
function Figure({ label, value, onPut }: FigureProps) {
  const [typed, setTyped] = useState<string>()
  const shown = String(Math.round(value * 10) / 10)
  const put = () => {
    setTyped(undefined)
    const mm = Number(typed)
    if (typed !== undefined && typed.trim() !== '' && Number.isFinite(mm) && typed !== shown) onPut(mm)
  }
  return (
    <label class="figure">
      <span>{label}, mm</span>
      <input
        inputMode="decimal"
        value={typed ?? shown}
        onInput={(event) => setTyped(event.currentTarget.value)}
        onBlur={put}
        onKeyDown={(event) => event.key === 'Enter' && put()}
      />
    </label>
  )
}
