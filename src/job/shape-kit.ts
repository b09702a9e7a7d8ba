import { openingProblems, openingSpecs, placedOpenings } from '../../templates/openings.ts'
import { fittedCurve } from '../geometry/fit.ts'
import { pathLength, stationAt } from '../geometry/length.ts'
import { arcTo, circle, closedPath, cubicTo, endOf, lineTo, openPath, polyline, rectangle } from '../geometry/path.ts'
import { point } from '../geometry/point.ts'
import { following, scaling, transform, translation, turning } from '../geometry/transform.ts'
import { onObject, onPanel } from '../panel/surface.ts'
import { defineTemplate } from '../panel/template.ts'
import { dimension } from '../picture/dimension.ts'

/** What a shape of a shop's own is handed: the same pieces that the shapes of the catalogue are made of. */
export const shapeKit = {
  defineTemplate,
  point,
  lineTo,
  arcTo,
  cubicTo,
  openPath,
  closedPath,
  polyline,
  circle,
  rectangle,
  endOf,
  fittedCurve,
  pathLength,
  stationAt,
  transform,
  following,
  scaling,
  translation,
  turning,
  onPanel,
  onObject,
  dimension,
  openingSpecs,
  openingProblems,
  placedOpenings,
} as const

export type ShapeKit = typeof shapeKit
