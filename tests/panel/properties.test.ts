import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { signedArea } from '../../src/geometry/area.ts'
import { flatten } from '../../src/geometry/flatten.ts'
import { crossings } from '../../src/geometry/intersect.ts'
import { pathLength, stationAt } from '../../src/geometry/length.ts'
import { endOf, type Path, pieces } from '../../src/geometry/path.ts'
import { cross, distance, leftOf, type Point, point, subtract, unit } from '../../src/geometry/point.ts'
import { segmentHeading } from '../../src/geometry/segment.ts'
import { edgeNames, type Panel, type PanelEdge, type Tick } from '../../src/panel/panel.ts'
import { onObject } from '../../src/panel/surface.ts'
import { everyShape } from '../templates/every-shape.ts'
import { anyAllowances, type Measured, mm, panelsOf, plainOptions, say, squareBands } from '../templates/measures.ts'
import { expectSimple } from './simple.ts'

const hingeTicks = (panel: Panel): Tick[] => panel.ticks.filter((tick) => tick.role === 'hinge')
const edgeOf = (panel: Panel, tick: Tick): PanelEdge =>
  panel.edges.find((edge) => edge.name === tick.edge) ?? expect.fail(`no ${tick.edge} edge`)

/** mm to the nearest point of the path on the line through `p` along `way`. */
const nearest = (path: Path, p: Point, way: Point) =>
  Math.min(...crossings(path, p, way).map(({ reach }) => Math.abs(reach)))

const anyHandling = fc.record({
  allowances: anyAllowances,
  make: fc.constantFrom('pen' as const, 'waste' as const),
  strip: mm(4, 12),
})

type Check = (panel: Panel, again: () => Panel, strip: number, measured: Measured) => void

/** Looks at every panel of objects of any valid measures. */
const eachOf =
  (measured: fc.Arbitrary<Measured>) =>
  (check: Check, lines: 'one' | 'strip' = 'one', numRuns = 24): void =>
    fc.assert(
      fc.property(measured, anyHandling, (own, { allowances, make, strip }) => {
        const { template, values, facts } = own
        expect(template.check(values)).toEqual([])
        const ticks = { wanted: make, hasPen: true, cut: 'kiss' as const }
        const options = { ...plainOptions, allowances, ticks, slit: { lines, strip } }
        const build = () => panelsOf(template.develop(values, facts, say), options)
        const panels = build()
        expect(panels.length).toBeGreaterThan(0)
        panels.forEach((panel, i) => {
          check(panel, () => build()[i] ?? expect.fail('a panel is missing'), strip, own)
        })
      }),
      { numRuns },
    )

/** Do the segments of an edge run into each other without a corner? */
function isSmooth(edge: Path): boolean {
  const own = [...pieces(edge)]
  return own.every(({ from, segment }, i) => {
    const before = own[i - 1]
    if (!before) return true
    return Math.abs(cross(segmentHeading(before.from, before.segment, 1), segmentHeading(from, segment, 0))) < 1e-4
  })
}

describe.each(Object.entries(everyShape))('%s of any valid measures', (_name, measured) => {
  const each = eachOf(measured)

  test('have an outline that is closed, simple and counter-clockwise', () => {
    each(({ outline, edges }, _again, _strip, { template }) => {
      const names = edges.map((edge) => edge.name)
      expect(new Set(names).size).toBe(names.length)
      const known: readonly string[] = template.edges ?? edgeNames
      const free = edges.filter((edge) => !edge.lapped).map((edge) => edge.name)
      expect(free.filter((name) => !known.includes(name))).toEqual([])
      expect(outline.closed).toBe(true)
      expect(endOf(outline)).toEqual(outline.start)
      expect(signedArea(outline)).toBeGreaterThan(0)
      expectSimple(flatten(outline, 0.05))
    })
  })

  test('stand out or in by the allowance of each edge, square to the measured one', () => {
    each((panel) => {
      for (const edge of panel.edges.filter(({ bare, outline }) => isSmooth(bare) && isSmooth(outline))) {
        const length = pathLength(edge.outline)
        for (const share of [0.1, 0.25, 0.5, 0.75, 0.9]) {
          const { at, heading } = stationAt(edge.outline, share * length)
          const off = nearest(edge.bare, at, leftOf(heading))
          // A part that runs on past the measured corner has nothing square beside it.
          if (off > 4 * Math.abs(edge.allowance) + 1) continue
          expect(Math.abs(off - Math.abs(edge.allowance))).toBeLessThan(2e-4)
        }
      }
    })
  })

  test('have a tick at each end of the hinge, on the outline', () => {
    each((panel) => {
      const [low, high, ...others] = hingeTicks(panel)
      if (!low || !high) return expect.fail('a hinge tick is missing')
      expect(others).toEqual([])
      expect(low.at).toEqual(panel.hinge.from)
      expect(high.at).toEqual(panel.hinge.to)
      for (const tick of panel.ticks) {
        expect(nearest(panel.outline, tick.at, tick.inward)).toBeLessThan(1e-6)
        const edge = edgeOf(panel, tick)
        expect(distance(stationAt(edge.outline, tick.length).at, tick.at)).toBeLessThan(1e-6)
      }
    })
  })

  test('have one slit through both hinge ticks that runs 5 mm past both edges', () => {
    each((panel) => {
      const [slit, ...others] = panel.slits
      if (!slit) return expect.fail('no slit')
      expect(others).toEqual([])
      const way = unit(subtract(slit.to, slit.from))
      for (const tick of hingeTicks(panel)) {
        expect(Math.abs(cross(way, subtract(tick.at, slit.from)))).toBeLessThan(1e-6)
      }
      expect(distance(slit.from, panel.hinge.from)).toBeCloseTo(5, 6)
      expect(distance(slit.to, panel.hinge.to)).toBeCloseTo(5, 6)
    })
  })

  test('have the two slits of a strip on either side of the hinge, 5 mm past both edges', () => {
    each((panel, _again, strip) => {
      expect(panel.slits).toHaveLength(2)
      const up = unit(subtract(panel.hinge.to, panel.hinge.from))
      for (const [i, slit] of panel.slits.entries()) {
        const way = unit(subtract(slit.to, slit.from))
        expect(Math.abs(cross(up, way))).toBeLessThan(1e-9)
        for (const tick of hingeTicks(panel)) {
          const aside = -cross(way, subtract(tick.at, slit.from))
          expect(Math.abs(aside - (i === 0 ? strip / 2 : -strip / 2))).toBeLessThan(1e-6)
        }
        for (const end of [slit.from, slit.to]) {
          const reach = Math.min(...crossings(panel.outline, end, way).map((c) => Math.abs(c.reach)))
          expect(Math.abs(reach - 5)).toBeLessThan(1e-6)
        }
      }
    }, 'strip')
  })

  test('are the same twice over, and the same after a trip through JSON', () => {
    each(
      (panel, again) => {
        expect(again()).toEqual(panel)
        expect(JSON.stringify(JSON.parse(JSON.stringify(panel)))).toBe(JSON.stringify(panel))
        expect(JSON.stringify(panel)).not.toContain('null')
      },
      'one',
      30,
    )
  })
})

/** mm from the endless line through a straight path to `p`, positive to its right: outside a panel. */
function besideLine(path: Path, p: Point): number {
  return -cross(unit(subtract(endOf(path), path.start)), subtract(p, path.start))
}

/** mm that `p` lies past the measured edge. A level edge of a cone is a level line, so its slant height tells. */
function past({ surface }: Panel, edge: PanelEdge, p: Point): number {
  const level = edge.name === 'bottom' || edge.name === 'top'
  if (!surface || surface.kind === 'flat' || !level) return besideLine(edge.bare, p)
  const rise = onObject(surface, p).up - onObject(surface, edge.bare.start).up
  return edge.name === 'top' ? rise : -rise
}

describe.each(Object.entries(squareBands))('%s of any valid measures', (_name, measured) => {
  const each = eachOf(measured)

  test('have the edges bottom, right, top and left', () => {
    each(({ edges }) => expect(edges.map((edge) => edge.name)).toEqual(edgeNames))
  })

  test('stand out or in by the allowance of each edge, from end to end', () => {
    each(
      (panel) => {
        for (const edge of panel.edges) {
          const length = pathLength(edge.outline)
          for (const share of [0, 0.02, 0.25, 0.5, 0.75, 0.98, 1]) {
            const { at } = stationAt(edge.outline, share * length)
            expect(Math.abs(past(panel, edge, at) - edge.allowance)).toBeLessThan(1e-6)
          }
          const middle = stationAt(edge.outline, length / 2)
          expect(nearest(panel.outline, middle.at, point(-middle.heading.y, middle.heading.x))).toBeLessThan(1e-6)
        }
      },
      'one',
      120,
    )
  })

  test('have a hinge tick at half of the bottom and the top edge', () => {
    each(
      (panel) => {
        expect(hingeTicks(panel).map((tick) => tick.edge)).toEqual(['bottom', 'top'])
        const way = unit(subtract(panel.hinge.to, panel.hinge.from))
        const [, right, , left] = panel.edges
        for (const tick of hingeTicks(panel)) {
          const edge = edgeOf(panel, tick)
          const own = crossings(edge.bare, panel.hinge.from, way)
          expect(own).toHaveLength(1)
          expect(Math.abs((own[0]?.length ?? 0) - pathLength(edge.bare) / 2)).toBeLessThan(1e-6)
          if (right?.allowance !== left?.allowance) continue
          expect(Math.abs(tick.length - pathLength(edge.outline) / 2)).toBeLessThan(1e-6)
        }
      },
      'one',
      120,
    )
  })
})
