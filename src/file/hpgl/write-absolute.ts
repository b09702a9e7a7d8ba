import type { Lines } from './lines.ts'
import { turnNumbers } from './turns.ts'
import type { UnitStroke } from './units.ts'

/** The legs of a stroke from where the tool stands, in absolute coordinates; it is lowered and stays down. */
export function drawAbsolute({ legs }: UnitStroke, lines: Lines): void {
  if (legs[0]?.kind === 'turn') lines.add('PD')
  for (const leg of legs) {
    if (leg.kind === 'chords') lines.list('PD', leg.to)
    else lines.command('AA', ...turnNumbers(leg))
  }
}
