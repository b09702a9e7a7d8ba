import type { Template } from '../src/panel/template.ts'
import { flatPanel } from './flat-panel/template.ts'
import { straightBand } from './straight-band/template.ts'
import { taperedBand } from './tapered-band/template.ts'

/** The catalogue, in the order a person is shown it. */
export const templates: readonly Template[] = [flatPanel, straightBand, taperedBand]
