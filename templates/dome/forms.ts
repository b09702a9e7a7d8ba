import { sinc } from '../../src/geometry/arc.ts'
import type { GoreForm } from '../gore.ts'

/** Gores of a ball of radius `radius` mm between two latitudes, radians; y is the arc of the middle from the equator. */
export interface GoreOfBall {
  readonly radius: number
  readonly count: number
  readonly low: number
  readonly high: number
}

function commonForm({ radius, count, low, high }: GoreOfBall) {
  return {
    halfWidth: (f: number) => ((Math.PI * radius) / count) * Math.cos(f),
    curvature: () => 1 / (radius * radius),
    knots: low < 0 && high > 0 ? [low, 0, high] : [low, high],
  }
}

/**
 * Level lines straight and as long as on the ball, evenly spaced along the middle: the sinusoidal projection
 * (Snyder, USGS PP 1395, pp. 243-248). The gore has exactly its share of the ball's area.
 */
export function equalArcForm(gore: GoreOfBall): GoreForm {
  const half = (Math.PI * gore.radius) / gore.count
  return {
    ...commonForm(gore),
    place: (share, f) => ({ x: share * half * Math.cos(f), y: gore.radius * f }),
    rate: (share, f) => ({ x: -share * half * Math.sin(f), y: gore.radius }),
    turn: () => 0,
  }
}

/**
 * Level lines as arcs of their true length about centres on the middle line: the polyconic projection (Snyder, USGS
 * PP 1395, pp. 124-129), E = L sin f, x = R cot f sin E, y = R f + R cot f (1 - cos E), written so that it runs
 * smoothly through the equator.
 */
export function polyconicForm(gore: GoreOfBall): GoreForm {
  const { radius } = gore
  const half = Math.PI / gore.count
  return {
    ...commonForm(gore),
    place: (share, f) => {
      const e = share * half * Math.sin(f)
      const s = sinc(e / 2)
      const l = share * half
      return {
        x: radius * Math.cos(f) * l * sinc(e),
        y: radius * (f + (Math.cos(f) * Math.sin(f) * l * l * s * s) / 2),
      }
    },
    rate: (share, f) => {
      const l = share * half
      const [sin, cos] = [Math.sin(f), Math.cos(f)]
      const e = l * sin
      const s = sinc(e / 2)
      // Derivatives of sinc(e) and of sinc(e / 2)^2 by f.
      const first = sincRate(e) * l * cos
      const second = s * sincRate(e / 2) * l * cos
      return {
        x: radius * l * (cos * first - sin * sinc(e)),
        y: radius * (1 + (l * l * ((cos * cos - sin * sin) * s * s + cos * sin * second)) / 2),
      }
    },
    turn: (f) => half * Math.sin(f),
  }
}

/** Derivative of sin(x) / x, smooth through 0. */
function sincRate(x: number): number {
  return Math.abs(x) < 1e-3 ? (-x * (1 - (x * x) / 10)) / 3 : (Math.cos(x) - sinc(x)) / x
}
