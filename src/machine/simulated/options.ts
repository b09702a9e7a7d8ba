/** What goes wrong with a simulated machine; counts are of bytes that reach it. */
export interface Misbehaviour {
  /** everything takes this many times as long */
  readonly slow?: number
  /** says nothing but that the host is to stop */
  readonly silent?: true
  /** loses every so many-th byte and does not notice */
  readonly drops?: number
  /** garbles every so many-th byte, as with a wrong parity, and notices */
  readonly garbles?: number
  /** forgets all that it has not carried out after so many bytes, and hangs up */
  readonly resets?: number
  /** carries out so many bytes and then no more */
  readonly full?: number
  /** hangs up after so many bytes, and carries out what it has */
  readonly disappears?: number
  /** answers with other bytes than it should, as at a wrong speed */
  readonly babbles?: true
}

export interface SimulatedOptions {
  /** bytes that its buffer holds */
  readonly buffer: number
  /** bytes that it carries out in a second; Infinity for at once */
  readonly drain: number
  /** what it says its name is */
  readonly model: string
  /** what it says it reaches, units: left, low, right, high */
  readonly limits: readonly [number, number, number, number]
  readonly misbehaviour: Misbehaviour
}

export const usualSimulated: SimulatedOptions = {
  buffer: 1024,
  drain: 200,
  model: 'SIMULATED',
  limits: [0, 0, 32767, 32767],
  misbehaviour: {},
}
