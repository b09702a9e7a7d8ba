import { lineMeanings } from './meanings.ts'

interface KeyProps {
  readonly styles: readonly string[]
  readonly allowance?: boolean
}

/** What the lines of a drawing mean, told by dash and weight before colour. */
export function LineKey({ styles, allowance }: KeyProps) {
  const used = Object.entries(lineMeanings).filter(
    ([style]) => styles.includes(style) && style !== 'dimension' && style !== 'label',
  )
  return (
    <ul class="key" aria-label="What the lines mean">
      {used.map(([style, means]) => (
        <li key={style}>
          <svg class="drawing" width="56" height="14" viewBox="0 0 56 14" aria-hidden="true">
            <g class={`line ${style}`}>
              <path d="M 2 7 L 54 7" />
            </g>
          </svg>
          {means}
        </li>
      ))}
      {allowance && (
        <li>
          <svg class="drawing" width="56" height="14" viewBox="0 0 56 14" aria-hidden="true">
            <path class="allowance" d="M 2 1 H 54 V 13 H 2 Z" />
          </svg>
          allowance, trimmed in place
        </li>
      )}
    </ul>
  )
}
