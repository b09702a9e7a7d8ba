import { distance, type Point, point } from '../../src/geometry/point.ts'

/** What stands on the sheet, and nothing else. */
export interface Printed {
  readonly lines: readonly string[]
  readonly table?: { readonly columns: readonly string[]; readonly rows: readonly (readonly string[])[] }
}

/** What a person has on the film who follows a list to the letter, mm from where its first line begins. */
export interface Marked {
  /** the edge before openings are cut, close together, counter-clockwise */
  readonly outline: readonly Point[]
  readonly openings: readonly (readonly Point[])[]
  readonly ticks: readonly { readonly words: string; readonly at: Point }[]
  readonly crosses: readonly Point[]
  /** numbered marks on the edge */
  readonly count: number
  /** what the list says must come out, and what does, mm */
  readonly proofs: readonly { readonly words: string; readonly said: number; readonly measured: number }[]
}

/** A length as the sheet prints it, mm. */
function lengthOf(text: string): number {
  const [, whole, top, bottom, unit] =
    /^(?:(\d+(?:\.\d+)?)(?: |$))?(?:(\d+)\/(\d+) )?(mm|cm|in)$/.exec(text) ?? unreadable(text)
  const inUnit = Number(whole ?? 0) + (top ? Number(top) / Number(bottom) : 0)
  return inUnit * { mm: 1, cm: 10, in: 25.4 }[unit as 'mm' | 'cm' | 'in']
}

const unreadable = (text: string): never => {
  throw new Error(`no length: ${text}`)
}

const aLength = String.raw`(?:\d+(?:\.\d+)? (?:mm|cm|in)|(?:\d+ )?\d+\/\d+ in)`
/** The lengths in a sentence, in order. */
const lengthsIn = (text: string): number[] => [...text.matchAll(new RegExp(aLength, 'g'))].map(([t]) => lengthOf(t))

export function follow(printed: Printed, mistake: Mistake = none): Marked {
  const [first = ''] = printed.lines
  if (first.endsWith('Put point 1 near its left end.')) return followSwinging(printed, mistake)
  if (first.endsWith('Make a zero mark in its middle.')) return followRound(printed)
  if (first.endsWith('Make a zero mark near its left end.')) return followPoints(printed, mistake)
  throw new Error(`a list that begins with: ${first}`)
}

/** Moves a mark as it is made, by its number from 1: a hand that slips. */
export type Mistake = (number: number, at: Point) => Point
const none: Mistake = (_, at) => at

const plus = (a: Point, b: Point, share: number): Point => point(a.x + b.x * share, a.y + b.y * share)
/** Chords for an arc, within 0.01 mm. */
const stepsOf = (radius: number, turn: number) => Math.max(8, Math.ceil(turn / Math.sqrt(0.08 / radius)))

/** A whole circle. */
function circled(middle: Point, radius: number): Point[] {
  const steps = stepsOf(radius, 2 * Math.PI)
  return Array.from({ length: steps }, (_, k) => {
    const angle = (2 * Math.PI * k) / steps
    return point(middle.x + radius * Math.cos(angle), middle.y + radius * Math.sin(angle))
  })
}

/** Where two circles cross, to the left of the way from `a` to `b` or to the right of it. */
function crossed(a: Point, fromA: number, b: Point, fromB: number, side: 1 | -1): Point {
  const base = distance(a, b)
  const way = point((b.x - a.x) / base, (b.y - a.y) / base)
  const along = (fromA ** 2 - fromB ** 2 + base ** 2) / (2 * base)
  const off = Math.sqrt(fromA ** 2 - along ** 2)
  if (!Number.isFinite(off)) throw new Error(`tapes of ${fromA} and ${fromB} do not meet over ${base}`)
  return plus(plus(a, way, along), point(-way.y, way.x), side * off)
}

/** Round a pin from one point to another, the short way, on thread of the radius told; the last place left out. */
function swept(pin: Point, radius: number, from: Point, to: Point): Point[] {
  const start = Math.atan2(from.y - pin.y, from.x - pin.x)
  const turn = Math.atan2(to.y - pin.y, to.x - pin.x) - start
  const short = Math.atan2(Math.sin(turn), Math.cos(turn))
  const steps = stepsOf(radius, Math.abs(short))
  return Array.from({ length: steps }, (_, k) => {
    const angle = start + (short * k) / steps
    return point(pin.x + radius * Math.cos(angle), pin.y + radius * Math.sin(angle))
  })
}

/** An arc told by its radius, drawn from one point to the next with the panel to the left. */
function arcBetween(from: Point, to: Point, bulge: string, radius: number): { drawn: Point[]; rise: number } {
  const pin = crossed(from, radius, to, radius, bulge === 'outward' ? 1 : -1)
  const middle = point((from.x + to.x) / 2, (from.y + to.y) / 2)
  return { drawn: swept(pin, radius, from, to), rise: radius - distance(pin, middle) }
}

/** A thin strip bent along marks: natural cubic spline over the chords, by elimination in the full matrix. */
function strip(marks: readonly Point[], closed: boolean): Point[] {
  const count = marks.length
  const chords = marks.slice(1).map((p, i) => distance(marks[i] as Point, p))
  const one = (value: (p: Point) => number) => {
    const rows = marks.map((_, i) => {
      const row = new Array<number>(count + 1).fill(0)
      const ends = i === 0 || i === count - 1
      const [before, after] = [closed && i === 0 ? count - 2 : i - 1, closed && i === count - 1 ? 1 : i + 1]
      if (ends && !closed) {
        row[i] = 1
        return row
      }
      if (closed && i === count - 1) {
        row[0] = 1
        row[i] = -1
        return row
      }
      const [h, k] = [chords[i === 0 ? count - 2 : i - 1] as number, chords[i] as number]
      row[before] = (row[before] as number) + h
      row[i] = (row[i] as number) + 2 * (h + k)
      row[after] = (row[after] as number) + k
      const [p, q, r] = [before, i, after].map((n) => value(marks[n] as Point)) as [number, number, number]
      row[count] = 6 * ((r - q) / k - (q - p) / h)
      return row
    })
    return eliminated(rows)
  }
  const [mx, my] = [one((p) => p.x), one((p) => p.y)]
  return chords.flatMap((h, i) => {
    const [a, b] = [marks[i] as Point, marks[i + 1] as Point]
    return Array.from({ length: 12 }, (_, k) => {
      const t = k / 12
      const on = (p: number, q: number, m: number, n: number) =>
        p * (1 - t) + q * t + ((h * h) / 6) * (((1 - t) ** 3 - (1 - t)) * m + (t ** 3 - t) * n)
      return point(
        on(a.x, b.x, mx[i] as number, mx[i + 1] as number),
        on(a.y, b.y, my[i] as number, my[i + 1] as number),
      )
    })
  })
}

function eliminated(rows: number[][]): number[] {
  const count = rows.length
  for (let i = 0; i < count; i++) {
    let pivot = i
    for (let k = i; k < count; k++) if (Math.abs(rows[k]?.[i] ?? 0) > Math.abs(rows[pivot]?.[i] ?? 0)) pivot = k
    const row = rows[pivot] as number[]
    rows[pivot] = rows[i] as number[]
    rows[i] = row
    for (let k = 0; k < count; k++) {
      const other = rows[k] as number[]
      const share = k === i ? 0 : (other[i] as number) / (row[i] as number)
      if (share !== 0) for (let j = i; j <= count; j++) other[j] = (other[j] as number) - share * (row[j] as number)
    }
  }
  return rows.map((row, i) => (row[count] as number) / (row[i] as number))
}

/** The sides of an outline from corner to corner, with the corners rounded that the list tells of. */
function joined(sides: readonly (readonly Point[])[], lines: readonly string[]): Point[] {
  const cut = sides.map((side) => [...side])
  const roundings = lines.flatMap((line) => {
    const [, names] = /^Round corners? ([\d, ]+) with a radius of /.exec(line) ?? []
    const [radius = 0, begins = 0] = lengthsIn(line)
    return names === undefined ? [] : names.split(', ').map((name) => ({ at: Number(name) - 1, radius, begins }))
  })
  const bends = new Map<number, Point[]>()
  for (const { at, radius, begins } of roundings) {
    const [corner, next] = [sides[at]?.[0] as Point, sides[(at + 1) % sides.length]?.[0] as Point]
    const before = sides.at(at - 1)?.[0] as Point
    const near = plus(corner, point(before.x - corner.x, before.y - corner.y), begins / distance(corner, before))
    const far = plus(corner, point(next.x - corner.x, next.y - corner.y), begins / distance(corner, next))
    // 180 degrees and more of a rounding is none, so that its pin lies on the left of a corner that bulges out
    const turn = (corner.x - before.x) * (next.y - corner.y) - (corner.y - before.y) * (next.x - corner.x) > 0 ? 1 : -1
    bends.set(at, [...swept(crossed(near, radius, far, radius, turn), radius, near, far), far])
  }
  return cut.flatMap((side, i) => [...(bends.get(i) ?? side.slice(0, 1)), ...side.slice(1)])
}

/** Openings and crosses from the lines that tell of them and their places. */
function insideFrom(lines: readonly string[], places: ReadonlyMap<string, Point>) {
  const openings = lines.flatMap((line) => {
    const [, name, form] = /^O(pening \d+) (is round|has four corners)/.exec(line) ?? []
    if (name === undefined) return []
    const own = `o${name}`
    if (form === 'is round') {
      const middle = places.get(`${own}, middle`) as Point
      const radius = (lengthsIn(line)[0] as number) / 2
      return [circled(middle, radius)]
    }
    const corners = [1, 2, 3, 4].map((k) => places.get(`${own}, corner ${k}`) as Point)
    const [radius = 0] = lengthsIn(line)
    const words = radius > 0 ? [`Round corners 1, 2, 3, 4 with a radius of ${radius} mm; ${radius} mm`] : []
    return [
      joined(
        corners.map((corner) => [corner]),
        words,
      ),
    ]
  })
  const crosses = [...places].filter(([name]) => name.startsWith('cross ')).map(([, at]) => at)
  return { openings, crosses }
}

function followSwinging({ lines, table }: Printed, mistake: Mistake): Marked {
  const [ab = 0] = lengthsIn(lines[1] ?? '')
  const [bc = 0, ac = 0] = lengthsIn(lines[2] ?? '')
  const [ad = 0, bd = 0] = lengthsIn(lines[3] ?? '')
  const a = mistake(1, point(0, 0))
  const b = mistake(2, point(ab, 0))
  const c = mistake(3, crossed(a, ac, b, bc, 1))
  const d = mistake(4, crossed(a, ad, b, bd, 1))
  const corners = [a, b, c, d]
  const proofs: { words: string; said: number; measured: number }[] = []
  const prove = (words: string, said: number, measured: number) => proofs.push({ words, said, measured })
  const [cd = 0, again = 0, other = 0, right = 0, left = 0] = lengthsIn(lines[4] ?? '')
  prove('3 to 4', cd, distance(c, d))
  prove('1 to 3', again, distance(a, c))
  prove('2 to 4', other, distance(b, d))
  prove('2 to 3', right, distance(b, c))
  prove('4 to 1', left, distance(d, a))
  const placeOn = (line: string, along: string, off: string): Point => {
    const [i = 0, k = 0] = line.split(' to ').map((n) => Number(n) - 1)
    const [from, to] = [corners[i] as Point, corners[k] as Point]
    const way = point((to.x - from.x) / distance(from, to), (to.y - from.y) / distance(from, to))
    const far = along.endsWith(' before it') ? -lengthOf(along.slice(0, -10)) : lengthOf(along)
    const [, aside = '', hand] = /^(.*) to the (left|right)$/.exec(off) ?? []
    return plus(plus(from, way, far), point(-way.y, way.x), lengthOf(aside) * (hand === 'left' ? 1 : -1))
  }
  const places = new Map<string, Point>(corners.map((corner, i) => [`${i + 1}`, corner]))
  const rows = table?.rows ?? []
  for (const [name = '', line = '', along = '', off = ''] of rows) {
    const own = placeOn(line, along, off)
    places.set(name, /^\d+$/.test(name) ? mistake(Number(name), own) : own)
  }
  for (const proof of proofsIn(rows, places)) proofs.push(proof)
  const sides = corners.map((from, i): Point[] => {
    const to = corners[(i + 1) % 4] as Point
    const told = lines.map((line) =>
      new RegExp(`^The \\w+ edge, ${i + 1} to \\d: arc bulging (outward|inward), `).exec(line),
    )
    const arc = told.find((found) => found !== null)
    if (arc) {
      const [radius = 0, rise = 0] = lengthsIn(arc.input)
      const own = arcBetween(from, to, arc[1] ?? '', radius)
      prove(`rise after ${i + 1}`, rise, own.rise)
      return own.drawn
    }
    const bent = lines.map((line) => new RegExp(`edge: bend a thin strip along points (${i + 1}, .*)\\.$`).exec(line))
    const names = bent.find((found) => found !== null)?.[1]?.split(/, | and /)
    return names
      ? strip(
          names.map((name) => places.get(name) as Point),
          false,
        )
      : [from]
  })
  const ticks = lines.flatMap((line) => {
    const [, words, n] = /^(.*) on the \w+ edge: .* straight from point (\d)\.$/.exec(line) ?? []
    if (words === undefined) {
      const [, rim, along = '', off = ''] =
        /^(.*) on the rim of an opening: (.*) along the line from point 1, (.*)\.$/.exec(line) ?? []
      return rim === undefined ? [] : [{ words: rim, at: placeOn('1 to 2', along, off) }]
    }
    const i = Number(n) - 1
    const own = [...(sides[i] as Point[]), corners[(i + 1) % 4] as Point]
    const [far = 0] = lengthsIn(line.slice(line.lastIndexOf(':')))
    return [{ words, at: reached(own, corners[i] as Point, far) }]
  })
  const hinge = ticks.filter(({ words }) => words === 'Hinge tick')
  const height = lines.find((line) => line.startsWith('Proof: from one hinge tick to the other must be '))
  const [from, to] = hinge
  if (height && from && to) prove('hinge', lengthsIn(height)[0] ?? 0, distance(from.at, to.at))
  const count = [...places.keys()].filter((name) => /^\d+$/.test(name)).length
  return { outline: joined(sides, lines), ticks, count, proofs, ...insideFrom(lines, places) }
}

/** What the rows say of the straight distance between a point and another. */
function proofsIn(rows: readonly (readonly string[])[], places: ReadonlyMap<string, Point>) {
  return rows.flatMap((row) => {
    const cell = row.findIndex((text) => / from \d+$/.test(text))
    if (cell < 0) return []
    return (row[cell] as string).split(', ').map((proof) => {
      const [said = '', other = ''] = proof.split(' from ')
      const measured = distance(places.get(row[0] as string) as Point, places.get(other) as Point)
      return { words: `${row[0]} from ${other}`, said: lengthOf(said), measured }
    })
  })
}

/** The first place on a line that is so far, straight, from a point. */
function reached(line: readonly Point[], from: Point, far: number): Point {
  for (const [i, q] of line.entries()) {
    const p = line[i - 1]
    if (!p) continue
    const [near, off] = [distance(p, from) - far, distance(q, from) - far]
    if (near <= 1e-6 && off >= 0) {
      let [low, high] = [0, 1]
      for (let k = 0; k < 60; k++) {
        const middle = (low + high) / 2
        if (distance(plus(p, point(q.x - p.x, q.y - p.y), middle), from) < far) low = middle
        else high = middle
      }
      return plus(p, point(q.x - p.x, q.y - p.y), low)
    }
  }
  return line.at(-1) as Point
}

const fromZero = (along: string, up: string) => {
  const one = (text: string, back: string) =>
    text.endsWith(back) ? -lengthOf(text.slice(0, -back.length)) : lengthOf(text)
  return point(one(along, ' before it'), one(up, ' below it'))
}

const ticksFrom = (lines: readonly string[]) =>
  lines.flatMap((line) => {
    const own = new RegExp(
      `^(.*): (${aLength}) (along|before the zero mark) and (${aLength}) (up|below the line)\\.$`,
    ).exec(line)
    if (!own) return []
    const [, words = '', along = '', way, up = '', side] = own
    return [{ words, at: point(lengthOf(along) * (way === 'along' ? 1 : -1), lengthOf(up) * (side === 'up' ? 1 : -1)) }]
  })

function followRound({ lines, table }: Printed): Marked {
  const [radius = 0] = lengthsIn(lines[1] ?? '')
  const places = new Map((table?.rows ?? []).map(([name = '', along = '', up = '']) => [name, fromZero(along, up)]))
  const outline = circled(point(0, 0), radius)
  const proofs = [{ words: 'across', said: lengthsIn(lines[2] ?? '')[0] ?? 0, measured: 2 * radius }]
  return { outline, ticks: ticksFrom(lines), count: 0, proofs, ...insideFrom(lines, places) }
}

function followPoints({ lines, table }: Printed, mistake: Mistake): Marked {
  const rows = table?.rows ?? []
  const own = rows.filter(([name = '']) => /^\d+$/.test(name))
  const places = new Map(rows.map(([name = '', along = '', up = '']) => [name, fromZero(along, up)]))
  const points = own.map(([name]) => mistake(Number(name), places.get(name as string) as Point))
  const set = new Map([...places, ...points.map((p, i) => [`${i + 1}`, p] as const)])
  const proofs = proofsIn(rows, set)
  const proof = lines.find((line) => line.startsWith('Proof: ')) ?? ''
  for (const [words, i, k, said = ''] of proof.matchAll(
    new RegExp(`point (\\d+) to point (\\d+) must be (${aLength})`, 'g'),
  )) {
    const measured = distance(points[Number(i) - 1] as Point, points[Number(k) - 1] as Point)
    proofs.push({ words, said: lengthOf(said), measured })
  }
  const sides: Point[][] = []
  for (let i = 0; i < own.length; i++) {
    const next = own[i]?.[4] ?? ''
    const from = points[i] as Point
    const to = points[(i + 1) % points.length] as Point
    const arc = /^arc bulging (outward|inward), /.exec(next)
    const [, pin] = /^arc about (P\d+)$/.exec(next) ?? []
    if (next === 'straight') sides.push([from])
    else if (arc) {
      const [radius = 0, rise = 0] = lengthsIn(next)
      const drawn = arcBetween(from, to, arc[1] ?? '', radius)
      proofs.push({ words: `rise after ${i + 1}`, said: rise, measured: drawn.rise })
      sides.push(drawn.drawn)
    } else if (pin) {
      const row = rows.find(([name]) => name === `${pin}, pin`) ?? unreadable(next)
      const [radius = 0] = lengthsIn(row[4] ?? '')
      const middle = places.get(`${pin}, pin`) as Point
      for (const end of [from, to]) proofs.push({ words: pin, said: radius, measured: distance(middle, end) })
      sides.push(swept(middle, radius, from, to))
    } else if (/^bent strip( \d+|, its ends lapped)$/.test(next)) {
      let last = i
      while (last + 1 < own.length && own[last + 1]?.[4] === next) last++
      const marks = [...points.slice(i, last + 1), points[(last + 1) % points.length] as Point]
      sides.push(strip(marks, next.endsWith('lapped')))
      // the points that it passes begin no line of their own
      for (let k = i; k < last; k++) sides.push([])
      i = last
    } else throw new Error(`no line: ${next}`)
  }
  return {
    outline: joined(sides, lines),
    ticks: ticksFrom(lines),
    count: points.length,
    proofs,
    ...insideFrom(lines, places),
  }
}
