import { Document, isMap, isSeq, parseDocument } from 'yaml'
import * as z from 'zod'
import type { Problem } from '../measure/problem.ts'
import { schemaProblems } from '../measure/schema-problems.ts'
import { readYamlTable } from '../measure/yaml-table.ts'
import type { LayoutRequest } from '../sheet/lay-out.ts'
import { cornerOf } from '../sheet/placing.ts'
import type { Piece, Sheet } from '../sheet/sheet.ts'

const place = z.strictObject({
  panel: z.string(),
  copy: z.number().int().min(1),
  stock: z.string(),
  sheet: z.number().int().min(1),
  x: z.number(),
  y: z.number(),
  angle: z.number(),
})

const schema = z.strictObject({
  version: z.literal(1),
  pieces: z.string().describe('a sum over the pieces, by which it is seen whether they are still the same'),
  seed: z.number(),
  rounds: z.number(),
  places: z.array(place).max(100000),
})

type Places = z.output<typeof schema>

const kind = { what: 'layout file', most: 20_000_000, tooLong: 'Lay the job again.', begin: 'version: 1' }

/** Places that were found for the pieces of a job. */
export interface FoundPlaces {
  readonly pieces: readonly Piece[]
  /** are they of other pieces than these? Then the pieces come back as they were. */
  readonly stale: boolean
}

/** Two sums of 32 bits over a text (FNV-1a with two starts), as 16 digits. */
function sumOf(text: string): string {
  let [a, b] = [0x811c9dc5, 0x01000193]
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i)
    a = Math.imul(a ^ code, 0x01000193)
    b = Math.imul(b ^ code, 0x85ebca6b)
  }
  return [a, b].map((part) => (part >>> 0).toString(16).padStart(8, '0')).join('')
}

/** What of a request decides whether places found for it still hold, beside the film. */
function piecesSum({ pieces, room, spare, border }: LayoutRequest): string {
  const short = (_: string, value: unknown) => (typeof value === 'number' ? Number(value.toFixed(3)) : value)
  const own = pieces.map(({ panel, copy, turn, group }) => {
    const { name, outline, holes, slits, ticks } = panel
    return [name, copy, turn, group, outline, holes, slits, ticks.map((tick) => tick.path)]
  })
  return sumOf(JSON.stringify([own, room, spare, border], short))
}

/** The pieces of a request pinned where a layout file has them; pins of the job itself go before. */
export function withPlaces(
  text: string,
  request: LayoutRequest,
): FoundPlaces | { readonly problems: readonly Problem[] } {
  const table = readYamlTable(text, kind)
  if ('problems' in table) return table
  const { raw, place: placeOf } = table
  const parsed = schema.safeParse(raw)
  if (!parsed.success) {
    return { problems: schemaProblems(parsed.error.issues, { raw, schema, place: placeOf, whole: 'layout' }) }
  }
  const { pieces: sum, places } = parsed.data
  const found = new Map(places.map((each) => [`${each.panel} ${each.copy}`, each]))
  const known = request.pieces.every(({ panel, copy }) => found.has(`${panel.name} ${copy}`))
  if (sum !== piecesSum(request) || !known) return { pieces: request.pieces, stale: true }
  const pieces = request.pieces.map((piece): Piece => {
    const own = found.get(`${piece.panel.name} ${piece.copy}`)
    if (piece.pin || !own) return piece
    const { stock, sheet, x, y, angle } = own
    return { ...piece, pin: { stock, sheet, x, y, angle: (angle * Math.PI) / 180 } }
  })
  return { pieces, stale: false }
}

const round = (value: number, places: number) => Number(value.toFixed(places))

/** A layout file: every piece with its film and its place on it. */
export function layoutFile(
  request: LayoutRequest,
  sheets: readonly Sheet[],
  { seed, rounds }: { readonly seed: number; readonly rounds: number },
): string {
  const places: Places['places'] = sheets.flatMap(({ stock, ofStock, pieces }) =>
    pieces.map((piece) => {
      const { x, y } = cornerOf(piece)
      return {
        panel: piece.panel.name,
        copy: piece.copy,
        stock: stock.name,
        sheet: ofStock,
        x: round(x, 5),
        y: round(y, 5),
        angle: round((piece.angle * 180) / Math.PI, 8),
      }
    }),
  )
  const document = new Document({ version: 1, pieces: piecesSum(request), seed, rounds, places } satisfies Places)
  const list = document.get('places')
  if (isSeq(list)) for (const item of list.items) if (isMap(item)) item.flow = true
  document.commentBefore =
    ' Where midtick layout has put the pieces; midtick make keeps to it while they are the same. Lengths in mm from the\n left and the bottom edge of the film to the piece, angles in degrees to the left. Delete it to lay them anew.'
  return document.toString({ lineWidth: 0 })
}

/** A job's text that names a layout file. Nothing else of it is changed where its layout table allows. */
export function namingPlaces(text: string, name: string): string {
  const document = parseDocument(text)
  if (document.getIn(['layout', 'places']) === name) return text
  const wanted = () => JSON.stringify(document.toJS())
  const line = `places: ${JSON.stringify(name)}`
  const tries = [
    /^layout:/m.test(text) ? undefined : text.replace(/^objects:/m, `layout:\n  ${line}\nobjects:`),
    text.replace(/^layout: *\{ */m, (start) => `${start}${line}, `),
    text.replace(/^(layout:.*\n)( +)/m, (_, head: string, indent: string) => `${head}${indent}${line}\n${indent}`),
  ]
  document.setIn(['layout', 'places'], name)
  const same = tries.find((own) => {
    if (own === undefined || own === text) return false
    const made = parseDocument(own)
    return made.errors.length === 0 && sorted(made.toJS()) === sorted(JSON.parse(wanted()))
  })
  return same ?? document.toString({ lineWidth: 0 })
}

/** Data as text whatever the order of the layout's fields. */
function sorted(data: unknown): string {
  const { layout, ...rest } = data as { readonly layout?: Readonly<Record<string, unknown>> }
  return JSON.stringify([rest, Object.entries(layout ?? {}).sort(([a], [b]) => (a < b ? -1 : 1))])
}
