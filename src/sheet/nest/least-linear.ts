/** Rows `sum of by[4 k + c] z[at[4 k + c]] >= least[k]`, of four numbers each; where fewer count, the rest are 0. */
export interface Linear {
  /** how many z there are; the last one is to be the least */
  readonly count: number
  readonly at: Int32Array
  readonly by: Float64Array
  readonly least: Float64Array
  /** each z lies between these */
  readonly low: Float64Array
  readonly high: Float64Array
}

const mostSteps = 40

/**
 * The z of a linear programme with the least last one, near enough to `precision`; undefined where no z keeps to all rows.
 * Primal-dual interior points with a predictor and a corrector (Mehrotra, SIAM Journal on Optimization 2, 1992). All rows
 * are kept to with a little to spare; of many answers it gives one in their midst. Pauses after every step.
 */
export function* leastLast(
  { count: n, at, by, least, low, high }: Linear,
  precision: number,
): Generator<undefined, Float64Array | undefined> {
  const m = least.length
  const z = new Float64Array(n)
  for (let j = 0; j < n; j++) {
    const [a, b] = [low[j] as number, high[j] as number]
    // as near 0 as is well inside
    z[j] = Math.max(a + 0.1 * (b - a), Math.min(0, b - 0.1 * (b - a)))
  }
  const w = new Float64Array(m)
  const y = new Float64Array(m)
  const u = new Float64Array(n)
  const v = new Float64Array(n)
  const off = new Float64Array(m)
  const rowOf = (vector: Float64Array, k: number): number =>
    (by[4 * k] as number) * (vector[at[4 * k] as number] as number) +
    (by[4 * k + 1] as number) * (vector[at[4 * k + 1] as number] as number) +
    (by[4 * k + 2] as number) * (vector[at[4 * k + 2] as number] as number) +
    (by[4 * k + 3] as number) * (vector[at[4 * k + 3] as number] as number)
  let width = 0
  for (let j = 0; j < n; j++) width = Math.max(width, (high[j] as number) - (low[j] as number))
  const first = 0.02 * width
  for (let k = 0; k < m; k++) {
    w[k] = Math.max(rowOf(z, k) - (least[k] as number), 0.05 * width)
    y[k] = first / (w[k] as number)
  }
  for (let j = 0; j < n; j++) {
    u[j] = first / ((z[j] as number) - (low[j] as number))
    v[j] = first / ((high[j] as number) - (z[j] as number))
  }
  const start = envelopeOf(n, at, m)
  const matrix = new Float64Array(n * n)
  const right = new Float64Array(n)
  const dz = new Float64Array(n)
  const dw = new Float64Array(m)
  const dy = new Float64Array(m)
  const du = new Float64Array(n)
  const dv = new Float64Array(n)
  const offDual = new Float64Array(n)
  const pairs = m + 2 * n
  for (let step = 0; step < mostSteps; step++) {
    let worst = 0
    let gap = 0
    for (let k = 0; k < m; k++) {
      off[k] = rowOf(z, k) - (w[k] as number) - (least[k] as number)
      worst = Math.max(worst, Math.abs(off[k] as number))
      gap += (w[k] as number) * (y[k] as number)
    }
    for (let j = 0; j < n; j++) {
      gap += (u[j] as number) * ((z[j] as number) - (low[j] as number))
      gap += (v[j] as number) * ((high[j] as number) - (z[j] as number))
      offDual[j] = (j === n - 1 ? 1 : 0) - (u[j] as number) + (v[j] as number)
    }
    for (let e = 0; e < 4 * m; e++) {
      const j = at[e] as number
      offDual[j] = (offDual[j] as number) - (by[e] as number) * (y[e >> 2] as number)
    }
    if (gap < precision && worst < 1e-8) return z
    const mu = gap / pairs
    matrix.fill(0)
    for (let j = 0; j < n; j++)
      matrix[j * n + j] =
        (u[j] as number) / ((z[j] as number) - (low[j] as number)) +
        (v[j] as number) / ((high[j] as number) - (z[j] as number))
    for (let k = 0; k < m; k++) {
      const d = (y[k] as number) / (w[k] as number)
      for (let c = 4 * k; c < 4 * k + 4; c++) {
        const p = at[c] as number
        const one = d * (by[c] as number)
        if (one === 0) continue
        for (let e = 4 * k; e < 4 * k + 4; e++) {
          const q = at[e] as number
          if (q <= p) matrix[p * n + q] = (matrix[p * n + q] as number) + one * (by[e] as number)
        }
      }
    }
    factor(matrix, n, start)
    let centre = 0
    for (let isLast = 0; isLast < 2; isLast++) {
      for (let j = 0; j < n; j++) {
        const p = (z[j] as number) - (low[j] as number)
        const q = (high[j] as number) - (z[j] as number)
        const move = isLast ? (dz[j] as number) : 0
        du[j] = centre - (u[j] as number) * p - (isLast ? move * (du[j] as number) : 0)
        dv[j] = centre - (v[j] as number) * q + (isLast ? move * (dv[j] as number) : 0)
        right[j] = (du[j] as number) / p - (dv[j] as number) / q - (offDual[j] as number)
      }
      for (let k = 0; k < m; k++) {
        const wk = w[k] as number
        const yk = y[k] as number
        dy[k] = centre - wk * yk - (isLast ? (dw[k] as number) * (dy[k] as number) : 0)
        const share = ((dy[k] as number) - yk * (off[k] as number)) / wk
        for (let e = 4 * k; e < 4 * k + 4; e++) {
          const j = at[e] as number
          right[j] = (right[j] as number) + (by[e] as number) * share
        }
      }
      solve(matrix, n, start, right, dz)
      let primal = 1
      let dual = 1
      for (let k = 0; k < m; k++) {
        dw[k] = rowOf(dz, k) + (off[k] as number)
        dy[k] = ((dy[k] as number) - (y[k] as number) * (dw[k] as number)) / (w[k] as number)
        if ((dw[k] as number) < 0) primal = Math.min(primal, -(w[k] as number) / (dw[k] as number))
        if ((dy[k] as number) < 0) dual = Math.min(dual, -(y[k] as number) / (dy[k] as number))
      }
      for (let j = 0; j < n; j++) {
        const p = (z[j] as number) - (low[j] as number)
        const q = (high[j] as number) - (z[j] as number)
        const move = dz[j] as number
        du[j] = ((du[j] as number) - (u[j] as number) * move) / p
        dv[j] = ((dv[j] as number) + (v[j] as number) * move) / q
        if (move < 0) primal = Math.min(primal, -p / move)
        if (move > 0) primal = Math.min(primal, q / move)
        if ((du[j] as number) < 0) dual = Math.min(dual, -(u[j] as number) / (du[j] as number))
        if ((dv[j] as number) < 0) dual = Math.min(dual, -(v[j] as number) / (dv[j] as number))
      }
      if (!isLast) {
        let after = 0
        for (let k = 0; k < m; k++)
          after += ((w[k] as number) + primal * (dw[k] as number)) * ((y[k] as number) + dual * (dy[k] as number))
        for (let j = 0; j < n; j++) {
          const move = primal * (dz[j] as number)
          after += ((z[j] as number) - (low[j] as number) + move) * ((u[j] as number) + dual * (du[j] as number))
          after += ((high[j] as number) - (z[j] as number) - move) * ((v[j] as number) + dual * (dv[j] as number))
        }
        const share = after / gap
        centre = mu * share * share * share
        continue
      }
      primal = Math.min(1, 0.99 * primal)
      dual = Math.min(1, 0.99 * dual)
      for (let k = 0; k < m; k++) {
        w[k] = (w[k] as number) + primal * (dw[k] as number)
        y[k] = (y[k] as number) + dual * (dy[k] as number)
      }
      for (let j = 0; j < n; j++) {
        z[j] = (z[j] as number) + primal * (dz[j] as number)
        u[j] = (u[j] as number) + dual * (du[j] as number)
        v[j] = (v[j] as number) + dual * (dv[j] as number)
      }
    }
    yield undefined
  }
  return undefined
}

/** For each row of the matrix the first column that is not 0 below the diagonal, once factored too. */
function envelopeOf(n: number, at: Int32Array, m: number): Int32Array {
  const start = Int32Array.from({ length: n }, (_, j) => j)
  for (let k = 0; k < m; k++) {
    let first = n
    for (let e = 4 * k; e < 4 * k + 4; e++) first = Math.min(first, at[e] as number)
    for (let e = 4 * k; e < 4 * k + 4; e++) {
      const j = at[e] as number
      if ((start[j] as number) > first) start[j] = first
    }
  }
  return start
}

/** Cholesky factor in place, lower half, inside the envelope. */
function factor(matrix: Float64Array, n: number, start: Int32Array): void {
  for (let i = 0; i < n; i++) {
    const row = i * n
    const from = start[i] as number
    for (let j = from; j <= i; j++) {
      const other = j * n
      let sum = matrix[row + j] as number
      for (let k = Math.max(from, start[j] as number); k < j; k++)
        sum -= (matrix[row + k] as number) * (matrix[other + k] as number)
      matrix[row + j] = j === i ? Math.sqrt(Math.max(sum, 1e-300)) : sum / (matrix[other + j] as number)
    }
  }
}

function solve(matrix: Float64Array, n: number, start: Int32Array, right: Float64Array, into: Float64Array): void {
  for (let i = 0; i < n; i++) {
    let sum = right[i] as number
    for (let k = start[i] as number; k < i; k++) sum -= (matrix[i * n + k] as number) * (into[k] as number)
    into[i] = sum / (matrix[i * n + i] as number)
  }
  for (let i = n - 1; i >= 0; i--) {
    const value = (into[i] as number) / (matrix[i * n + i] as number)
    into[i] = value
    for (let k = start[i] as number; k < i; k++) into[k] = (into[k] as number) - (matrix[i * n + k] as number) * value
  }
}
