import type { Template } from '../src/panel/template.ts'

/** The catalogue, in the order a person is shown it; a shape is loaded when it is wanted. */
export const shapes: Readonly<Record<string, () => Promise<Template>>> = {
  'flat-panel': async () => (await import('./flat-panel/template.ts')).flatPanel,
  'four-sided-panel': async () => (await import('./four-sided-panel/template.ts')).fourSidedPanel,
  'outline-by-offsets': async () => (await import('./outline-by-offsets/template.ts')).outlineByOffsets,
  disc: async () => (await import('./disc/template.ts')).disc,
  ring: async () => (await import('./ring/template.ts')).ring,
  oval: async () => (await import('./oval/template.ts')).oval,
  stadium: async () => (await import('./stadium/template.ts')).stadium,
  'rounded-polygon': async () => (await import('./rounded-polygon/template.ts')).roundedPolygon,
  arch: async () => (await import('./arch/template.ts')).arch,
  'straight-band': async () => (await import('./straight-band/template.ts')).straightBand,
  'tapered-band': async () => (await import('./tapered-band/template.ts')).taperedBand,
  elbow: async () => (await import('./elbow/template.ts')).elbow,
  'box-sleeve': async () => (await import('./box-sleeve/template.ts')).boxSleeve,
  'prism-sleeve': async () => (await import('./prism-sleeve/template.ts')).prismSleeve,
  'square-to-round': async () => (await import('./square-to-round/template.ts')).squareToRound,
  'turned-body': async () => (await import('./turned-body/template.ts')).turnedBody,
  dome: async () => (await import('./dome/template.ts')).dome,
  lettering: async () => (await import('./lettering/template.ts')).lettering,
}
