import fc from 'fast-check'
import { expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { boundsOf } from '../../src/geometry/bounds.ts'
import { deviation } from '../../src/geometry/deviation.ts'
import { pathLength } from '../../src/geometry/length.ts'
import {
  circle,
  closedPath,
  cubicTo,
  endOf,
  lineTo,
  openPath,
  type Path,
  polyline,
  rectangle,
  reversed,
} from '../../src/geometry/path.ts'
import { between, distance, type Point, point, scaled } from '../../src/geometry/point.ts'
import { ordered, repeated } from '../../src/stroke/order.ts'
import { startAwayFrom } from '../../src/stroke/starts.ts'
import { type Operation, operations, type Stroke } from '../../src/stroke/stroke.ts'

const origin = point(0, 0)
const straight = (a: Point, b: Point): Path => openPath(a, lineTo(b))
const kiss = (name: string, path: Path): Stroke => ({ operation: 'kiss', name, path })
const namesOf = (strokes: readonly Stroke[]) => strokes.map(({ name }) => name)

/** mm with the tool up. */
function travel(strokes: readonly Stroke[], from: Point): number {
  let at = from
  let sum = 0
  for (const { path } of strokes) {
    sum += distance(at, path.start)
    at = endOf(path)
  }
  return sum
}

test('what lies inside goes first: tick and hole before the lid, and the lid before the box round it', () => {
  const strokes = [
    kiss('box', rectangle(point(-10, -10), point(110, 70))),
    kiss('lid', rectangle(point(0, 0), point(100, 60))),
    kiss('hole', circle(point(80, 30), 10)),
    kiss('tick in the hole', straight(point(80, 38), point(80, 35))),
    kiss('tick', straight(point(50, 59), point(50, 56))),
  ]
  const names = namesOf(ordered(strokes, { from: origin }))
  const place = (name: string) => names.indexOf(name)
  expect(place('tick in the hole')).toBeLessThan(place('hole'))
  expect(place('hole')).toBeLessThan(place('lid'))
  expect(place('tick')).toBeLessThan(place('lid'))
  expect(names[4]).toBe('box')
})

test('strokes end to end are cut in a row, turned where that is shorter', () => {
  const strokes = [
    kiss('b', straight(point(40, 0), point(30, 0))),
    kiss('a', straight(point(20, 0), point(10, 0))),
    kiss('c', straight(point(50, 0), point(60, 0))),
  ]
  const made = ordered(strokes, { from: origin })
  expect(namesOf(made)).toEqual(['a', 'b', 'c'])
  expect(made.map(({ path }) => [path.start.x, endOf(path).x])).toEqual([
    [10, 20],
    [30, 40],
    [50, 60],
  ])
})

test('a tick at the middle of an edge keeps the outline from starting there', () => {
  const lid = kiss('lid', rectangle(point(0, 0), point(100, 60)))
  const tick = kiss('tick', straight(point(50, -0.8), point(50, -3.8)))
  const start = (strokes: readonly Stroke[]) =>
    ordered(strokes, { from: point(45, -20) }).find(({ name }) => name === 'lid')?.path.start
  expect(start([lid])).toEqual(point(50, 0))
  expect(start([lid, tick])?.y).toBeCloseTo(0, 9)
  // At 25 or at 75 mm: from the tick both are as near.
  expect(Math.abs((start([lid, tick])?.x ?? 0) - 50)).toBeCloseTo(25, 6)
})

test('so does a tick in the waste beside any edge', () => {
  const lid = kiss('lid', rectangle(point(200, 200), point(300, 300)))
  for (const [x, y] of [
    [1, 0],
    [-1, 0],
    [0, 1],
    [0, -1],
  ] as const) {
    const off = (from: number) => point(250 + x * (50 + from), 250 + y * (50 + from))
    // From 0.8 mm beside the middle of that edge on outward; the tool comes from there.
    const made = ordered([kiss('tick', straight(off(0.8), off(3.8))), lid], { from: off(40) })
    const start = made.find(({ name }) => name === 'lid')?.path.start ?? expect.fail('the lid is gone')
    // Half of what is left of that edge: 25 mm from the tick and from the corner.
    expect(distance(start, off(0))).toBeCloseTo(25, 6)
    expect(x * (start.x - 250) + y * (start.y - 250)).toBeCloseTo(50, 6)
  }
})

test('of an outline with 200 edges the start is on one of those near the tool, in its middle', () => {
  const corner = (i: number) => point(2000 * Math.cos((Math.PI * i) / 100), 2000 * Math.sin((Math.PI * i) / 100))
  // Every other corner further in, so that each is a corner indeed.
  const points = Array.from({ length: 200 }, (_, i) => (i % 2 === 0 ? corner(i) : scaled(corner(i), 0.98)))
  const middles = points.map((p, i) => between(p, points[(i + 1) % 200] ?? p, 0.5))
  for (const i of [30, 77, 120, 199]) {
    const [made] = ordered([kiss('star', polyline(points, true))], { from: scaled(corner(i), 1.1) })
    const start = made?.path.start ?? expect.fail('the star is gone')
    expect(Math.min(...middles.map((p) => distance(p, start)))).toBeLessThan(1e-6)
    // 64 of them are looked at: one in every four or less, each 63 mm round.
    expect(distance(start, corner(i))).toBeLessThan(4 * 80)
  }
})

test('all of the pen, then kiss cuts, then through cuts, with lining-up crosses as given at the head of theirs', () => {
  const cross = (x: number): Stroke[] => [
    { operation: 'through', name: 'lining-up cross 1', path: straight(point(x + 4, 0), point(x - 4, 0)) },
    { operation: 'through', name: 'lining-up cross 1', path: straight(point(x, -4), point(x, 4)) },
  ]
  const strokes: Stroke[] = [
    { operation: 'through', name: 'near', path: circle(point(10, 10), 5) },
    ...cross(500),
    kiss('inside', circle(point(10, 10), 3)),
    { operation: 'pen', name: 'far', path: straight(point(400, 0), point(410, 0)) },
  ]
  const made = ordered(strokes, { from: origin })
  expect(namesOf(made)).toEqual(['far', 'inside', 'lining-up cross 1', 'lining-up cross 1', 'near'])
  expect(made.slice(2, 4)).toEqual(strokes.slice(1, 3))
})

test('the order given stands where the next operation makes it the shorter', () => {
  const pen = (name: string, x: number): Stroke => ({
    operation: 'pen',
    name,
    path: straight(point(x, 0), point(x, 1)),
  })
  const far = kiss('far', straight(point(-1000, 0), point(-1000, 1)))
  // The pen alone is quicker by going left first, but then the way back to the kiss cut costs more.
  const given = [pen('right', 12), pen('left', -10), far]
  expect(namesOf(ordered(given, { from: origin }))).toEqual(['right', 'left', 'far'])
  // Given so that it breaks a rule, it cannot stand.
  expect(namesOf(ordered([far, ...given.slice(0, 2)], { from: origin })).at(-1)).toBe('far')
})

test('on a roll everything of one section is done before the next one', () => {
  // Four lids of 300 mm in a row, each with a label drawn, its film cut and two corners cut through.
  const lid = (i: number): Stroke[] => {
    const [x, name] = [i * 320, `lid ${i + 1}`]
    return [
      { operation: 'through', name: `${name}: corner`, path: straight(point(x, 0), point(x + 20, 0)) },
      { operation: 'through', name: `${name}: corner`, path: straight(point(x + 280, 0), point(x + 300, 0)) },
      { operation: 'kiss', name: `${name}: outline`, path: rectangle(point(x, 10), point(x + 300, 200)) },
      { operation: 'pen', name: `${name}: label`, path: straight(point(x + 140, 100), point(x + 160, 100)) },
    ]
  }
  const strokes = [3, 1, 0, 2].flatMap(lid)
  const done = (window?: number) =>
    ordered(strokes, choiceOf(window)).map(({ name, operation }) => `${name.slice(0, 5)} ${operation}`)
  const once = done(400).filter((own, i, all) => own !== all[i - 1])
  expect(once).toEqual(
    [1, 2, 3, 4].flatMap((i) => (['pen', 'kiss', 'through'] as const).map((operation) => `lid ${i} ${operation}`)),
  )
  // Two of them are 620 mm long.
  const pairs = done(620).map((own) => own.slice(6))
  expect(pairs.filter((own, i) => own !== pairs[i - 1])).toEqual(['pen', 'kiss', 'through', 'pen', 'kiss', 'through'])
  const sheet = done().map((own) => own.slice(6))
  expect(sheet.filter((own, i) => own !== sheet[i - 1])).toEqual(['pen', 'kiss', 'through'])
  const kissAlone = strokes.filter(({ operation }) => operation === 'kiss')
  expect(ordered(kissAlone, choiceOf(400))).toHaveLength(4)
  const inOne = ordered(strokes, { ...choiceOf(400), inOne: true }).map(({ operation }) => operation)
  expect(inOne.filter((own, i) => own !== inOne[i - 1])).toEqual(['pen', 'kiss', 'through'])
})

test('a slit is refused beside other operations, by both names', () => {
  const slit: Stroke = { operation: 'slit', name: 'lid: slit 1', path: straight(origin, point(10, 0)) }
  const strokes = [slit, kiss('lid: outline', circle(origin, 5))]
  expect(() => ordered(strokes, { from: origin })).toThrow(/lid: slit 1 is a slit.*lid: outline \(kiss\) is not/)
  const cross: Stroke = { ...slit, name: 'lining-up cross 1' }
  expect(namesOf(ordered([slit, cross], { from: origin }))).toEqual(['lining-up cross 1', 'lid: slit 1'])
})

test('a window that is none is refused by its value', () => {
  expect(() => ordered([], { from: origin, window: 0 })).toThrow('a window of 0 mm')
  expect(() => ordered([], { from: origin, window: Number.NaN })).toThrow('NaN')
  expect(ordered([], { from: origin, window: 100 })).toEqual([])
})

test('on a roll a short way there and back gives way to the window', () => {
  // Two rows of ticks 2 m long and 300 mm apart: along one row and back along the other is the shortest way.
  const row = (y: number) =>
    Array.from({ length: 21 }, (_, i) => kiss(`${y} ${i}`, straight(point(i * 100, y), point(i * 100, y + 3))))
  const strokes = [...row(0), ...row(300)]
  const xs = (made: readonly Stroke[]) => made.map(({ path }) => path.start.x)
  const back = (made: readonly Stroke[]) =>
    Math.max(...xs(made).map((x, i) => Math.max(0, ...xs(made).slice(0, i)) - x))
  expect(back(ordered(strokes, { from: origin }))).toBe(2000)
  const made = ordered(strokes, { from: origin, window: 250 })
  expect(back(made)).toBeLessThanOrEqual(250)
  // 41 ways after the first, none of which need be longer than from row to row.
  expect(travel(made, origin)).toBeLessThan(41 * 300)
})

/** Something to cut with what lies inside it. What lies inside is called as what is round it, a dot, and more. */
interface Nest {
  readonly shape: number
  readonly operation: Operation
  readonly ticks: number
  readonly waste: boolean
  readonly inside: readonly Nest[]
}

const anyOperation = fc.constantFrom<Operation>('pen', 'kiss', 'kiss', 'kiss', 'through', 'through')
const { nest } = fc.letrec<{ nest: Nest }>((tie) => ({
  nest: fc.record({
    shape: fc.nat(3),
    operation: anyOperation,
    ticks: fc.nat(2),
    waste: fc.boolean(),
    inside: fc.oneof({ depthSize: 'small' }, fc.constant([]), fc.array(tie('nest'), { maxLength: 3 })),
  }),
}))

const k = (4 / 3) * Math.tan(Math.PI / 8)
/** A closed line between 0.42 and 0.45 of `size` from the middle of its cell (square: to its sides). */
function outline(shape: number, { x, y }: Point, size: number): Path {
  const r = 0.43 * size
  if (shape === 0) return rectangle(point(x - r, y - r), point(x + r, y + r))
  if (shape === 1) return circle(point(x, y), r)
  if (shape === 2) return rectangle(point(x - r, y - r), point(x + r, y + r), [r / 4, r / 8, r / 4, 0])
  const at = (a: number, b: number) => point(x + a * r, y + b * r)
  return closedPath(at(0, 1), [
    cubicTo(at(-k, 1), at(-1, k), at(-1, 0)),
    cubicTo(at(-1, -k), at(-k, -1), at(0, -1)),
    cubicTo(at(k, -1), at(1, -k), at(1, 0)),
    cubicTo(at(1, k), at(k, 1), at(0, 1)),
  ])
}

/** Strokes of a nest, inside before outside. Ticks lie in the fourth quarter of the inner square, waste cuts outside. */
function laid(own: Nest, name: string, middle: Point, size: number): Stroke[] {
  const { operation } = own
  const inner = 0.5 * size
  const quarters = [point(-1, -1), point(1, -1), point(1, 1)]
  const cell = (i: number) => {
    const way = quarters[i] ?? expect.fail('three at most')
    return point(middle.x + (way.x * inner) / 4, middle.y + (way.y * inner) / 4)
  }
  const inside = own.inside.flatMap((one, i) => laid(one, `${name}.${i}`, cell(i), inner / 2))
  const ticks = Array.from({ length: own.ticks }, (_, i): Stroke => {
    const at = point(middle.x - (inner * (1 + i)) / 6, middle.y + inner / 4)
    return { operation, name: `${name}.tick ${i}`, path: straight(at, point(at.x, at.y + inner / 8)) }
  })
  const waste: Stroke = {
    operation,
    name: `${name} waste`,
    path: straight(point(middle.x, middle.y + 0.445 * size), point(middle.x, middle.y + 0.48 * size)),
  }
  return [
    ...inside,
    ...ticks,
    ...(own.waste ? [waste] : []),
    { operation, name, path: outline(own.shape, middle, size) },
  ]
}

/** Nests along a film, and at both its ends a lining-up cross or none. Inside before outside, in the operations' order. */
const film = fc
  .tuple(fc.array(fc.tuple(nest, fc.integer({ min: 40, max: 160 }), fc.nat(1)), { maxLength: 6 }), fc.boolean())
  .map(([nests, hasCrosses]): Stroke[] => {
    const ends = [20, 20] as [number, number]
    const cut = nests.flatMap(([one, size, row], i) => {
      const at = row === 0 ? 0 : 1
      const middle = point(ends[at] + size / 2, row * 200 + size / 2)
      ends[at] += size
      return laid(one, `piece ${i}`, middle, size)
    })
    const crosses = [5, Math.max(...ends) + 10].flatMap((at, i): Stroke[] => {
      const [operation, name] = ['through' as const, `lining-up cross ${i + 1}`]
      return [
        { operation, name, path: straight(point(at - 4, 90), point(at + 4, 90)) },
        { operation, name, path: straight(point(at, 86), point(at, 94)) },
      ]
    })
    const all = [...(hasCrosses ? crosses : []), ...cut]
    return operations.flatMap((operation) => all.filter((stroke) => stroke.operation === operation))
  })

const isCross = ({ name }: Stroke) => name.startsWith('lining-up cross')

/** Is the first stroke inside the second, as both were laid? */
const isInside = (a: Stroke, b: Stroke) => a.name.startsWith(`${b.name}.`) && b.path.closed

const shuffled = film.chain((strokes) =>
  fc
    .shuffledSubarray(
      strokes.map((_, i) => i),
      { minLength: strokes.length },
    )
    .map((places) => {
      const some = places.flatMap((i) => strokes[i] ?? [])
      // Crosses keep their order: they are given first.
      return [...strokes.filter(isCross), ...some.filter((stroke) => !isCross(stroke))]
    }),
)

const anyWindow = fc.option(fc.integer({ min: 10, max: 400 }), { nil: undefined })
const choiceOf = (window: number | undefined) => (window === undefined ? { from: origin } : { from: origin, window })

const boxOf = ({ path }: Stroke) => boundsOf([path])

/**
 * Where sections begin: on a roll, where an operation comes again that goes before the last one. Without a window there
 * is one.
 */
function sectionStarts(made: readonly Stroke[]): number[] {
  const ranks = made.map(({ operation }) => operations.indexOf(operation))
  return ranks.flatMap((rank, i) => (i > 0 && rank < (ranks[i - 1] ?? 0) ? [i] : []))
}

/** Rules broken, in words. */
function faults(made: readonly Stroke[], window: number | undefined): string[] {
  const found: string[] = []
  const starts = sectionStarts(made)
  if (window === undefined && starts.length > 0) found.push('operations out of order')
  for (const start of starts) {
    const reached = Math.max(...made.slice(0, start).map((stroke) => boxOf(stroke).high.x))
    const next = Math.min(...made.slice(start).map((stroke) => boxOf(stroke).high.x))
    if (reached > next + 0.02) found.push(`a section ends at ${reached}, and the next one begins with ${next}`)
  }
  const longest = Math.max(...made.map((stroke) => boxOf(stroke).high.x - boxOf(stroke).low.x))
  const isPlain = new Set(made.map(({ operation }) => operation)).size < 2
  for (const operation of operations) {
    const own = made.filter((stroke) => stroke.operation === operation)
    const reachedBefore = (i: number) => Math.max(...own.slice(0, i).map((stroke) => boxOf(stroke).high.x), -Infinity)
    const isLate = (i: number) => own.slice(0, i).some((stroke) => !isCross(stroke))
    own.forEach((stroke, i) => {
      if (!isCross(stroke) || !isLate(i)) return
      if (isPlain || window === undefined || reachedBefore(i) > boxOf(stroke).high.x + 8)
        found.push('a cross is not first')
    })
    const cuts = own.filter((stroke) => !isCross(stroke))
    let reached = -Infinity
    for (const [i, stroke] of cuts.entries()) {
      const { low, high } = boxOf(stroke)
      for (const later of cuts.slice(i)) {
        if (isInside(later, stroke)) found.push(`${later.name} after ${stroke.name}`)
      }
      const back = reached - low.x
      if (window !== undefined && back > Math.max(window, high.x - low.x) + 0.02) {
        found.push(`${stroke.name} lies ${back} mm back`)
      }
      reached = Math.max(reached, high.x)
    }
  }
  // Whatever is done, the film goes back no farther than that, or than its longest thing.
  if (window !== undefined && !isPlain) {
    let reached = -Infinity
    for (const stroke of made) {
      const { low, high } = boxOf(stroke)
      if (reached - low.x > Math.max(window, longest) + 0.02) found.push(`${stroke.name}: the film goes back too far`)
      reached = Math.max(reached, high.x)
    }
  }
  return found
}

test('no rule is ever broken, whatever the order given', () => {
  const seen = { given: 0, backward: 0, outside: 0 }
  fc.assert(
    fc.property(shuffled, anyWindow, (strokes, window) => {
      const found = faults(strokes, window)
      if (found.length > 0) seen.given++
      if (found.some((fault) => fault.endsWith('mm back'))) seen.backward++
      if (found.some((fault) => fault.includes(' after '))) seen.outside++
      expect(faults(ordered(strokes, choiceOf(window)), window)).toEqual([])
    }),
    { numRuns: 50 },
  )
  // The rules had something to say, each of them.
  expect(Math.min(seen.given, seen.backward, seen.outside)).toBeGreaterThan(10)
})

const sameLine = (cut: Path, asked: Path): void => {
  expect(cut.closed).toBe(asked.closed)
  if (!asked.closed) {
    expect([asked, reversed(asked)]).toContainEqual(cut)
    return
  }
  expect(endOf(cut)).toEqual(cut.start)
  expect(pathLength(cut)).toBeCloseTo(pathLength(asked), 7)
  // With its sign: a closed line keeps its way round.
  expect(signedArea(cut)).toBeCloseTo(signedArea(asked), 6)
  expect(deviation(cut, asked).distance).toBeLessThan(0.0025)
}

test('just what was asked is cut, as geometry: reversed or begun elsewhere, nothing more and nothing less', () => {
  let cut = 0
  fc.assert(
    fc.property(shuffled, anyWindow, (strokes, window) => {
      const made = ordered(strokes, choiceOf(window))
      expect(made).toHaveLength(strokes.length)
      const key = ({ operation, name }: Stroke) => `${operation} ${name}`
      for (const asked of strokes) {
        const own = made.filter((stroke) => key(stroke) === key(asked))
        const same = strokes.filter((stroke) => key(stroke) === key(asked))
        expect(own).toHaveLength(same.length)
        if (isCross(asked)) expect(own).toEqual(same)
        else for (const stroke of own) sameLine(stroke.path, asked.path)
        cut++
      }
      const sum = (some: readonly Stroke[]) => some.reduce((all, { path }) => all + pathLength(path), 0)
      expect(sum(made)).toBeCloseTo(sum(strokes), 6)
    }),
    { numRuns: 25 },
  )
  expect(cut).toBeGreaterThan(200)
})

test('travel is never longer than in the order given, where that keeps the rules', () => {
  let given = 0
  let made = 0
  fc.assert(
    fc.property(film, anyWindow, (strokes, window) => {
      if (faults(strokes, window).length > 0) return
      const ends = strokes.flatMap(({ path }) => (path.closed ? [] : [path.start, endOf(path)]))
      let at: Point = origin
      const begun = strokes.map((stroke) => {
        const path = startAwayFrom(stroke.path, ends, at)
        at = endOf(path)
        return { ...stroke, path }
      })
      const own = travel(ordered(strokes, choiceOf(window)), origin)
      expect(own).toBeLessThan(travel(begun, origin) + 1e-6)
      given += travel(begun, origin)
      made += own
    }),
    { numRuns: 40 },
  )
  expect(made).toBeGreaterThan(0)
  expect(made).toBeLessThan(0.95 * given)
})

test('the same strokes give the same order, from run to run', () => {
  fc.assert(
    fc.property(shuffled, anyWindow, (strokes, window) => {
      const made = ordered(strokes, choiceOf(window))
      expect(ordered(structuredClone(strokes), choiceOf(window))).toEqual(made)
    }),
    { numRuns: 20 },
  )
})

test('closed lines that cross, touch or are the same wait for nobody', () => {
  const strokes = [
    kiss('a', circle(point(0, 0), 20)),
    kiss('b', circle(point(15, 0), 20)),
    kiss('a again', circle(point(0, 0), 20)),
    kiss('touching', circle(point(60, 0), 20)),
    kiss('across', straight(point(0, 0), point(0, 40))),
  ]
  expect(namesOf(ordered(strokes, { from: origin })).sort()).toEqual(namesOf(strokes).sort())
})

test('a hole that touches its outline from the inside still goes first', () => {
  const strokes = [
    kiss('outline', rectangle(point(0, 0), point(100, 60))),
    kiss('hole', rectangle(point(0, 20), point(30, 40))),
  ]
  for (const own of [strokes, [...strokes].reverse()]) {
    expect(namesOf(ordered(own, { from: point(50, -10) }))).toEqual(['hole', 'outline'])
  }
})

test('passes repeat a stroke in place: closed ones round again, open ones there and back', () => {
  const ring: Stroke = { operation: 'through', name: 'ring', path: circle(origin, 5) }
  const tick = kiss('tick', straight(point(1, 0), point(4, 0)))
  const back = kiss('tick', straight(point(4, 0), point(1, 0)))
  expect(repeated([ring, tick], 3)).toEqual([ring, ring, ring, tick, back, tick])
  expect(repeated([ring, tick], { through: 2 })).toEqual([ring, ring, tick])
  expect(repeated([ring, tick], 1)).toEqual([ring, tick])
  expect(() => repeated([ring], 0)).toThrow('0 passes for through')
  expect(() => repeated([tick], { kiss: 1.5 })).toThrow('1.5 passes for kiss')
})

test('rows of lid openings: travel falls by more than half against a shuffled order', () => {
  const places = Array.from({ length: 100 }, (_, i) =>
    point(((i * 37) % 10) * 50, Math.floor(((i * 37) % 100) / 10) * 50),
  )
  const strokes = places.map((p, i) => kiss(`opening ${i}`, circle(p, 8)))
  const made = travel(ordered(strokes, { from: origin }), origin)
  expect(made).toBeLessThan(travel(strokes, origin) / 2)
  // Circles 50 mm apart and 16 wide: 99 ways of at least 34 mm, and from place to place round a circle a little more.
  expect(made).toBeGreaterThan(99 * 34)
  expect(made).toBeLessThan(100 * 50)
})

test('a polyline of many corners is ordered like any other', () => {
  const ring = Array.from({ length: 400 }, (_, i) => {
    const angle = (2 * Math.PI * i) / 400
    const r = i % 2 === 0 ? 50 : 49
    return point(r * Math.cos(angle), r * Math.sin(angle))
  })
  const saw = kiss('saw', polyline(ring, true))
  const hole = kiss('hole', circle(origin, 10))
  const made = ordered([saw, hole], { from: point(100, 0) })
  expect(namesOf(made)).toEqual(['hole', 'saw'])
  for (const { path } of made) sameLine(path, path.segments.length > 100 ? saw.path : hole.path)
})
