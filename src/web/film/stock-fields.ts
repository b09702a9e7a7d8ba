import type { FieldSpec } from '../fields/spec.ts'

type Fields = Readonly<Record<string, FieldSpec>>

const length = (help: string): FieldSpec => ({ kind: 'length', single: true, optional: true, help })

const needed = (help: string): FieldSpec => ({ kind: 'length', single: true, help })

/** What is told of any film in stock. */
export const stockFields: Fields = {
  film: { kind: 'text', optional: true, help: "which film it is; the job's own where left out" },
  margin: { kind: 'length', single: true, standard: 10, help: 'kept free along every edge' },
  face: {
    kind: 'choice',
    options: ['plain', 'printed', 'brushed'],
    standard: 'plain',
    help: 'printed and brushed film has a direction, so nothing is turned on it',
  },
  turn: {
    kind: 'choice',
    options: ['as its face allows', 'any', 'quarter', 'none'],
    standard: 'as its face allows',
    help: 'how pieces may be turned on it: any angle, quarter turns or not at all',
  },
  price: { kind: 'number', optional: true, help: 'of a metre of roll, or of one sheet or offcut' },
  badSpots: {
    kind: 'list',
    help: 'creases and the like to keep clear of, from the left and the bottom edge',
    item: {
      x: length('from the left edge'),
      y: length('from the bottom edge'),
      radius: length('of a round spot, round its middle'),
      width: length('of a rectangle, from its lower left corner'),
      height: length('of a rectangle'),
    },
  },
}

/** @param count how many sheets there are where nothing tells */
export const sizeFields = (kind: string, count: number): Fields =>
  kind === 'roll'
    ? {
        width: { kind: 'length', single: true, standard: 630, help: 'across the film' },
        length: { kind: 'length', single: true, standard: 10000, help: 'what is left on the roll' },
      }
    : {
        width: length('across the film; as much as the machine takes, if left out'),
        length: length('along the film; as much as the machine takes, if left out'),
        count: { kind: 'number', standard: count, help: 'how many there are, alike' },
      }

/** The ways to measure an offcut, and what each asks for. */
export const offcutWays: Readonly<Record<string, { readonly title: string; readonly fields: Fields }>> = {
  size: {
    title: 'a rectangle',
    fields: { length: needed('along the film'), width: needed('across the film') },
  },
  sides: {
    title: 'four sides and a diagonal',
    fields: {
      bottom: { ...needed('along the bottom edge'), letter: 'A' },
      right: { ...needed('up the right edge'), letter: 'B' },
      top: { ...needed('along the top edge'), letter: 'C' },
      left: { ...needed('up the left edge'), letter: 'D' },
      bottomLeftToTopRight: {
        ...length('from the bottom left corner to the top right one; or the other'),
        letter: 'E',
      },
      bottomRightToTopLeft: {
        ...length('from the bottom right corner to the top left one; both prove it'),
        letter: 'F',
      },
    },
  },
  corners: {
    title: 'corner by corner',
    fields: {
      corners: {
        kind: 'points',
        help: 'each corner as its distance from a left and from a bottom line, in turn: 0, 0; 520, 12; 498, 190',
      },
    },
  },
}
