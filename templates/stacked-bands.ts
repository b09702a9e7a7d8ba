import { endOf, openPath, type Path } from '../src/geometry/path.ts'
import type { BareEdge, Development } from '../src/panel/development.ts'
import type { ObjectMark } from '../src/panel/panel.ts'
import type { Strain } from '../src/panel/strain.ts'
import type { Say, Spec } from '../src/panel/template.ts'
import { developBand } from './round-band.ts'
import { bandStrain } from './strain-rules.ts'

/** A choice of where the closing seams of bands above each other come. */
export const seamSpec = {
  kind: 'choice',
  options: ['half round', 'in line'],
  standard: 'half round',
  help: 'for bands: where the closing seam of the next band comes, half round from the one below or in line with it',
} as const satisfies Spec

/** What a band meets along a level edge. */
type Neighbour = 'nothing' | 'band' | 'disc'

/** One cone of a stack, lengths of film in mm. */
export interface StackedBand {
  readonly part: string
  readonly bottomGirth: number
  readonly topGirth: number
  readonly slant: number
  /** strain of the girth at the share 0..1 of the way up, 0 at both ends */
  readonly misfit: (share: number) => number
  readonly below: Neighbour
  readonly above: Neighbour
  /** what a tape reads round the object at both edges, mm */
  readonly bottomTape: number
  readonly topTape: number
  /** where both edges stand on the object, such as `40 mm up` */
  readonly bottomAt: string
  readonly topAt: string
  readonly notes: (strain: Strain) => readonly string[]
}

export interface Stack {
  /** from the lowest up */
  readonly bands: readonly StackedBand[]
  readonly seams: (typeof seamSpec.options)[number]
  /** mm by which each band laps over itself */
  readonly overlap: number
}

/**
 * One panel a band. A level joint is told apart into its halves left and right of the hinge, each with its own code, so
 * that the marks meet whether the seams stand in line or not.
 */
export function developStack({ bands, seams, overlap }: Stack, say: Say): Development[] {
  return bands.map((band, i) => {
    const [plain] = developBand({
      bottomGirth: band.bottomGirth,
      topGirth: band.topGirth,
      slant: band.slant,
      bottomGap: 0,
      topGap: 0,
      overlap,
      openings: { openings: [], points: [] },
      bottomTaped: band.bottomTape,
      topTaped: band.topTape,
      marks: marksOf(band, i, seams, say),
      notes: [],
    })
    const mid = (band.bottomGirth + band.topGirth) / 2
    const strain = bandStrain(plain.surface ?? { kind: 'round', taper: 0 }, mid, band.slant, band.misfit)
    return {
      ...plain,
      part: band.part,
      edges: plain.edges.flatMap((edge): readonly BareEdge[] => {
        if (edge.name === 'bottom') return levelEdges(edge, band.below, jointCode(i), false)
        if (edge.name === 'top') return levelEdges(edge, band.above, jointCode(i + 1), seams === 'half round')
        return [bands.length > 1 ? { ...edge, seam: `${i + 1}` } : edge]
      }),
      strain,
      notes: band.notes(strain),
    }
  })
}

/** Letters for the joints below the second band, the third and so on. */
function jointCode(i: number): string {
  const rest = i - 1
  const letter = String.fromCharCode(65 + (((rest % 26) + 26) % 26))
  return rest < 26 ? letter : `${jointCode(Math.floor(rest / 26))}${letter}`
}

/** `turned` where what lies right of the hinge here meets what lies left of it on the other side. */
function levelEdges(edge: BareEdge, met: Neighbour, code: string, turned: boolean): readonly BareEdge[] {
  if (met === 'nothing') return [edge]
  if (met === 'disc') return [{ ...edge, lap: 0 }]
  return halves(edge.path).map((path, i) => {
    const side = (i === 0) === (edge.name === 'bottom') ? 'left' : 'right'
    const half = turned ? (side === 'left' ? 'right' : 'left') : side
    return { name: `${edge.name} ${side}`, path, lap: 0, seam: `${code}${half === 'left' ? 1 : 2}` }
  })
}

/** A level edge before and after the hinge: it is two segments that meet there. */
function halves(path: Path): readonly Path[] {
  const [first, ...rest] = path.segments
  if (!first) return [path]
  const before = openPath(path.start, first)
  return [before, openPath(endOf(before), ...rest)]
}

function marksOf(band: StackedBand, i: number, seams: Stack['seams'], say: Say): ObjectMark[] {
  const across = seams === 'half round' && i % 2 === 1
  const where = across ? 'half round from it' : 'on it'
  const half = (edge: 'lower' | 'upper', at: string, tape: number) =>
    `Mark the object ${say(tape / 2)} round from the seam of ${band.part}, at its ${edge} edge, ${at}.`
  return [
    {
      code: 'seam',
      text: `Draw the seam line straight up the object where it is seen least. The seam of ${band.part} comes ${where}.`,
    },
    { code: 'hinge bottom', text: half('lower', band.bottomAt, band.bottomTape) },
    { code: 'hinge top', text: half('upper', band.topAt, band.topTape) },
  ]
}
