import { describe, expect, test } from 'vitest'
import { addressForms, linkWords, readLinkAddress } from '../../src/machine/link-address.ts'
import { readProfile } from '../../src/machine/read-profile.ts'
import { formatProblem } from '../../src/measure/problem.ts'

/** What an address is read as, of which these settings stand in it. */
const good: readonly (readonly [string, object, string])[] = [
  [
    'serial:/dev/ttyUSB0',
    { kind: 'serial', to: '/dev/ttyUSB0', baud: 9600, bits: 8, parity: 'none', stop: 1, handshake: 'xon-xoff' },
    'serial line /dev/ttyUSB0, 9600 baud, 8 bits, parity none, 1 stop bit, xon-xoff handshake',
  ],
  [
    'serial:COM3?baud=1200&bits=7&parity=even&stop=2&handshake=enq-ack&setup=no&buffer=255&answers=errors+position',
    { to: 'COM3', baud: 1200, bits: 7, parity: 'even', stop: 2, setUp: false, buffer: 255, block: 80 },
    'serial line COM3, 1200 baud, 7 bits, parity even, 2 stop bits, enq-ack handshake',
  ],
  [
    ' tcp:cutter.example:9100?patience=5&ahead=2 ',
    { kind: 'tcp', to: 'cutter.example', port: 9100, patience: 5, ahead: 2, handshake: 'none', answers: [] },
    'socket cutter.example:9100',
  ],
  ['tcp:[fe80::1]:9100', { to: 'fe80::1', port: 9100 }, 'socket fe80::1:9100'],
  ['device:/dev/usb/lp0', { kind: 'device', to: '/dev/usb/lp0', ahead: 5 }, 'device /dev/usb/lp0'],
  ['queue:cutter', { kind: 'queue', to: 'cutter', server: undefined, port: undefined }, 'print queue cutter'],
  [
    'queue:printer.example:631/cutter',
    { to: 'cutter', server: 'printer.example', port: 631 },
    'print queue cutter of printer.example:631',
  ],
  ['file:out dir/lids.hpgl', { kind: 'file', to: 'out dir/lids.hpgl' }, 'file out dir/lids.hpgl'],
]

const bad: readonly (readonly [string, string])[] = [
  [
    'cutter',
    'the link is "cutter"; links are serial, tcp, device, queue, file, each with : and its place. Write it like serial:/dev/ttyUSB0?baud=9600&handshake=xon-xoff, tcp:192.168.1.20:9100, device:/dev/usb/lp0, queue:NAME, file:PATH.',
  ],
  [
    'serail:/dev/ttyUSB0',
    'the link is "serail:/dev/ttyUSB0"; links are serial, tcp, device, queue, file, each with : and its place. Did you mean serial:?',
  ],
  ['queue:', 'the link is "queue:"; its place is left out. Write it like queue:NAME.'],
  ['tcp:1.2.3.4', 'the link is "tcp:1.2.3.4"; its place is not one. Write it like tcp:192.168.1.20:9100.'],
  ['tcp:1.2.3.4:0', 'the link is "tcp:1.2.3.4:0"; its place is not one. Write it like tcp:192.168.1.20:9100.'],
  ['tcp:1.2.3.4:65536', 'the link is "tcp:1.2.3.4:65536"; its place is not one. Write it like tcp:192.168.1.20:9100.'],
  ['tcp:a b:9100', 'the link is "tcp:a b:9100"; its place is not one. Write it like tcp:192.168.1.20:9100.'],
  [
    'device:/dev/\nusb/lp0',
    'the link is "device:/dev/\\nusb/lp0"; a place has no line breaks and control characters. Take them out.',
  ],
  ['queue:h:65536/cutter', 'the link is "queue:h:65536/cutter"; its place is not one. Write it like queue:NAME.'],
  // It would be taken for an option of the printing system's command.
  ['queue:-x', 'the link is "queue:-x"; its place is not one. Write it like queue:NAME.'],
  [
    'serial:/dev/x?baud=fast',
    'the link is "baud=fast"; baud is a whole number from 50 to 4000000. Correct it, or leave it out.',
  ],
  ['serial:/dev/x?bits=9', 'the link is "bits=9"; bits is a whole number from 7 to 8. Correct it, or leave it out.'],
  [
    'serial:/dev/x?parity=mark',
    'the link is "parity=mark"; parity is one of none, even, odd. Correct it, or leave it out.',
  ],
  ['serial:/dev/x?setup=1', 'the link is "setup=1"; setup is yes or no. Correct it, or leave it out.'],
  [
    'tcp:h:1?answers=errors+time',
    'the link is "answers=errors+time"; answers is some of position, limits, errors, with + between. Correct it, or leave it out.',
  ],
  [
    'serial:/dev/x?boud=9600',
    'the link is "boud=9600"; settings are baud, bits, parity, stop, handshake, setup, block, buffer, answers, patience, ahead. Did you mean baud?',
  ],
  ['tcp:h:1?baud=9600', 'the link is "baud=9600"; only a serial line has a baud. Leave it out.'],
  [
    'queue:cutter?answers=errors',
    'the link is "queue:cutter?answers=errors"; a queue neither answers nor stops anybody. Leave handshake and answers out.',
  ],
  [
    'file:x?handshake=software',
    'the link is "file:x?handshake=software"; a file neither answers nor stops anybody. Leave handshake and answers out.',
  ],
  [
    'tcp:h:1?handshake=hardwire',
    'the link is "tcp:h:1?handshake=hardwire"; only a serial line has a wire for it. Leave the handshake out.',
  ],
]

describe('the address of a link', () => {
  test.each(good)('%s is read, and said in words', (text, settings, words) => {
    const read = readLinkAddress(text)
    expect(read).toMatchObject(settings)
    if ('code' in read) throw new Error(read.limit)
    expect(linkWords(read)).toBe(words)
  })

  test.each(bad)('%s is refused with what to write', (text, sentence) => {
    const read = readLinkAddress(text)
    expect('code' in read && formatProblem(read)).toBe(sentence)
  })

  test('is read in every form that is shown', () => {
    for (const form of addressForms) expect(readLinkAddress(form)).not.toHaveProperty('code')
  })
})

describe('the link in a profile', () => {
  const profile = 'name: bench\narea: { along: 600, across: 300 }\ntools: { kiss: 1 }\n'

  test('is kept as it is written', () => {
    const { machine, problems } = readProfile(`${profile}link: tcp:192.168.1.20:9100?answers=errors\n`)
    expect(problems).toEqual([])
    expect(machine?.link).toBe('tcp:192.168.1.20:9100?answers=errors')
  })

  test('that is none is refused where it stands', () => {
    const { machine, problems } = readProfile(`${profile}link: tpc:192.168.1.20:9100\n`)
    expect(machine).toBeUndefined()
    expect(problems.map(({ field, place }) => [field, place?.line])).toEqual([['link', 4]])
    expect(problems.map(formatProblem).join()).toContain('Did you mean tcp:?')
  })
})
