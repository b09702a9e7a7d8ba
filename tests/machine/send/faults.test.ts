import { describe, expect, test } from 'vitest'
import { readPlot } from '../../../src/file/hpgl/read.ts'
import { Walk } from '../../../src/file/hpgl/walk.ts'
import { pathLength } from '../../../src/geometry/length.ts'
import { pieces } from '../../../src/geometry/path.ts'
import { accountOf, endingOf, lineStates, progressOf } from '../../../src/machine/send/account.ts'
import { type HandshakeKind, settingUp } from '../../../src/machine/send/handshake.ts'
import { formatMark, readMark } from '../../../src/machine/send/mark.ts'
import { partWords } from '../../../src/machine/send/parts.ts'
import { planSend, type SendPlan } from '../../../src/machine/send/plan.ts'
import { type Course, courseFrom, markBehind } from '../../../src/machine/send/resume.ts'
import type { SendOptions } from '../../../src/machine/send/sender.ts'
import type { Misbehaviour } from '../../../src/machine/simulated/options.ts'
import { blockFor, dialects, lidBytes, lidPlan, lids, plainly, star } from './jobs.ts'
import { drained, everyHandshake, type Run, runOnWire } from './wire.ts'

/** Straight stretches with the tool down, each as its pen and its two ends, whichever way it was gone. */
function stretches(...done: readonly Uint8Array[]): string[] {
  return done.flatMap((bytes) =>
    readPlot(bytes, { unitsPerMm: 1 }).strokes.flatMap(({ pen, path }) =>
      [...pieces(path)].map(({ from, segment }) => {
        const ends = [from, segment.to].map(({ x, y }) => `${x},${y}`).sort()
        return `${pen}: ${ends.join(' ')}`
      }),
    ),
  )
}

const sorted = (all: readonly string[]) => [...all].sort()

const through = (kind: HandshakeKind, plan: SendPlan, more: Partial<SendOptions> = {}): SendOptions => ({
  ...plainly(plan),
  handshake: { kind, block: blockFor(kind) },
  ...more,
})

/** A machine slower than its line, so that a handshake is needed; with none, one that keeps up. */
const paced = (kind: HandshakeKind) => ({ buffer: 255, drain: kind === 'none' ? 100_000 : 300 })

/** The last place in the file that the machine came to, as a person at the machine sees it. */
function reached(plan: SendPlan, course: Course, run: Run): number {
  const own = run.machine.done.length - course.head.length
  const heard = Math.max(course.from, course.from + own)
  let last = course.from
  for (const place of new Walk(plan.bytes).places()) {
    // A number is at its end when the byte behind it has come, but for one that is encoded.
    const ends = plan.bytes[place.offset - 1] === 0x3b || place.inside?.startsWith('PE') ? 0 : 1
    if (place.offset > last && place.offset + ends <= heard) last = place.offset
  }
  return last
}

/** A file as far as a machine has come in it. */
const upTo = (plan: SendPlan, offset: number) => Uint8Array.of(...plan.bytes.subarray(0, offset), 0x3b)

/** What stands in an account against what the machine has done. */
function expectTrue(run: Run, plan: SendPlan): void {
  const { sender, machine } = run
  expect(sender.surely).toBeLessThanOrEqual(sender.at)
  expect(machine.lost).toBe(0)
  const came = reached(plan, sender.options.course, run)
  const { cut } = accountOf(sender)
  const whole = plan.parts.filter(({ name }) => cut.includes(name)).flatMap(({ lines }) => lines)
  for (const i of whole) expect(plan.lines[i]?.to).toBeLessThanOrEqual(came)
  // What is said of single lines: no more is called cut than is, and nothing that is begun is called left.
  for (const [i, state] of lineStates(plan, [progressOf(sender, run.seconds).reach]).entries()) {
    const { from, to } = plan.lines[i] as SendPlan['lines'][number]
    if (state === 'cut') expect(to).toBeLessThanOrEqual(came)
    if (state === 'left') expect(came).toBeLessThanOrEqual(from)
  }
}

/** A line as it is told. */
function lineOf({ parts, lines }: SendPlan, line: SendPlan['lines'][number]): string {
  const part = parts[line.part]
  if (!part) throw new Error('a line of no part')
  const own = part.lines.indexOf(lines.indexOf(line)) + 1
  return part.lines.length === 1 ? partWords(part) : `line ${own} of ${partWords(part)}`
}

/** The place to begin with, as a person gives it, in the words of an ending. */
const placeIn = (words: readonly string[]): string | undefined => /begin with <(.*?)>/.exec(words.join(' '))?.[1]

const wordsOf = (run: Run) => endingOf(run.sender, 0, (place) => `begin with <${place}>`).words

describe('a link that is cut', () => {
  // The strict file in all of the handshakes, the others in one after the other: some 2,700 cuts.
  for (const dialect of dialects) {
    test(`at every byte, ${dialect}: the account is true, and going on leaves nothing out and cuts nothing twice`, () => {
      const plan = lidPlan(dialect)
      const whole = sorted(stretches(plan.bytes))
      let cuts = 0
      for (let at = 1; at <= plan.bytes.length; at++) {
        const kinds = dialect === 'strict' ? everyHandshake : [everyHandshake[at % 5] as HandshakeKind]
        for (const kind of kinds) {
          const options = through(kind, plan)
          const setUp = settingUp(options.handshake).length
          const first = runOnWire(options, { ...paced(kind), misbehaviour: { disappears: setUp + at } }, { baud: 9600 })
          drained(first)
          expect(first.sender.outcome?.how).toBe('broken')
          expectTrue(first, plan)
          const mark = markBehind(plan, reached(plan, options.course, first))
          const before = upTo(plan, reached(plan, options.course, first))
          cuts++
          // Is only the way home left?
          if (!mark) {
            expect(sorted(stretches(before))).toEqual(whole)
            continue
          }
          const course = courseFrom(plan, mark)
          const again = runOnWire({ ...options, course }, paced(kind), { baud: 9600 })
          drained(again)
          expect(again.sender.outcome?.how).toBe('done')
          expect(sorted([...stretches(before), ...stretches(again.machine.done)])).toEqual(whole)
        }
      }
      expect(cuts).toBeGreaterThan(180)
    })
  }

  test('leads to a run from the first line that may not be whole, which cuts no line before it again', () => {
    const plan = lidPlan()
    let looked = 0
    for (let at = 30; at < plan.bytes.length; at += 7) {
      const options = through('software', plan)
      const first = runOnWire(options, { ...paced('software'), misbehaviour: { disappears: at } }, { baud: 9600 })
      drained(first)
      const place = placeIn(wordsOf(first))
      if (first.sender.at === 0) expect(wordsOf(first)).toContain('Nothing of the job was sent.')
      if (place === undefined) continue
      const mark = readMark(place, plan)
      if ('code' in mark) throw new Error(mark.limit)
      const began = plan.lines.findIndex((line) => line.to > first.sender.surely)
      expect(mark).toEqual({ line: began, point: 1 })
      const again = drained(
        runOnWire({ ...options, course: courseFrom(plan, mark) }, paced('software'), { baud: 9600 }),
      )
      const own = plan.lines.slice(began).map((line) => Math.round(line.down))
      expect(readPlot(again.done).strokes.map((stroke) => Math.round(pathLength(stroke.path)))).toEqual(own)
      looked++
    }
    expect(looked).toBeGreaterThan(40)
  })
})

describe('a machine that misbehaves', () => {
  // Patience of 30 s and three times what the machine has to do, and once more for parking.
  const longest = 300
  const faults: Record<string, Misbehaviour> = {
    slow: { slow: 20 },
    silent: { silent: true },
    'drops bytes': { drops: 50 },
    garbles: { garbles: 60 },
    resets: { resets: 150 },
    'is full': { full: 100 },
    disappears: { disappears: 200 },
    babbles: { babbles: true },
  }
  const outcomes: Record<string, Record<string, string>> = {}
  for (const [name, misbehaviour] of Object.entries(faults)) {
    for (const kind of everyHandshake) {
      for (const answers of [[], ['errors', 'position']] as const) {
        const asked = answers.length > 0 ? 'asked' : 'not asked'
        test(`${name}: ${kind}, ${asked}`, () => {
          const plan = lidPlan()
          // Without a handshake a machine must keep up or have room for all; it does not stop the host for codes it
          // garbles itself.
          const roomy = kind === 'none' || (kind === 'xon-xoff' && name === 'babbles') ? 4096 : 255
          const options = through(kind, plan, { answers: [...answers], buffer: roomy })
          const run = runOnWire(options, { buffer: roomy, drain: 300, misbehaviour }, { baud: 9600, longest })
          drained(run)
          expect(run.machine.lost).toBe(0)
          expect(run.seconds).toBeLessThan(longest)
          const how = run.sender.outcome?.how ?? ''
          outcomes[name] = { ...outcomes[name], [`${kind} ${asked}`]: how }
          const mayBe: Record<string, readonly string[]> = {
            slow: ['done'],
            silent: ['done', 'stuck', 'silent'],
            'drops bytes': ['done', 'stuck', 'silent', 'rubbish', 'machine error'],
            garbles: ['done', 'stuck', 'silent', 'rubbish', 'machine error'],
            resets: ['broken'],
            'is full': ['stuck', 'done', 'silent'],
            disappears: ['broken'],
            babbles: ['rubbish', 'done', 'stuck', 'silent'],
          }
          expect(mayBe[name]).toContain(how)
          // Whatever answers, or is waited for, does not come to a good end without its answer.
          const needs = kind === 'enq-ack' || kind === 'software' || answers.length > 0
          if ((name === 'silent' || name === 'babbles') && needs) expect(how).not.toBe('done')
          if (name === 'garbles' && answers.length > 0) expect(how).not.toBe('done')
          if (name === 'is full' && answers.length > 0) expect(run.sender.confirmed).toBe(false)
          // Bytes that are lost on the way can be noticed only by the machine.
          if (name !== 'drops bytes' && name !== 'garbles' && answers.length === 0) expectTrue(run, plan)
          expect(wordsOf(run).join(' ')).not.toMatch(/undefined|NaN|\[object/)
        })
      }
    }
  }

  test('was looked at in every handshake', () => {
    expect(Object.keys(outcomes)).toHaveLength(8)
    for (const each of Object.values(outcomes)) expect(Object.keys(each)).toHaveLength(10)
  })
})

describe('a person who stops a run', () => {
  for (const kind of everyHandshake) {
    test(`${kind}: the tool is up and parked, and going on leaves nothing out and cuts nothing twice`, () => {
      const plan = lidPlan()
      const whole = sorted(stretches(plan.bytes))
      let stops = 0
      for (let at = 0.02; at < 1; at += 0.02) {
        const options = through(kind, plan, { answers: ['errors'] })
        const person = [{ at, event: { kind: 'stop' as const } }]
        const first = runOnWire(options, paced(kind), { baud: 9600, person })
        const machine = drained(first)
        if (first.sender.outcome?.how !== 'stopped') continue
        stops++
        const plot = readPlot(machine.done, { unitsPerMm: 1 })
        expect([plot.penDownAtEnd, plot.at.x, plot.at.y]).toEqual([false, 0, 0])
        expect(first.sender.confirmed).toBe(true)
        const { goOn } = accountOf(first.sender)
        const mark = markBehind(plan, first.sender.at)
        expect(goOn === undefined).toBe(mark === undefined)
        // Was only the way home left?
        if (!mark) {
          expect(sorted(stretches(machine.done))).toEqual(whole)
          continue
        }
        expect(goOn).toBe(formatMark(plan, mark))
        expect(readMark(goOn ?? '', plan)).toEqual(mark)
        const line = plan.lines[mark.line] as SendPlan['lines'][number]
        const isInside = mark.point > 1 || first.sender.at > line.from
        const before = isInside ? line : plan.lines[mark.line - 1]
        const there = before && `${isInside ? 'in' : 'behind'} ${lineOf(plan, before)}. The tool`
        const [words, how] = wordsOf(first)
        expect(words).toContain(there ?? 'before a line was begun')
        expect(how).toContain(`To go on from there: begin with <${goOn}>.`)
        expect(how?.includes('To cut that line anew')).toBe(mark.point > 1)
        // Lines that are called cut are those that the machine has cut, before and after.
        const states = lineStates(plan, [progressOf(first.sender, first.seconds).reach])
        expect(states).toEqual(
          plan.lines.map((_, i) => (i < mark.line ? 'cut' : i === mark.line && isInside ? 'begun' : 'left')),
        )
        const strokes = readPlot(machine.done, { unitsPerMm: 1 }).strokes
        expect(strokes.length).toBe(states.filter((state) => state !== 'left').length)
        const again = runOnWire({ ...options, course: courseFrom(plan, mark) }, paced(kind), { baud: 9600 })
        expect(sorted(stretches(machine.done, drained(again).done))).toEqual(whole)
        const all = [first, again].map(({ sender, seconds }) => progressOf(sender, seconds).reach)
        expect(new Set(lineStates(plan, all))).toEqual(new Set(['cut']))
      }
      expect(stops).toBeGreaterThan(15)
    })

    test(`${kind}: a pause lifts the tool, nothing is sent in it, and the same is cut after it`, () => {
      const plan = planSend('star.hpgl', lidBytes('strict', star))
      const options = through(kind, plan)
      let pauses = 0
      for (let at = 0.1; at < 2; at += 0.2) {
        const person = [
          { at, event: { kind: 'pause' as const } },
          { at: 1000, event: { kind: 'resume' as const } },
        ]
        const run = runOnWire(options, paced(kind), { baud: 9600, person })
        const { done } = drained(run)
        expect(run.sender.outcome?.how).toBe('done')
        expect(sorted(stretches(done))).toEqual(sorted(stretches(plan.bytes)))
        // All but our own PU; and PD; is the file.
        if (run.seconds < 1000) continue
        const text = new TextDecoder().decode(done)
        expect(text.replace('PU;PD;', '')).toBe(new TextDecoder().decode(plan.bytes))
        expect(done.length).toBe(plan.bytes.length + 6)
        pauses++
      }
      expect(pauses).toBeGreaterThan(5)
    })
  }

  test('and leaves at once is told what may have been cut', () => {
    const plan = lidPlan()
    const person = [{ at: 0.3, event: { kind: 'leave' as const } }]
    const run = runOnWire(through('software', plan), paced('software'), { baud: 9600, person })
    drained(run)
    expectTrue(run, plan)
    expect(wordsOf(run)[0]).toContain('The tool may be down')
  })
})

test('a job that lies outside of what the machine says it reaches is refused before the first byte', () => {
  const plan = lidPlan()
  const options = through('enq-ack', plan, { answers: ['limits'] })
  const run = runOnWire(options, { limits: [0, 0, 4000, 4000] }, { baud: 9600 })
  expect(run.sender.outcome).toEqual({ how: 'too far', detail: 'from 0, 0 to 4000, 4000 units' })
  expect(new TextDecoder().decode(drained(run).done)).toBe('OH;')
})

test('at 9600 baud the line is kept busy for 95 of 100 s and more, whatever the handshake', () => {
  const many = Array.from({ length: 12 }, () => lids).flat()
  const plan = planSend('many.hpgl', lidBytes('strict', many))
  for (const kind of everyHandshake) {
    const run = runOnWire(through(kind, plan), { buffer: 255, drain: 2000 }, { baud: 9600 })
    expect(drained(run).done.length).toBe(plan.bytes.length)
    expect(run.busy / run.seconds).toBeGreaterThan(0.95)
  }
})
