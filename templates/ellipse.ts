import { type Cubic, cubicTo, openPath, type Path } from '../src/geometry/path.ts'
import { point } from '../src/geometry/point.ts'

/** Cubics in half an ellipse; each is off by at most 3.3e-11 of the longer axis. */
const pieces = 32

/**
 * The lower half of the ellipse with semi-axes `a` level and `b` upright, mm, about the origin, left to right. A circle
 * in cubics of the turn u, with handles (4/3) tan(u/4) of its radius, is off by about (4/27) sin^6(u/4) of it
 * (Goldapp, Approximation of circular arcs by cubic polynomials, 1991); stretching keeps a cubic a cubic.
 */
export function lowerHalfEllipse(a: number, b: number): Path {
  const step = Math.PI / pieces
  const k = (4 / 3) * Math.tan(step / 4)
  // From -90 degrees at the left to +90 at the right, exact at the ends and in the middle.
  const sine = (i: number) =>
    i === 0 ? -1 : i === pieces ? 1 : i === pieces / 2 ? 0 : Math.sin(i * step - Math.PI / 2)
  const cosine = (i: number) => (i === 0 || i === pieces ? 0 : Math.cos(i * step - Math.PI / 2))
  const segments = Array.from({ length: pieces }, (_, i): Cubic => {
    const [s, c, s2, c2] = [sine(i), cosine(i), sine(i + 1), cosine(i + 1)]
    return cubicTo(
      point(a * (s + k * c), -b * (c - k * s)),
      point(a * (s2 - k * c2), -b * (c2 + k * s2)),
      point(a * s2, 0 - b * c2),
    )
  })
  return openPath(point(-a, 0), ...segments)
}

/**
 * The way round an ellipse with semi-axes `a` and `b`, mm: 4 a E(m) with m = 1 - b^2/a^2, the integral of its speed,
 * by the arithmetic-geometric mean: E = K (1 - sum 2^(n-1) c_n^2), K = pi / (2 M(1, b/a)) (DLMF 19.8.1, 19.8.6).
 */
export function ellipseGirth(a: number, b: number): number {
  let [x, y] = [Math.max(a, b), Math.min(a, b)]
  if (y === 0) return 4 * x
  let sum = x * x - ((x - y) * (x + y)) / 2
  for (let power = 1; x - y > 1e-16 * x && power < 2 ** 40; power *= 2) {
    const c = (x - y) / 2
    sum -= power * c * c
    ;[x, y] = [(x + y) / 2, Math.sqrt(x * y)]
  }
  return (2 * Math.PI * sum) / x
}
