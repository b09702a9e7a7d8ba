import type { ObjectView, PlainJob, WantedSpot } from '../job/preview-data.ts'

/** What the page asks of its worker, and gets. */
export type Ask =
  | { readonly what: 'catalogue' }
  | { readonly what: 'object'; readonly job: PlainJob; readonly index: number; readonly view: ObjectView }
  | { readonly what: 'job'; readonly text: string; readonly withSheets: boolean }
  | { readonly what: 'request'; readonly text: string }
  | { readonly what: 'blade'; readonly text: string; readonly sheet: number }
  | { readonly what: 'spot'; readonly text: string; readonly wanted: WantedSpot }
  | { readonly what: 'files'; readonly text: string }
  | { readonly what: 'check'; readonly name: string; readonly bytes: Uint8Array; readonly report: string }
  | { readonly what: 'keep'; readonly name: string; readonly bytes: Uint8Array }
  | { readonly what: 'serve'; readonly base: string }
  | { readonly what: 'warm' }

/** What a lane of a search is started with: what to lay, and from which seed. */
export interface LaneOrder {
  readonly request: unknown
  readonly seed: number
}

export interface Question {
  readonly id: number
  readonly ask: Ask
}

export type Answer = { readonly id: number } & ({ readonly got: unknown } | { readonly failed: string })
