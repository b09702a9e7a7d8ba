import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { diameterFromGirth, wrapLength } from '../../src/measure/girth.ts'

describe('a film round a cylinder', () => {
  // William Longfield, Sheet Metal Drafting (1921), art. 38, p. 82: 5 in across, 15.7080 in round
  test('of no thickness is as long as the circle', () => {
    expect(wrapLength(5 * 25.4, 0) / 25.4).toBeCloseTo(15.708, 4)
    expect(wrapLength(5 * 25.4, 0) / 25.4).toBeCloseTo(15.707963, 6)
  })

  // A fabricator's formula sheet has bore 23 in, plate 1/2 in; pi (d + t) worked by hand is 73.827427 in
  test('is as long as its middle', () => {
    expect(wrapLength(23, 0.5)).toBeCloseTo(73.827427, 6)
  })

  // pi x 80.08, worked by hand
  test('of 80 mm and 0.08 mm of film is 251.578740 mm long', () => {
    expect(wrapLength(80, 0.08)).toBeCloseTo(251.57874, 6)
  })

  test('wants 0.251327 mm more for 0.08 mm of film, whatever the diameter', () => {
    for (const diameter of [10, 80, 600]) {
      expect(wrapLength(diameter, 0.08) - wrapLength(diameter, 0)).toBeCloseTo(0.251327, 6)
    }
  })

  // Half-angle 60 degrees: the sheet lies square to the side, and its middle is t/2 x cos 60 farther from the axis.
  test('counts by the cosine of the lean on a cone, and not at all on a flat ring', () => {
    expect(wrapLength(80, 2, 0.5)).toBeCloseTo(81 * Math.PI, 12)
    expect(wrapLength(80, 2, 0)).toBe(80 * Math.PI)
  })
})

describe('a tape round a cylinder', () => {
  // 251.9 / pi - 0.2 and 251.9 + pi (0.08 - 0.2), worked by hand
  test('of 0.2 mm that reads 251.9 mm lies on 79.982260 mm and asks for 251.523009 mm of 0.08 mm film', () => {
    expect(diameterFromGirth(251.9, 0.2)).toBeCloseTo(79.98226, 6)
    expect(wrapLength(diameterFromGirth(251.9, 0.2), 0.08)).toBeCloseTo(251.523009, 6)
  })

  test('as thick as the film reads the length of the film', () => {
    const thickness = fc.double({ min: 0, max: 3, noNaN: true })
    fc.assert(
      fc.property(fc.double({ min: 30, max: 20_000, noNaN: true }), thickness, (reading, both) => {
        expect(wrapLength(diameterFromGirth(reading, both), both)).toBeCloseTo(reading, 8)
      }),
    )
  })
})
