/** mm^2 in a square foot: a foot is 304.8 mm (international yard and pound agreement, 1959). */
const squareFoot = 304.8 ** 2

/** An area of film in square metres, or in square feet where lengths are in inches or feet. */
export const areaWords = (mm2: number, unit: string, decimals = 3): string =>
  unit === 'in' || unit === 'ft'
    ? `${(mm2 / squareFoot).toFixed(decimals - 1)} sq ft`
    : `${(mm2 / 1e6).toFixed(decimals)} m²`
