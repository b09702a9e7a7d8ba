import { expect, test } from 'vitest'
import { Walk } from '../../../src/file/hpgl/walk.ts'

/** What is said at each place; bytes are counted by hand in every test. */
function walked(text: string) {
  const walk = new Walk(Uint8Array.from(text, (c) => c.charCodeAt(0)))
  return { places: Array.from(walk.places(), (place) => place.behind), beyond: walk.beyond }
}
const last = (text: string) => walked(text).places.at(-1)

test('there is a place behind each whole command and behind each pair inside one', () => {
  const { places, beyond } = walked('IN;SP1;PU10,20;PD30,20,30,40;')
  expect(places.map(({ offset, whole, down, at, inside }) => [offset, whole, down, at, inside])).toEqual([
    [3, true, false, undefined, undefined],
    [7, true, false, undefined, undefined],
    [14, false, false, { x: 10, y: 20 }, 'PU'],
    [15, true, false, { x: 10, y: 20 }, undefined],
    [22, false, true, { x: 30, y: 20 }, 'PD'],
    [28, false, true, { x: 30, y: 40 }, 'PD'],
    [29, true, true, { x: 30, y: 40 }, undefined],
  ])
  expect(places.map(({ settings }) => settings)).toEqual([['IN'], ...Array(6).fill(['IN', 'SP1'])])
  expect(beyond).toBe(undefined)
})

test('what is not a command is passed over, and the walk goes on behind it', () => {
  expect(walked('PU1,2;5;PU3,4;').places.map(({ offset, at }) => [offset, at])).toEqual([
    [5, { x: 1, y: 2 }],
    [6, { x: 1, y: 2 }],
    [8, { x: 1, y: 2 }],
    [13, { x: 3, y: 4 }],
    [14, { x: 3, y: 4 }],
  ])
})

test('an odd number at the end of a list moves nothing', () => {
  expect(last('PU1,2;PD5,6,7;')).toMatchObject({ offset: 14, down: true, at: { x: 5, y: 6 } })
})

test('steps add up from PR to PA, IN or DF', () => {
  expect(walked('PU10,10;PR5,-2,1,1;').places.map(({ at, relative }) => [at, relative])).toEqual([
    [{ x: 10, y: 10 }, false],
    [{ x: 10, y: 10 }, false],
    [{ x: 15, y: 8 }, true],
    [{ x: 16, y: 9 }, true],
    [{ x: 16, y: 9 }, true],
  ])
  expect(last('PU10,10;PR5,5;PU1,1;')).toMatchObject({ at: { x: 16, y: 16 }, relative: true, down: false })
  expect(last('PU10,10;PR5,5;PA1,1;')).toMatchObject({ at: { x: 1, y: 1 }, relative: false })
  expect(last('PU10,10;PR;DF;')?.relative).toBe(false)
  expect(last('PU10,10;PR;IN;')?.relative).toBe(false)
})

test.each(['IN', 'DF', 'SC0,1,0,1', 'IP0,0,9,9', 'RO90'])(
  'only the plotter knows where the tool is after %s',
  (frame) => {
    expect(last(`PU10,10;${frame};`)?.at).toBe(undefined)
    // A step from an unknown place leads to another.
    expect(last(`PU10,10;${frame};PR5,5;`)?.at).toBe(undefined)
    expect(last(`PU10,10;${frame};PA5,5;`)?.at).toEqual({ x: 5, y: 5 })
  },
)

test('IN lifts the tool and takes back all settings', () => {
  expect(last('SP1;VS20;PD5,5;IN;')).toMatchObject({ down: false, settings: ['IN'] })
  expect(last('SP1;VS20;PD5,5;DF;')).toMatchObject({ down: true, settings: ['SP1', 'VS20', 'DF'] })
})

test('of tools taken one right after the other the last counts', () => {
  expect(last('SP1;SP2;VS5;SP3;')?.settings).toEqual(['SP2', 'VS5', 'SP3'])
})

test('arcs and figures are no settings', () => {
  expect(last('PU10,0;PD;AA0,0,90;CI5;EA9,9;ER1,1;EW5,0,90;')?.settings).toEqual([])
})

test.each([
  // A quarter to the left about the origin, half a turn about a place 10 to the left, a whole turn.
  ['AA0,0,90', { x: 0, y: 10 }],
  ['AA0,0,-90', { x: 0, y: -10 }],
  ['AR-10,0,180', { x: -10, y: 0 }],
  ['AA0,0,360', { x: 10, y: 0 }],
  ['AA10,0,90', { x: 10, y: 0 }],
  // An eighth ends at 7.07, which each plotter rounds in its own way; one through a point likewise.
  ['AA0,0,45', undefined],
  ['AT0,10,-10,0', undefined],
  ['RT-10,10,-20,0', undefined],
])('from 10,0 the arc %s ends at %j', (arc, end) => {
  expect(last(`PU10,0;PD;${arc};`)?.at).toEqual(end)
  expect(last(`IN;PD;${arc};`)?.at).toBe(undefined)
})

test('a figure leaves the tool where it was', () => {
  expect(last('PU10,0;CI5;')?.at).toEqual({ x: 10, y: 0 })
})

test('an encoded polyline has a place behind each pair: HP 5961-0509, pages 20-34 to 20-41', () => {
  // In base 32 the letters from _ (95) end a number: c is 4, which stands for 2; e is 6, for 3.
  const { places } = walked('PU10,10;PE7cc<ee=cc;')
  expect(places.slice(2).map(({ offset, whole, down, at, inside }) => [offset, whole, down, at, inside])).toEqual([
    [13, false, true, { x: 12, y: 12 }, 'PE7'],
    [16, false, false, { x: 15, y: 15 }, 'PE7'],
    [19, false, true, { x: 2, y: 2 }, 'PE7'],
    [20, true, true, { x: 2, y: 2 }, undefined],
  ])
  // In base 64 numbers end from byte 191 on: 195 is 4.
  expect(walked('PE=\u00c3\u00c3;').places[0]).toMatchObject({ offset: 5, at: { x: 2, y: 2 }, inside: 'PE' })
})

test('inside a polyline with fractional bits nothing can be taken up', () => {
  expect(walked('PE7>acc;').places[0]?.inside).toBe(undefined)
  // Those of another polyline do not count.
  expect(walked('PE7cc;PE7>acc;').places[0]?.inside).toBe('PE7')
})

test.each([
  ['LBhi\u0003', 'LB'],
  ['OE;', 'OE'],
  ['PM0;', 'PM'],
  ['IW0,0,9,9;', 'IW'],
  ['EP;', 'EP'],
])('%j is not followed, and the first such command is named', (text, name) => {
  expect(walked(`PU1,1;${text}OA;`).beyond).toEqual({ name, offset: 6 })
})

test('a command of nobody is neither a setting nor a reason to stop', () => {
  expect(walked('PU1,1;ZZ1;').beyond).toBe(undefined)
  expect(last('PU1,1;ZZ1;')?.settings).toEqual([])
})
