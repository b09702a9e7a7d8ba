import { mmIn, type Unit, writeLength } from './length.ts'
import type { Problem } from './problem.ts'
import { combineReadings, type Gauge, oddReadings } from './readings.ts'

/** One reading as it was typed, and in mm. */
export interface TypedReading {
  readonly text: string
  readonly mm: number
}

/** What readings that differ by more than their gauge explains are told as, after their name; undefined where they agree. */
export function doubtWords(readings: readonly TypedReading[], gauge: Gauge, unit: Unit): string | undefined {
  const { spread, explained, verdict } = combineReadings(
    readings.map(({ mm }) => mm),
    gauge,
  )
  if (verdict === 'agree') return undefined
  // Tapes with inches on them have no mm to look for.
  const small = unit === 'in' || unit === 'ft' ? 'in' : 'mm'
  const [differ, explains] = [spread / mmIn[small], explained / mmIn[small]]
  const least = gauge === 'calliper' || small === 'in' ? 2 : 1
  // Would the two read the same with so few decimals?
  const places = [least, 2, 3].find((n) => differ.toFixed(n) !== explains.toFixed(n)) ?? 3
  const odd = oddOnes(readings)
  const cure = odd.length > 0 ? `Measure once more, and look first at ${odd.join(' and ')}.` : 'Measure once more.'
  const who = gauge === 'calliper' ? 'a calliper' : `a class ${gauge} tape`
  return `readings ${listed(readings)} differ by ${differ.toFixed(places)} ${small}; ${who} explains ${explains.toFixed(places)} ${small}. ${cure}`
}

/** Why readings that contradict each other are refused; undefined where they may be of one length. */
export function apartParts(
  readings: readonly TypedReading[],
  gauge: Gauge,
  unit: Unit,
): Omit<Problem, 'field'> | undefined {
  const lengths = readings.map(({ mm }) => mm)
  const { spread, most, verdict } = combineReadings(lengths, gauge)
  if (verdict !== 'apart') return undefined
  const say = (mm: number) => (mm < 1 && mmIn[unit] < mmIn.m ? `${Number(mm.toFixed(2))} mm` : writeLength(mm, unit))
  const cure = apartCure(readings)
  const trap = decimalCommas(readings, gauge, unit)
  return {
    code: 'readings_apart',
    value: readings.every(({ text }) => /\d$/.test(text)) ? `${listed(readings)} ${unit}` : listed(readings),
    limit: `readings of one length differ by ${say(most)} at the most, and these do by ${say(spread)}`,
    cure:
      trap === undefined
        ? cure
        : `A comma parts the readings of a list: write ${trap} or quote '${commaed(trap)}' if that is meant. Else ${lower(cure)}`,
  }
}

const listed = (readings: readonly TypedReading[]) => readings.map(({ text }) => text).join(', ')

/** As they were typed, each once. */
const oddOnes = (readings: readonly TypedReading[]): string[] => [
  ...new Set(oddReadings(readings.map(({ mm }) => mm)).map((i) => (readings[i] as TypedReading).text)),
]

function apartCure(readings: readonly TypedReading[]): string {
  const odd = oddOnes(readings)
  if (odd.length === 1) return `Measure once more; ${odd[0]} is the odd one out.`
  const each = odd.length > 0 ? odd : [...new Set(readings.map(({ text }) => text))]
  return each.length === 2
    ? `Measure once more; ${each.join(' and ')} cannot both be right.`
    : 'Measure once more, and keep what agrees.'
}

const commaed = (text: string) => text.replace('.', ',')
const lower = (text: string) => text.charAt(0).toLowerCase() + text.slice(1)

/**
 * The first of the readings that whole numbers would be if each two of them were one with a decimal comma, such as
 * 53.4 of 53, 4, 53, 5; undefined where they cannot be meant so.
 */
function decimalCommas(readings: readonly TypedReading[], gauge: Gauge, unit: Unit): string | undefined {
  const isPaired =
    readings.length % 2 === 0 && readings.every(({ text }, i) => (i % 2 === 0 ? whole : decimals).test(text))
  if (!isPaired) return undefined
  const joined = readings.flatMap(({ text }, i) => (i % 2 === 0 ? [`${text}.${readings[i + 1]?.text}`] : []))
  const { verdict } = combineReadings(
    joined.map((text) => Number(text) * mmIn[unit]),
    gauge,
  )
  return verdict === 'apart' ? undefined : joined[0]
}

const whole = /^-?[1-9]\d*$/
const decimals = /^\d{1,2}$/
