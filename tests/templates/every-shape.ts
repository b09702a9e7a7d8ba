import type fc from 'fast-check'
import { any as arch } from './any/arch.ts'
import { any as boxSleeve } from './any/box-sleeve.ts'
import { any as disc } from './any/disc.ts'
import { any as dome } from './any/dome.ts'
import { any as elbow } from './any/elbow.ts'
import { any as fourSidedPanel } from './any/four-sided-panel.ts'
import { any as lettering } from './any/lettering.ts'
import { any as outlineByOffsets } from './any/outline-by-offsets.ts'
import { any as oval } from './any/oval.ts'
import { any as prismSleeve } from './any/prism-sleeve.ts'
import { any as ring } from './any/ring.ts'
import { any as roundedPolygon } from './any/rounded-polygon.ts'
import { any as slantedStraightBand } from './any/slanted-straight-band.ts'
import { any as slantedTaperedBand } from './any/slanted-tapered-band.ts'
import { any as slopedEnd } from './any/sloped-end.ts'
import { any as squareToRound } from './any/square-to-round.ts'
import { any as stadium } from './any/stadium.ts'
import { any as turnedBody } from './any/turned-body.ts'
import { type Measured, squareBands } from './measures.ts'

/** Random valid measures of every shape of the catalogue. */
export const everyShape: Readonly<Record<string, fc.Arbitrary<Measured>>> = {
  ...squareBands,
  arches: arch,
  'box sleeves': boxSleeve,
  discs: disc,
  domes: dome,
  elbows: elbow,
  'four-sided panels': fourSidedPanel,
  lettering: lettering,
  'outlines by offsets': outlineByOffsets,
  ovals: oval,
  'prism sleeves': prismSleeve,
  rings: ring,
  'rounded polygons': roundedPolygon,
  'straight bands with slanted rims': slantedStraightBand,
  'tapered bands with slanted rims': slantedTaperedBand,
  'sloped ends, a shape of a shop of its own': slopedEnd,
  'square to round': squareToRound,
  stadiums: stadium,
  'turned bodies': turnedBody,
}
