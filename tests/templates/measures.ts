import fc from 'fast-check'
import type { Development } from '../../src/panel/development.ts'
import { makePanel, type PanelOptions } from '../../src/panel/make-panel.ts'
import type { Panel } from '../../src/panel/panel.ts'
import type { Facts, Say, Template } from '../../src/panel/template.ts'
import { flatPanel } from '../../templates/flat-panel/template.ts'
import { straightBand } from '../../templates/straight-band/template.ts'
import { taperedBand } from '../../templates/tapered-band/template.ts'

type Measures = Parameters<Template['develop']>[0]

/** A shape with measures that belong together. */
export interface Measured {
  readonly template: Template
  readonly values: Measures
  readonly facts: Facts
}

export const say: Say = (mm) => `${mm} mm`
/** Film and tape of no thickness, so that what is measured is what is laid out. */
export const thin: Facts = { filmThickness: 0, tapeThickness: 0 }

export const plainOptions: PanelOptions = {
  name: 'tin',
  allowances: { bottom: 1, right: 1, top: 1, left: 1 },
  ticks: { wanted: 'auto', hasPen: true, cut: 'kiss' },
  slit: { lines: 'one', strip: 30 },
}

export const unopened = { openings: [], points: [] }

export const square = { bottomLeft: 0, bottomRight: 0, topRight: 0, topLeft: 0 }

/** The panels, or a failure that says what was refused. */
export function panelsOf(developments: readonly Development[], options: PanelOptions = plainOptions): Panel[] {
  return developments.map((development) => {
    const made = makePanel(development, options, say)
    if ('panel' in made) return made.panel
    throw new Error(JSON.stringify(made.problems))
  })
}

/** The panel of an object that is one piece. */
export function panelOf(developments: readonly Development[], options: PanelOptions = plainOptions): Panel {
  const [panel, ...others] = panelsOf(developments, options)
  if (panel && others.length === 0) return panel
  throw new Error(`${developments.length} panels`)
}

/** What stands in the way of the panels. */
export const refusalsOf = (developments: readonly Development[], options: PanelOptions = plainOptions) =>
  developments.flatMap((development) => makePanel(development, options, say).problems)

/** Evenly spread, unlike `fc.double`, most of whose numbers are next to 0. */
export const mm = (min: number, max: number) =>
  fc.integer({ min: 0, max: 1_000_000 }).map((share) => min + ((max - min) * share) / 1_000_000)
const facts = fc.record({ filmThickness: mm(0, 0.4), tapeThickness: mm(0, 0.6) })

const flat: fc.Arbitrary<Measured> = fc
  .record({ width: mm(60, 2000), height: mm(60, 2000), shares: fc.array(mm(0, 0.5), { minLength: 4, maxLength: 4 }) })
  .chain(({ width, height, shares }) => {
    const r = shares.map((share) => (share < 0.1 ? 0 : share * (Math.min(width, height) - 30)))
    const [bottomLeft = 0, bottomRight = 0, topRight = 0, topLeft = 0] = r
    const values = { width, height, radius: { bottomLeft, bottomRight, topRight, topLeft }, ...unopened }
    return facts.map((own) => ({ template: flatPanel, values, facts: own }))
  })

const part = fc.oneof(fc.record({ overlap: fc.option(mm(0, 30), { nil: undefined }) }), fc.record({ gap: mm(1, 40) }))

const straight: fc.Arbitrary<Measured> = fc
  .record({ girth: mm(120, 2000), height: mm(60, 600), part, byDiameter: fc.boolean(), facts })
  .map(({ girth, height, part: own, byDiameter, facts: given }) => {
    const round = byDiameter ? { diameter: girth / Math.PI, girth: undefined } : { girth, diameter: undefined }
    const none = { gap: undefined, span: undefined, overlap: undefined, ...unopened }
    return { template: straightBand, values: { ...round, height, ...none, ...own }, facts: given }
  })

/** Cones either way up, from none to 140 degrees of pattern. */
const tapered: fc.Arbitrary<Measured> = fc
  .record({
    mid: mm(300, 2000),
    slant: mm(60, 400),
    turn: fc.oneof(mm(-2.4, 2.4), mm(-1e-6, 1e-6), fc.constant(0)),
    part: fc.oneof(part, fc.record({ bottomGap: mm(1, 40), topGap: mm(1, 40) })),
    facts,
  })
  .map(({ mid, slant, turn, part: own, facts: given }) => {
    const difference = Math.max(200 - 2 * mid, Math.min(2 * mid - 200, turn * slant))
    const values = {
      bottomGirth: mid - difference / 2,
      bottomDiameter: undefined,
      topGirth: mid + difference / 2,
      topDiameter: undefined,
      slant,
      height: undefined,
      gap: undefined,
      bottomGap: undefined,
      topGap: undefined,
      overlap: undefined,
      ...unopened,
      ...own,
    }
    return { template: taperedBand, values, facts: given }
  })

/** Bands and flat panels with edges that are square to their hinge. */
export const squareBands = { 'flat panels': flat, 'straight bands': straight, 'tapered bands': tapered } as const

const allowance = fc.oneof(mm(-6, 8), fc.constantFrom(0, 1, 5))
export const anyAllowances = fc.record({
  bottom: allowance,
  right: allowance,
  top: allowance,
  left: allowance,
  other: allowance,
})
