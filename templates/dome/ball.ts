import type { Problem } from '../../src/measure/problem.ts'
import type { DomeValues } from './template.ts'

/** The least between the lower and the upper edge, radians. */
const leastSpan = (2 * Math.PI) / 180

/** The part of a ball that the film covers: radius in mm, latitudes of its edges in radians. */
export interface Ball {
  readonly radius: number
  readonly low: number
  readonly high: number
}

/** Radius of the ball of which a cap has the rim radius `a` and the height `h`, mm. */
export const capRadius = (a: number, h: number): number => (a * a + h * h) / (2 * h)

/** NaN where measures are missing. */
export function ballOf(v: DomeValues): Ball {
  const { rim, height, girth } = v
  const radius =
    rim === undefined
      ? (v.radius ?? (girth === undefined ? Number.NaN : girth / (2 * Math.PI)))
      : capRadius(rim / 2, height ?? Number.NaN)
  const top = Math.PI / 2
  if (height !== undefined) return { radius, low: Math.asin((radius - height) / radius), high: top }
  if (v.from !== undefined || v.to !== undefined) return { radius, low: v.from ?? 0, high: v.to ?? top }
  return { radius, low: v.part === 'whole' ? -top : 0, high: top }
}

/** Measures of the ball that are missing or do not go together. */
export function ballProblems(v: DomeValues): Problem[] {
  return [...sizeProblems(v), ...extentProblems(v)]
}

function sizeProblems({ girth, radius, rim, height }: DomeValues): Problem[] {
  const given = Object.entries({ girth, radius, rim }).filter(([, mm]) => mm !== undefined)
  const [first, second] = given
  if (!first) {
    return [
      {
        code: 'missing',
        field: 'girth',
        value: 'not given',
        limit: 'a dome needs girth, radius, or rim with height',
        cure: 'Put the tape round the widest place and enter girth; for a shallow cap measure rim and height.',
      },
    ]
  }
  if (second) return [sizeTwice(first, second, height)]
  if (rim !== undefined && height === undefined) {
    return [
      {
        code: 'missing',
        field: 'height',
        value: 'not given',
        limit: 'a rim tells the ball only together with the height of the cap',
        cure: 'Measure from the rim straight up to the top.',
      },
    ]
  }
  return []
}

type Given = readonly [name: string, mm: number | undefined]

/** Two measures of one ball, with how far they are apart where that can be told. */
function sizeTwice([first, a]: Given, [second, b]: Given, height: number | undefined): Problem {
  const radiusBy = (name: string, mm = Number.NaN) => {
    if (name === 'girth') return mm / (2 * Math.PI)
    return name === 'radius' ? mm : capRadius(mm / 2, height ?? Number.NaN)
  }
  const [one, other] = [radiusBy(first, a), radiusBy(second, b)]
  const apart = Number.isNaN(other)
    ? 'one of them is enough'
    : `the radius is ${one.toFixed(1)} mm by the one and ${other.toFixed(1)} mm by the other, ${Math.abs(one - other).toFixed(1)} mm apart`
  return {
    code: 'contradiction',
    field: second,
    value: `${b} mm beside ${first} ${a} mm`,
    limit: apart,
    cure: 'Keep the one you trust more: a tape round the widest place beats a rim and a height.',
  }
}

function extentProblems(v: DomeValues): Problem[] {
  const { height, from, to, part } = v
  const told = [
    ...(height === undefined ? [] : ['height']),
    ...(from === undefined && to === undefined ? [] : ['from and to']),
    ...(part === 'whole' ? ['part whole'] : []),
  ]
  const problems: Problem[] = []
  if (told.length > 1) {
    problems.push({
      code: 'contradiction',
      field: told.includes('height') ? 'height' : 'part',
      value: `given beside ${told.at(-1)}`,
      limit: 'how much of the ball is covered is told in one way',
      cure: `Keep one of ${told.join(', ')}.`,
    })
  }
  const { radius, low, high } = ballOf(v)
  if (height !== undefined && v.rim === undefined && height >= 2 * radius) {
    problems.push({
      code: 'too_big',
      field: 'height',
      value: `${height} mm`,
      limit: `the ball is ${(2 * radius).toFixed(1)} mm high`,
      cure: 'Measure it again, or cover the whole ball: part whole.',
    })
  } else if (high - low < leastSpan) {
    problems.push({
      code: 'edges_too_near',
      field: from === undefined && to === undefined ? 'height' : 'to',
      value: `${degrees(high - low)} degrees above the lower edge`,
      limit: 'the upper edge is at least 2 degrees above the lower one',
      cure:
        from === undefined && to === undefined
          ? 'Cut so flat a cap as a disc.'
          : 'Check whether from and to were changed over.',
    })
  }
  return problems
}

const degrees = (radians: number) => ((radians * 180) / Math.PI).toFixed(1)

/** Is the latitude that of a pole? */
export const atPole = (latitude: number) => Math.abs(latitude) > Math.PI / 2 - 1e-9
