/** How far machines count, for a page. */
export { plainRange, widestRange } from '../machine/ranges.ts'
