import type { Template } from '../src/panel/template.ts'
import { arch } from './arch/template.ts'
import { boxSleeve } from './box-sleeve/template.ts'
import { disc } from './disc/template.ts'
import { dome } from './dome/template.ts'
import { elbow } from './elbow/template.ts'
import { flatPanel } from './flat-panel/template.ts'
import { fourSidedPanel } from './four-sided-panel/template.ts'
import { outlineByOffsets } from './outline-by-offsets/template.ts'
import { oval } from './oval/template.ts'
import { prismSleeve } from './prism-sleeve/template.ts'
import { ring } from './ring/template.ts'
import { roundedPolygon } from './rounded-polygon/template.ts'
import { squareToRound } from './square-to-round/template.ts'
import { stadium } from './stadium/template.ts'
import { straightBand } from './straight-band/template.ts'
import { taperedBand } from './tapered-band/template.ts'
import { turnedBody } from './turned-body/template.ts'

/**
 * The catalogue, in the order a person is shown it. Lettering is loaded when it is wanted, because of the library that
 * reads fonts.
 */
export const shapes: Readonly<Record<string, () => Template | Promise<Template>>> = {
  'flat-panel': () => flatPanel,
  'four-sided-panel': () => fourSidedPanel,
  'outline-by-offsets': () => outlineByOffsets,
  disc: () => disc,
  ring: () => ring,
  oval: () => oval,
  stadium: () => stadium,
  'rounded-polygon': () => roundedPolygon,
  arch: () => arch,
  'straight-band': () => straightBand,
  'tapered-band': () => taperedBand,
  elbow: () => elbow,
  'box-sleeve': () => boxSleeve,
  'prism-sleeve': () => prismSleeve,
  'square-to-round': () => squareToRound,
  'turned-body': () => turnedBody,
  dome: () => dome,
  lettering: async () => (await import('./lettering/template.ts')).lettering,
}
