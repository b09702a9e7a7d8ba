/** What the tool draws between two lifts, plotter units. */
export interface Plotted {
  readonly pen: number
  readonly points: readonly (readonly [number, number])[]
}

/**
 * A plotter of its own for what the writer makes, by the wording of HP 5961-0509, chapters 17 and 20. It reads in the
 * narrowest way: a line feed ends a command, IN leaves the position unknown, and what it does not know is an error.
 */
export function plotted(text: string): Plotted[] {
  const strokes: { pen: number; points: [number, number][] }[] = []
  let [x, y, pen] = [Number.NaN, Number.NaN, 0]
  let [down, relative] = [false, false]
  const lower = () => {
    if (!down) strokes.push({ pen, points: [[x, y]] })
    down = true
  }
  const to = (newX: number, newY: number) => {
    x = newX
    y = newY
    if (down) strokes.at(-1)?.points.push([x, y])
  }
  let at = 0
  while (at < text.length) {
    const mnemonic = text.slice(at, at + 2)
    at += 2
    if (mnemonic === 'PE') {
      const end = text.indexOf(';', at)
      if (end < 0) throw new Error('PE without its ;')
      for (const pair of encodedPairs(text.slice(at, end))) {
        if (pair.up) down = false
        else lower()
        if (pair.absolute) to(pair.x, pair.y)
        else to(x + pair.x, y + pair.y)
      }
      at = end
    } else {
      const [list = ''] = /^[-\d.,]*/.exec(text.slice(at, at + 2000)) ?? []
      at += list.length
      const numbers = list === '' ? [] : list.match(/[-]?[\d.]+/g)?.map(Number)
      if (!numbers || (list !== '' && !/^-?\d+(\.\d+)?((,|(?=-))-?\d+(\.\d+)?)*$/.test(list))) throw new Error(list)
      if (mnemonic === 'IN') [x, y, pen, down, relative] = [Number.NaN, Number.NaN, 0, false, false]
      else if (mnemonic === 'SP') {
        if (down) throw new Error('a tool is taken while another is down')
        pen = numbers[0] ?? 0
      } else if (mnemonic === 'AA') arc(numbers)
      else if (/^P[UDAR]$/.test(mnemonic)) {
        if (numbers.length % 2 === 1) throw new Error(`${mnemonic}${list}`)
        if (mnemonic === 'PU') down = false
        if (mnemonic === 'PD') lower()
        if (mnemonic === 'PA') relative = false
        if (mnemonic === 'PR') relative = true
        for (let i = 0; i < numbers.length; i += 2) {
          const [a, b] = [numbers[i] as number, numbers[i + 1] as number]
          to(relative ? x + a : a, relative ? y + b : b)
        }
      } else if (!/^(VS|FS)$/.test(mnemonic)) throw new Error(`${mnemonic} at byte ${at - 2}`)
    }
    while (text[at] === ';' || text[at] === '\n') at++
  }
  return strokes

  function arc([cx = 0, cy = 0, sweep = 0, chord = 5]: readonly number[]): void {
    if (!down) throw new Error('an arc with the pen up')
    const count = Math.ceil(Math.abs(sweep) / chord)
    const [dx, dy] = [x - cx, y - cy]
    for (let i = 1; i <= count; i++) {
      const angle = ((sweep * i) / count) * (Math.PI / 180)
      const [c, s] = [Math.cos(angle), Math.sin(angle)]
      to(cx + dx * c - dy * s, cy + dx * s + dy * c)
    }
  }
}

/** HP 5961-0509, pages 20-34 to 20-41. */
function encodedPairs(data: string): { x: number; y: number; up: boolean; absolute: boolean }[] {
  const pairs: { x: number; y: number; up: boolean; absolute: boolean }[] = []
  let [base, last] = [64, 191]
  let [up, absolute] = [false, false]
  let [sum, size] = [0, 1]
  let first: number | undefined
  for (const c of data) {
    const byte = c.charCodeAt(0)
    if (c === '7') [base, last] = [32, 95]
    else if (c === '<') up = true
    else if (c === '=') absolute = true
    else if (byte >= last) {
      sum += (byte - last) * size
      const value = sum % 2 === 0 ? sum / 2 : -(sum - 1) / 2
      if (first === undefined) first = value
      else {
        pairs.push({ x: first, y: value, up, absolute })
        first = undefined
        ;[up, absolute] = [false, false]
      }
      ;[sum, size] = [0, 1]
    } else {
      if (byte < 63) throw new Error(`byte ${byte} in PE`)
      sum += (byte - 63) * size
      size *= base
    }
  }
  if (first !== undefined || size !== 1) throw new Error('PE that ends inside a pair')
  return pairs
}
