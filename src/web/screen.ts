import { signal } from '@preact/signals'

/** The screen's own pixels in a mm, once a card has been held against it; the browser's guess until then. */
const key = 'midtick-screen'
const guess = 96 / 25.4

export const pxPerMm = signal(stored() ?? guess)
export const isMeasured = signal(stored() !== undefined)

function stored(): number | undefined {
  try {
    const value = Number(localStorage.getItem(key))
    return value > 0.5 && value < 50 ? value : undefined
  } catch {
    return undefined
  }
}

export function keepScreen(value: number): void {
  pxPerMm.value = value
  isMeasured.value = true
  try {
    localStorage.setItem(key, String(value))
  } catch {
    // It holds for this visit.
  }
}

/** ISO/IEC 7810 ID-1, mm. */
export const card = { width: 85.6, height: 53.98, radius: 3.18 } as const
