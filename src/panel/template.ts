import type { Problem } from '../measure/problem.ts'
import type { Warning } from '../measure/warning.ts'
import type { Picture } from '../picture/picture.ts'
import type { Development } from './development.ts'
import type { Stretch } from './panel.ts'

/** One length a person gives; bounds and default in mm. */
export interface LengthSpec {
  readonly kind: 'length'
  readonly min: number
  readonly max: number
  readonly help: string
  /** the letter at its arrow in the where-to-measure diagram */
  readonly letter?: string
  /** value when left out, mm; without it and without `optional` the field must be given */
  readonly standard?: number
  readonly optional?: true
  /** heading of fields that a form keeps folded away, as most objects do without them */
  readonly under?: string
}

/** A plain number: how many pieces, how many sides. */
export interface NumberSpec {
  readonly kind: 'number'
  readonly min: number
  readonly max: number
  readonly whole?: true
  readonly help: string
  readonly standard?: number
  readonly optional?: true
}

/** An angle; bounds and default in degrees, as people type it, the value in radians. */
export interface AngleSpec {
  readonly kind: 'angle'
  readonly min: number
  readonly max: number
  readonly help: string
  readonly letter?: string
  readonly standard?: number
  readonly optional?: true
  readonly under?: string
}

/** Words to be cut or printed. */
export interface TextSpec {
  readonly kind: 'text'
  readonly most: number
  readonly help: string
}

/** A file of the person's own, named relative to the job file; its bytes come with the facts. */
export interface FileSpec {
  readonly kind: 'file'
  readonly help: string
}

/** One of a few words. */
export interface ChoiceSpec {
  readonly kind: 'choice'
  readonly options: readonly string[]
  readonly help: string
  readonly standard: string
}

/** A radius for all four corners, or one for each by name. */
export interface CornersSpec {
  readonly kind: 'corners'
  readonly max: number
  readonly help: string
  readonly letter?: string
}

/** Any number of things of the same fields. */
export interface ListSpec {
  readonly kind: 'list'
  readonly item: Readonly<Record<string, LengthSpec | ChoiceSpec | NumberSpec | AngleSpec>>
  readonly help: string
  /** the fewest that make sense; 0 if left out */
  readonly fewest?: number
}

export type Spec = LengthSpec | NumberSpec | AngleSpec | ChoiceSpec | TextSpec | FileSpec | CornersSpec | ListSpec
export type Specs = Readonly<Record<string, Spec>>

export type CornerName = 'bottomLeft' | 'bottomRight' | 'topRight' | 'topLeft'
export type Corners = Readonly<Record<CornerName, number>>

type ValueOf<S extends Spec> = S extends LengthSpec | NumberSpec | AngleSpec
  ? S extends { readonly optional: true }
    ? number | undefined
    : number
  : S extends TextSpec | FileSpec
    ? string
    : S extends ChoiceSpec
      ? S['options'][number]
      : S extends CornersSpec
        ? Corners
        : S extends ListSpec
          ? readonly { readonly [K in keyof S['item']]: ValueOf<S['item'][K]> }[]
          : never

/** What `develop` gets: mm for lengths, radians for angles, from the same declaration that checks and documents them. */
export type Values<S extends Specs> = { readonly [K in keyof S]: ValueOf<S[K]> }

/** Values with their names forgotten, as code sees them that serves every shape. */
export type AnyValues = Readonly<Record<string, ValueOf<Exclude<Spec, ListSpec>> | AnyList | undefined>>

type AnyList = readonly Readonly<Record<string, number | string | undefined>>[]

/** What beside the measures bears on a development. */
export interface Facts {
  readonly filmThickness: number
  readonly tapeThickness: number
  /** how much the film may stretch or shrink and still lie, relative; unknown where the job does not say */
  readonly filmStretch?: number
  /** the bytes of the files that the measures name */
  readonly files?: ReadonlyMap<string, Uint8Array>
}

/** The words a template uses for lengths, so that it need not know units: mm in, text out. */
export type Say = (mm: number) => string

export interface Template {
  readonly id: string
  readonly title: string
  /** when to pick it, one sentence */
  readonly when: string
  readonly specs: Specs
  /** names of the edges that take an allowance of their own; bottom, right, top, left if left out */
  readonly edges?: readonly string[]
  /** measures of the worked example, as a person types them, with what comes out */
  readonly example: { readonly measures: Readonly<Record<string, unknown>>; readonly shows: string }
  /** everything contradictory in the values; field names as the person typed them */
  readonly check: (values: AnyValues) => readonly Problem[]
  /** of values that are not refused, what a person shall look at again; field names as in `check` */
  readonly doubts?: (values: AnyValues, facts: Facts, say: Say) => readonly Warning[]
  /** the panels, in the order in which they go on; throws a `Refusal` for what only shows in working them out */
  readonly develop: (values: AnyValues, facts: Facts, say: Say) => readonly Development[]
  /**
   * the object with its measures, or with letters where they go when no values are given; `hung` is where its first panel
   * hangs on the flat film, where the shape's own hinge is not asked for
   */
  readonly sketch: (values: AnyValues | undefined, say: Say, hung?: Stretch) => Picture
}

/** Gives `check`, `develop` and `sketch` their value types from `specs`. */
export function defineTemplate<const S extends Specs>(
  template: Omit<Template, 'specs' | 'check' | 'doubts' | 'develop' | 'sketch'> & {
    readonly specs: S
    readonly check: (values: Values<S>) => readonly Problem[]
    readonly doubts?: (values: Values<S>, facts: Facts, say: Say) => readonly Warning[]
    readonly develop: (values: Values<S>, facts: Facts, say: Say) => readonly Development[]
    readonly sketch: (values: Values<S> | undefined, say: Say, hung?: Stretch) => Picture
  },
): Template {
  return template as unknown as Template
}
