import { nearestWord } from '../measure/nearest.ts'

/** The shapes that people mean by the name of a solid, or of the thing itself. */
const meanings: Readonly<Record<string, readonly string[]>> = {
  ball: ['dome'],
  band: ['straight-band', 'tapered-band'],
  bottle: ['turned-body'],
  box: ['box-sleeve'],
  bucket: ['tapered-band'],
  can: ['straight-band'],
  circle: ['disc'],
  cone: ['tapered-band'],
  cylinder: ['straight-band'],
  ellipse: ['oval'],
  flask: ['straight-band', 'turned-body'],
  freeform: ['outline-by-offsets'],
  funnel: ['tapered-band', 'square-to-round'],
  hexagon: ['rounded-polygon', 'prism-sleeve'],
  label: ['flat-panel'],
  letters: ['lettering'],
  lid: ['flat-panel', 'disc'],
  outline: ['outline-by-offsets'],
  pail: ['tapered-band'],
  panel: ['flat-panel', 'four-sided-panel'],
  pipe: ['straight-band', 'elbow'],
  polygon: ['rounded-polygon'],
  prism: ['prism-sleeve'],
  quadrilateral: ['four-sided-panel'],
  rect: ['flat-panel'],
  rectangle: ['flat-panel'],
  round: ['disc', 'straight-band'],
  sheet: ['flat-panel'],
  sphere: ['dome'],
  square: ['flat-panel'],
  sticker: ['flat-panel'],
  text: ['lettering'],
  tin: ['straight-band'],
  trapezium: ['four-sided-panel'],
  trapezoid: ['four-sided-panel'],
  triangle: ['rounded-polygon'],
  tube: ['straight-band'],
  washer: ['ring'],
}

/** The shapes, of those there are, that may be meant by a name that is none of them. */
export function meantShapes(name: string, known: readonly string[]): readonly string[] {
  const meant = (meanings[name.trim().toLowerCase()] ?? []).filter((shape) => known.includes(shape))
  if (meant.length > 0) return meant
  const near = nearestWord(name, known)
  return near === undefined ? [] : [near]
}
