/** A rim cut by a plane that leans. */
export interface Rim {
  /** tangent of the angle between the plane and a square cut, > 0 */
  readonly tangent: number
  /** where the rim is highest, radians round from the hinge, positive to the right */
  readonly high: number
}

/** The place on a cylinder or cone from which a rim's heights are told. */
export interface Foot {
  /** mm from the axis */
  readonly radius: number
  /** mm by which the object widens for each mm straight up */
  readonly lean: number
  /** radians round from the hinge, positive to the right */
  readonly at: number
}

/**
 * Height of a rim over its foot at the angle `round`, mm straight up. The plane z = c + r tan g cos(round - high) meets
 * the cone r = radius + lean z; on a cylinder that is the sine curve of the sheet-metal books.
 */
export function rimHeight({ tangent, high }: Rim, { radius, lean, at }: Foot, round: number): number {
  const c = Math.cos(round - high)
  return (radius * tangent * (c - Math.cos(at - high))) / (1 - lean * tangent * c)
}

/** Its derivative, mm for each radian. */
export function rimRate({ tangent, high }: Rim, { radius, lean, at }: Foot, round: number): number {
  const away = 1 - lean * tangent * Math.cos(round - high)
  const rest = 1 - lean * tangent * Math.cos(at - high)
  return (-radius * tangent * Math.sin(round - high) * rest) / (away * away)
}

/** The tangent of the cut whose highest place stands `rise` mm over its lowest: `rimHeight` there, solved for it. */
export function tangentOfRise(rise: number, high: number, { radius, lean, at }: Foot): number {
  const k = Math.cos(at - high)
  return rise / (radius + Math.sqrt(radius * radius - rise * lean * (2 * radius * k - rise * lean)))
}
