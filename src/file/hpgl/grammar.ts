import { codeOf } from './lexer.ts'

/** Counts of numbers that each command which is carried out may have (HP 5961-0509, chapters 19 to 22). */
const counts = {
  IN: [0],
  DF: [0],
  SP: [0, 1],
  VS: [0, 1, 2],
  FS: [0, 1, 2],
  AS: [0, 1, 2],
  LT: [0, 1, 2, 3],
  IP: [0, 2, 4],
  SC: [0, 4, 5, 7],
  RO: [0, 1],
  IW: [0, 4],
  AA: [3, 4],
  AR: [3, 4],
  AT: [4, 5],
  RT: [4, 5],
  CI: [1, 2],
  EA: [2],
  ER: [2],
  EW: [3, 4],
  PM: [0, 1],
  EP: [0],
} as const satisfies Record<string, readonly number[]>

/** Commands with a list of whole pairs. */
const moves = ['PA', 'PR', 'PU', 'PD'] as const
/** Commands with a grammar of their own: an encoded polyline, text, the end of text, a comment, a symbol, a header. */
const special = ['PE', 'LB', 'BL', 'DT', 'CO', 'SM', 'BP'] as const
/** Fills and marks that are no cuts, and are not read. */
const unread = ['FP', 'RA', 'RR', 'WG', 'PB', 'UC', 'XT', 'YT'] as const
/** Commands that ask the plotter something, and commands about letters, fills, paper and line widths: no line moves. */
const idle = [
  ...['OA', 'OC', 'OD', 'OE', 'OF', 'OH', 'OI', 'OO', 'OP', 'OS', 'OW'],
  ...['CA', 'CS', 'SA', 'SS', 'DI', 'DR', 'DV', 'ES', 'LO', 'SI', 'SR', 'SL', 'AD', 'SD', 'TD', 'SB'],
  ...['CT', 'EC', 'FT', 'AC', 'LA', 'UL', 'PW', 'WU', 'CR', 'NP', 'PC', 'TR', 'SV', 'NR', 'PG', 'PS', 'QL', 'MC', 'PP'],
] as const

/** A command with a bounded count of numbers. */
export type Measured = keyof typeof counts
export type Move = (typeof moves)[number]
export type Special = (typeof special)[number]

export type Known =
  | { readonly kind: 'measured'; readonly name: Measured; readonly counts: readonly number[] }
  | { readonly kind: 'move'; readonly name: Move }
  | { readonly kind: 'special'; readonly name: Special }
  | { readonly kind: 'unread' | 'idle'; readonly name: string }

const entries: readonly Known[] = [
  ...(Object.keys(counts) as Measured[]).map((name) => ({ kind: 'measured' as const, name, counts: counts[name] })),
  ...moves.map((name) => ({ kind: 'move' as const, name })),
  ...special.map((name) => ({ kind: 'special' as const, name })),
  ...unread.map((name) => ({ kind: 'unread' as const, name })),
  ...idle.map((name) => ({ kind: 'idle' as const, name })),
]
const byCode: ReadonlyMap<number, Known> = new Map(
  entries.map((each) => [codeOf(each.name.charCodeAt(0), each.name.charCodeAt(1)), each]),
)

/** The command with the code of these two letters, in either case. */
export const commandOf = (code: number): Known | undefined => byCode.get(code)

/** What may stand between PM0 and PM2 and does something there (HP 5961-0509, pages 21-34 to 21-37). */
const inPolygons: ReadonlySet<string> = new Set([...moves, 'PE', 'IN', 'DF', 'AA', 'AR', 'AT', 'RT', 'CI', 'PM'])
export const standsInPolygons = ({ kind, name }: Known): boolean =>
  inPolygons.has(name) || kind === 'idle' || name === 'DT' || name === 'CO' || name === 'BP'

/** Commands whose numbers need not be whole in a plain file: speeds, forces and angles. */
const decimals: ReadonlySet<string> = new Set(['VS', 'FS', 'AS', 'AA', 'AR'])
export const hasDecimals = ({ name }: Known): boolean => decimals.has(name)

/** `2 numbers`, `3 or 4 numbers`; a command that may also stand bare is said to take its others. */
export function countWords(allowed: readonly number[]): string {
  const some = allowed.filter((count) => count > 0)
  const last = some.at(-1)
  if (last === undefined) return 'no number'
  if (last === 1) return 'one number'
  return some.length === 1 ? `${last} numbers` : `${some.slice(0, -1).join(', ')} or ${last} numbers`
}
