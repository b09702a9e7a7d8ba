import { plainRange, widestRange } from '../job/ranges.ts'
import type { FieldSpec } from './fields/spec.ts'

/** How panels are handled: the same fields for an object and, as `defaults`, for the job. */
export const handling = (edges: readonly string[]): Readonly<Record<string, FieldSpec>> => ({
  allowance: {
    kind: 'corners',
    single: true,
    parts: [...edges, 'other'],
    standard: 1,
    help: 'film past every measured edge; below 0 it stays inside it',
  },
  ticks: {
    kind: 'choice',
    options: ['auto', 'pen', 'notch', 'waste'],
    standard: 'auto',
    help: 'drawn by pen, as a round notch, or cut in the waste beside the edge; auto picks what lasts',
  },
  ticksAt: {
    kind: 'lengths',
    label: 'more ticks at',
    help: 'quarters, or lengths along the bottom edge from its left end; part them by ;',
  },
  hinge: {
    kind: 'length',
    single: true,
    standard: 'upright',
    help: 'the line to hang it from: upright, level, or a length along the bottom edge',
  },
  slit: {
    kind: 'choice',
    options: ['one', 'strip', 'none'],
    standard: 'one',
    help: 'liner lines at the hinge: one, two with a strip between them, or none',
  },
  strip: { kind: 'length', single: true, standard: 30, help: 'width of the strip between two slits' },
})

/** How the pieces of an object are laid on the film. */
export const laying: Readonly<Record<string, FieldSpec>> = {
  turn: {
    kind: 'choice',
    options: ['as the film allows', 'any', 'quarter', 'none'],
    standard: 'as the film allows',
    help: 'any angle, quarter turns or not at all; never mirrored',
  },
  group: { kind: 'text', optional: true, help: 'pieces of one group come out of one sheet' },
}

export interface Group {
  readonly title: string
  readonly fields: readonly { readonly at: readonly string[]; readonly spec: FieldSpec; readonly label: string }[]
  readonly open?: true
}

/** Everything of a job beside its objects. */
export const jobGroups: readonly Group[] = [
  {
    title: 'Layout',
    fields: [
      {
        at: ['layout', 'gap'],
        label: 'gap',
        spec: { kind: 'length', single: true, standard: 12, help: 'kept free between pieces' },
      },
      {
        at: ['layout', 'weed'],
        label: 'weed border',
        spec: {
          kind: 'choice',
          options: ['none', 'piece', 'group'],
          standard: 'none',
          help: 'a cut round each piece, or round each group, to weed the film from',
        },
      },
      {
        at: ['layout', 'cutOff'],
        label: 'cut-off lines',
        spec: {
          kind: 'choice',
          options: ['none', 'pen', 'through'],
          standard: 'none',
          help: 'lines across the film between groups, drawn or cut through',
        },
      },
      {
        at: ['layout', 'tile'],
        label: 'part what is too big',
        spec: { kind: 'switch', standard: false, help: 'panels bigger than the film are cut in parts that overlap' },
      },
      {
        at: ['layout', 'seed'],
        label: 'seed',
        spec: { kind: 'number', standard: 1, help: 'another number gives another layout' },
      },
      {
        at: ['layout', 'effort'],
        label: 'effort',
        spec: { kind: 'number', standard: 3, help: 'rounds of search; more takes longer and may take less film' },
      },
    ],
  },
  {
    title: 'Cutter',
    fields: [
      {
        at: ['machine', 'like'],
        label: 'like',
        spec: {
          kind: 'choice',
          options: ['plain-roll', 'plain-sheet', 'wide-roll', 'by-hand'],
          standard: 'plain-roll',
          help: 'the plain machine that it is most like, or by-hand where there is no cutter: then only paper is written',
        },
      },
      {
        at: ['machine', 'area', 'across'],
        label: 'reach across',
        spec: { kind: 'length', single: true, optional: true, help: 'largest travel across the film' },
      },
      {
        at: ['machine', 'area', 'along'],
        label: 'reach along',
        spec: { kind: 'length', single: true, optional: true, help: 'largest travel along the film' },
      },
      {
        at: ['machine', 'range'],
        label: 'counts to, units',
        spec: {
          kind: 'number',
          optional: true,
          help: `largest coordinate that it takes, by its manual: ${plainRange} are 819 mm at 40 a mm; ${widestRange} where it reads HP-GL/2`,
        },
      },
      {
        at: ['machine', 'blade', 'offset'],
        label: 'blade offset',
        spec: { kind: 'length', single: true, optional: true, help: 'from the swivel axis back to the tip' },
      },
      {
        at: ['cut'],
        label: 'cut',
        spec: {
          kind: 'choice',
          options: ['kiss', 'through'],
          standard: 'kiss',
          help: 'kiss: through the film alone; through: the liner too',
        },
      },
    ],
  },
  {
    title: 'Film and liner',
    fields: [
      {
        at: ['film', 'name'],
        label: 'name',
        spec: { kind: 'text', standard: 'self-adhesive film', help: 'as it stands on the job sheet' },
      },
      {
        at: ['film', 'thickness'],
        label: 'thickness',
        spec: { kind: 'length', single: true, standard: 0.08, help: 'of the film without its liner' },
      },
      {
        at: ['film', 'stretch'],
        label: 'stretch, percent',
        spec: {
          kind: 'number',
          optional: true,
          help: "how much it may give and still lie; see the maker's data sheet",
        },
      },
      {
        at: ['film', 'liner', 'material'],
        label: 'liner',
        spec: {
          kind: 'choice',
          options: ['paper', 'plastic'],
          standard: 'paper',
          help: 'paper parts along a scratch, plastic does not',
        },
      },
      {
        at: ['film', 'liner', 'thickness'],
        label: 'liner thickness',
        spec: { kind: 'length', single: true, standard: 0.1, help: 'the slitter goes no deeper' },
      },
    ],
  },
  {
    title: 'Tape and paper',
    fields: [
      {
        at: ['tape', 'class'],
        label: 'tape class',
        spec: { kind: 'choice', options: ['I', 'II', 'III'], standard: 'II', help: 'printed on the tape' },
      },
      {
        at: ['tape', 'thickness'],
        label: 'tape thickness',
        spec: { kind: 'length', single: true, standard: 0, help: 'when it is laid round' },
      },
      {
        at: ['paper'],
        label: 'paper',
        spec: {
          kind: 'choice',
          options: ['A4', 'A3', 'Letter', 'Legal', 'Tabloid'],
          help: 'in the printer; as usual: A4, or Letter where the unit is in or ft',
        },
      },
    ],
  },
]

/** Units that bare numbers can be in. */
export const unitSpec: FieldSpec = {
  kind: 'choice',
  options: ['mm', 'cm', 'm', 'in', 'ft'],
  standard: 'mm',
  kept: true,
  help: 'of bare numbers',
}
