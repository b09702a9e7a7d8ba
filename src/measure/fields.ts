import * as z from 'zod'
import { readAngle } from './angle.ts'
import { readLength, type Unit } from './length.ts'
import { apartParts, type TypedReading } from './reading-words.ts'
import { combineReadings, type Gauge, type TapeClass } from './readings.ts'

/** What a length field depends on: the unit of bare numbers, and the tape that took repeated readings. */
export interface Reading {
  readonly unit: Unit
  readonly tape: TapeClass
}

/** A refusal inside a zod issue keeps its parts, so that every problem reads alike. */
export interface Parts {
  readonly code: string
  readonly value: string
  readonly limit: string
  readonly cure: string
}

const typed = z.union([z.number(), z.string()])

/** What is no thicker than this, mm, is measured by a calliper and not by a tape. */
const thin = 3

/** What tells a length from other fields of a schema: how its readings are read. */
export const lengthFields = z.registry<{ readonly unit: Unit; readonly gauge: Gauge }>()

/** A length as written, or a list of readings of it; out comes mm between `min` and `max`. */
export function lengthSchema(reading: Reading, min: number, max: number, help: string) {
  const gauge = max <= thin ? 'calliper' : reading.tape
  const schema = z
    .union([typed, z.array(typed).min(1)])
    .transform((raw, context) => {
      const refuse = (parts: Parts) => {
        context.addIssue({ code: 'custom', message: parts.limit, params: { parts } })
        return z.NEVER
      }
      const readings: TypedReading[] = []
      for (const text of Array.isArray(raw) ? raw : [raw]) {
        const read = readLength(text, reading.unit, '')
        if ('problem' in read) return refuse(read.problem)
        readings.push({ text: String(text).trim(), mm: read.mm })
      }
      const apart = apartParts(readings, gauge, reading.unit)
      if (apart) return refuse(apart)
      const lengths = readings.map(({ mm: own }) => own)
      const { mean: mm } = combineReadings(lengths, gauge)
      const inMm = `${Number(mm.toFixed(3))} mm`
      const asTyped = `${[raw].flat().join(', ')}${typeof raw === 'number' ? ` ${reading.unit}` : ''}`
      const value = asTyped === inMm ? inMm : `${asTyped} (${inMm})`
      if (mm < min)
        return refuse({ code: 'too_small', value, limit: `the least is ${min} mm`, cure: `Enter ${min} mm or more.` })
      if (mm > max) {
        const cure = `Check the unit; bare numbers are read as ${reading.unit}.`
        return refuse({ code: 'too_big', value, limit: `the most is ${max} mm`, cure })
      }
      return mm
    })
    .describe(help)
  lengthFields.add(schema, { unit: reading.unit, gauge })
  return schema
}

/** Degrees as written; out come radians. Bounds in degrees. */
export function angleSchema(min: number, max: number, help: string) {
  return z
    .union([z.number(), z.string()])
    .transform((raw, context) => {
      const degrees = readAngle(raw)
      if (degrees !== undefined && degrees >= min && degrees <= max) return (degrees * Math.PI) / 180
      const limit = `an angle from ${min} to ${max} degrees is needed`
      const parts: Parts = { code: 'not_an_angle', value: String(raw), limit, cure: 'Write it as 30 or 30 deg.' }
      context.addIssue({ code: 'custom', message: limit, params: { parts } })
      return z.NEVER
    })
    .describe(help)
}
