import type { Warning } from '../measure/warning.ts'
import type { Specs } from '../panel/template.ts'
import type { LineStyle } from '../picture/picture.ts'
import type { Operation } from '../stroke/stroke.ts'
import type { OutFile } from './out-file.ts'
import type { SendCheck } from './send-check.ts'

/** What goes through the door of `preview.ts`: plain data, ready to be sent between threads. */

/** A job as it stands in its file, as plain data. */
export type PlainJob = Readonly<Record<string, unknown>>

/** A picture whose paths are SVG path data in mm, y down, as far as a page needs it. */
export interface ScreenPicture {
  readonly title: string
  readonly width: number
  readonly height: number
  readonly areas: readonly { readonly d: string; readonly colour: string }[]
  readonly lines: readonly { readonly style: LineStyle; readonly d: string }[]
  readonly words: readonly ScreenWords[]
}

export interface ScreenWords {
  readonly x: number
  readonly y: number
  readonly text: string
  readonly size: number
  readonly anchor: 'start' | 'middle' | 'end'
  /** degrees, clockwise */
  readonly turn: number
  readonly bold: boolean
  /** letters of fields that the words name */
  readonly letters: readonly string[]
}

/** A shape as a person picks it and fills it in. */
export interface CatalogueEntry {
  readonly id: string
  readonly title: string
  readonly when: string
  readonly specs: Specs
  /** edges that take an allowance of their own */
  readonly edges: readonly string[]
  readonly example: { readonly measures: Readonly<Record<string, unknown>>; readonly shows: string }
  /** where to measure, with the letters of the fields */
  readonly sketch: ScreenPicture
}

/** A problem with the place in the job that it is about, as far as that is known. */
export interface PlacedProblem {
  readonly code: string
  /** which object, from 0; undefined for the job as a whole */
  readonly object?: number
  /** keys down to the field, from the object or from the job */
  readonly path: readonly (string | number)[]
  /** what is wrong, the limit, and what to do */
  readonly text: string
  readonly line?: number
}

/** A warning with the place in the job that it is about, as a problem has it; no path where that is not known. */
export type PlacedWarning = Pick<PlacedProblem, 'object' | 'path' | 'text'> & Pick<Warning, 'readAs'>

export interface PanelPreview {
  readonly name: string
  readonly copies: number
  readonly width: string
  readonly height: string
  /** film side up with its dimensions, at `scale` */
  readonly picture: ScreenPicture
  readonly scale: number
  /** what lies between the measured edge and the cut, as path data for an even-odd fill */
  readonly allowance: string
  readonly strain?: ScreenPicture
  readonly marks: readonly string[]
  readonly ticks: string
  readonly notes: readonly string[]
  /** how to mark it out by hand, where that is asked for */
  readonly markOut?: {
    readonly lines: readonly string[]
    readonly table?: { readonly columns: readonly string[]; readonly rows: readonly (readonly string[])[] }
  }
}

export interface ObjectPreview {
  readonly problems: readonly PlacedProblem[]
  readonly warnings: readonly PlacedWarning[]
  /** what a measure also comes to, by the name of its field */
  readonly asides?: Readonly<Record<string, string>>
  /** the object with its measures */
  readonly sketch?: ScreenPicture
  readonly panels?: readonly PanelPreview[]
}

export interface SheetPreview {
  readonly number: number
  readonly length: string
  readonly width: string
  /** what it is cut from, and which of the sheets from there it is, from 1 */
  readonly stock: string
  readonly ofStock: number
  readonly picture: ScreenPicture
  readonly pieces: readonly PiecePreview[]
  readonly film: readonly ScreenStroke[]
  /** as it lies liner side up */
  readonly liner: readonly ScreenStroke[]
}

/** A piece where it lies. */
export interface PiecePreview {
  readonly name: string
  /** which object of the job, from 0 */
  readonly object: number
  readonly panel: string
  readonly copy: number
  /** its cut line, mm, y down */
  readonly d: string
  /** mm from the left and the bottom edge of the film to the box round it, and degrees counter-clockwise */
  readonly x: number
  readonly y: number
  readonly angle: number
  readonly isPinned: boolean
}

/** A place on the film as a person gives it, of one copy of a panel; mm and degrees. */
export interface WantedSpot {
  readonly panel: string
  readonly copy: number
  readonly stock: string
  readonly sheet: number
  readonly x: number
  readonly y: number
  readonly angle: number
}

/** A roll, a sheet or an offcut that the job may be cut from. */
export interface StockPreview {
  readonly name: string
  readonly kind: 'roll' | 'sheet' | 'offcut'
  readonly count: number
  readonly size: string
  /** from the shelf, not from the job itself */
  readonly isShelved: boolean
  /** numbers of the sheets that are cut from it */
  readonly sheets: readonly number[]
  readonly picture: ScreenPicture
}

export interface ScreenStroke {
  readonly operation: Operation
  readonly name: string
  readonly d: string
}

/** How a search for a better layout stands. */
export interface SearchNews {
  readonly seed: number
  readonly round: number
  /** mm^2 of new film that is paid for, and what no layout of these pieces can do with less than */
  readonly paid: number
  readonly atLeast: number
  /** set where it has come to its end */
  readonly isOver?: true
  /** set where it is the best so far of its seed */
  readonly found?: {
    /** share of the film taken */
    readonly waste: number
    readonly sheets: readonly {
      readonly number: number
      readonly stock: string
      readonly picture: ScreenPicture
    }[]
  }
}

/** What the tool's tip does on one side of a sheet, stroke by stroke, and where it is farthest from what was asked for. */
export interface BladeWay {
  readonly strokes: readonly TipWay[]
  /** mm; `stroke` is its name */
  readonly worst?: { readonly distance: number; readonly stroke: string; readonly x: number; readonly y: number }
}

/** One stroke of the tip, as places along it, mm, y down. */
export interface TipWay {
  readonly operation: Operation
  readonly name: string
  readonly points: readonly { readonly x: number; readonly y: number }[]
}

export interface JobPreview {
  readonly problems: readonly PlacedProblem[]
  readonly warnings: readonly PlacedWarning[]
  readonly sheets?: readonly SheetPreview[]
  readonly stocks?: readonly StockPreview[]
  /** what it takes and leaves, in sentences */
  /** new film that the layout pays for, mm^2, and its sheets: what a search is to beat */
  readonly laid?: { readonly paid: number; readonly sheets: number }
  readonly material?: readonly string[]
}

export interface MadeFiles {
  readonly problems: readonly PlacedProblem[]
  readonly warnings: readonly PlacedWarning[]
  readonly files: readonly OutFile[]
  readonly checks: readonly FileCheckData[]
  readonly summary: readonly string[]
}

/** A cut file as a person looks at it before it is sent. */
export interface FileToSend extends Omit<SendCheck, 'tips'> {
  /** the way of the tool's tip in each of its lines, mm, y down from the lower edge of the sheet as it lies under the tool */
  readonly ways: readonly string[]
}

/** How far a cut file, read back, lies from the line asked for, mm, and where. */
export interface FileCheckData {
  readonly file: string
  readonly strokes: number
  readonly worst: number
  readonly at: { readonly x: number; readonly y: number }
  readonly stroke: string
}

/** Room for a panel's drawing, mm; words are set for a drawing of about this size. */
export interface Room {
  readonly width: number
  readonly height: number
}

/** What is to be shown of an object. */
export interface ObjectView {
  readonly room: Room
  /** are its lists for marking out by hand wanted? They take longer than all the rest of a curved panel. */
  readonly lists: boolean
}
