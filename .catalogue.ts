// Drawn once, when the page is built.
import { catalogueEntries } from './src/job/preview.ts'

export const entries = await catalogueEntries()
