interface Numbered {
  readonly number: number
  readonly stock: string
}

interface SheetPickProps<S extends Numbered> {
  readonly sheets: readonly S[]
  readonly shown: S | undefined
  readonly onShow: (sheet: S) => void
  readonly label: string
}

/** As many sheets as there is room for buttons. */
const mostButtons = 8

/** Which of several sheets is shown: a button for each, or a list with steps where there are many. */
export function SheetPick<S extends Numbered>({ sheets, shown, onShow, label }: SheetPickProps<S>) {
  if (sheets.length < 2) return null
  if (sheets.length <= mostButtons) {
    return (
      <fieldset class="plain tabs" aria-label={label}>
        {sheets.map((each) => (
          <button type="button" key={each.number} aria-pressed={each === shown} onClick={() => onShow(each)}>
            Sheet {each.number}
            <span class="soft"> {each.stock}</span>
          </button>
        ))}
      </fieldset>
    )
  }
  const at = shown ? sheets.indexOf(shown) : -1
  const step = (by: number) => {
    const next = sheets[at + by]
    if (next) onShow(next)
  }
  return (
    <fieldset class="plain tabs" aria-label={label}>
      <button type="button" onClick={() => step(-1)} disabled={at <= 0} aria-label="Sheet before">
        ‹
      </button>
      <select
        aria-label="Sheet"
        value={String(at)}
        onChange={(event) => {
          const next = sheets[Number(event.currentTarget.value)]
          if (next) onShow(next)
        }}
      >
        {sheets.map((each, i) => (
          <option key={each.number} value={String(i)}>
            Sheet {each.number} of {sheets.length}, {each.stock}
          </option>
        ))}
      </select>
      <button type="button" onClick={() => step(1)} disabled={at >= sheets.length - 1} aria-label="Next sheet">
        ›
      </button>
    </fieldset>
  )
}
