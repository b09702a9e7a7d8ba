import type { Piece } from './sheet.ts'

/** What a piece is called among others, such as `paint tin 2`; without a number where there is one alone. */
export const pieceName = ({ panel, copy, copies }: Piece): string => (copies > 1 ? `${panel.name} ${copy}` : panel.name)

/** The same for a person who looks at one of them: `paint tin 2 of 6`. */
export const pieceTitle = ({ panel, copy, copies }: Piece): string =>
  copies > 1 ? `${panel.name} ${copy} of ${copies}` : panel.name

/** The same in full, where it stands without a picture: `paint tin, copy 2 of 6`. */
export const pieceWords = ({ panel, copy, copies }: Piece): string =>
  copies > 1 ? `${panel.name}, copy ${copy} of ${copies}` : panel.name

/** The group that a piece belongs to: its own, or that of its copies. */
export const groupName = ({ group, panel }: Piece): string => group ?? panel.name
