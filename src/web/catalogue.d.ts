declare module 'virtual:catalogue' {
  import type { CatalogueEntry } from '../job/preview-data.ts'

  /** The shapes that come with the tool, drawn when the page was built. */
  const entries: readonly CatalogueEntry[]
  export default entries
}
