import type { Key } from '../job-text.ts'

/** What a field takes; shapes say it in their specs, the page says it for all else. */
export interface FieldSpec {
  readonly kind:
    | 'length'
    | 'angle'
    | 'number'
    | 'choice'
    | 'text'
    | 'file'
    | 'corners'
    | 'list'
    | 'switch'
    | 'lengths'
    | 'points'
  readonly help: string
  readonly letter?: string
  readonly min?: number
  readonly max?: number
  readonly standard?: number | string | boolean
  readonly optional?: true
  readonly under?: string
  readonly options?: readonly string[]
  /** does a choice stand in the file though it is the usual one? */
  readonly kept?: true
  readonly item?: Readonly<Record<string, FieldSpec>>
  readonly fewest?: number
  /** endings of the files that a `file` field takes; fonts unless said */
  readonly accept?: string
  /** parts of a `corners` field */
  readonly parts?: readonly string[]
  readonly label?: string
  /** is it one figure, not readings of a tape? */
  readonly single?: true
}

export interface FieldProps {
  /** from the top of the job */
  readonly at: readonly Key[]
  readonly spec: FieldSpec
  readonly label?: string
}

export const idOf = (at: readonly Key[]) => `field-${at.join('-')}`
