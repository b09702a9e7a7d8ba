/** A number as written, before its unit. `form` says what it was written with. */
export interface Amount {
  readonly value: number
  readonly form: 'whole' | 'decimal' | 'fraction'
}

/** Why a number was refused: the parts of a `Problem` that do not depend on where it stood. */
export interface Fault {
  readonly code: string
  readonly limit: string
  readonly cure: string
}

const denominators: readonly number[] = [2, 4, 8, 16, 32, 64]

/**
 * A number without sign or unit: `95`, `9.5`, `9,5`, `.5`, `1/2`, `3 7/16`, `3-7/16`. A point and a comma both
 * part off decimals; nothing parts off thousands, and `1,234` is refused because it may be meant either way.
 */
export function readAmount(text: string): Amount | Fault {
  if (/[.,].*[.,]/.test(text) || /^\d{1,3}( \d{3})+(?=$|[.,])/.test(text)) {
    return {
      code: 'thousands_separator',
      limit: 'a number has one decimal point or comma, and nothing between its thousands',
      cure: 'Write 1234.5 or 1234,5.',
    }
  }
  const decimal = /^(?:\d+(?:[.,]\d+)?|[.,]\d+)$/.exec(text)
  if (decimal) return readDecimal(text)
  const mixed = /^(?:(\d+)[ -])?(\d+) ?\/ ?(\d+)$/.exec(text)
  if (mixed) return readFraction(Number(mixed[1] ?? 0), Number(mixed[2]), Number(mixed[3]))
  return { code: 'unreadable_length', limit: 'that is no number', cure: 'Write it like 95, 9.5 or 3 7/16.' }
}

function readDecimal(text: string): Amount | Fault {
  if (/^[1-9]\d{0,2},\d{3}$/.test(text)) {
    return {
      code: 'ambiguous_comma',
      limit: 'a comma before three digits may part off thousands or decimals',
      cure: `Write ${text.replace(',', '.')} or ${text.replace(',', '')}.`,
    }
  }
  const value = Number(text.replace(',', '.'))
  return { value, form: /[.,]/.test(text) ? 'decimal' : 'whole' }
}

function readFraction(whole: number, numerator: number, denominator: number): Amount | Fault {
  if (!denominators.includes(denominator)) {
    return {
      code: 'bad_fraction',
      limit: 'a fraction has 2, 4, 8, 16, 32 or 64 below the line',
      cure: 'Write it like 3 7/16, or as decimals like 3.4375.',
    }
  }
  if (numerator >= denominator) {
    const rest = numerator % denominator
    const total = whole + Math.floor(numerator / denominator)
    const cure = rest === 0 ? `Write ${total}` : `Write ${total} ${rest}/${denominator}`
    return { code: 'bad_fraction', limit: 'a fraction is less than 1', cure: `${cure} if that is meant.` }
  }
  return { value: whole + numerator / denominator, form: 'fraction' }
}
