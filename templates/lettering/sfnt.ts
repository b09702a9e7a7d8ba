import { unzlibSync } from 'fflate'

/** A font's tables lie one after the other, found by a directory; see OpenType 1.9, "Table Directory". */
interface Table {
  readonly tag: string
  readonly sum: number
  readonly bytes: Uint8Array
}

/** What the whole of a font may take unpacked, bytes. */
const most = 60_000_000

/** A font unpacked, with the tags of its tables, or why it is broken. */
export type Unpacked = { readonly bytes: Uint8Array; readonly tags: readonly string[] } | { readonly broken: string }

/**
 * The bytes of a TrueType or OpenType font as they are, those of a WOFF unpacked (WOFF 1.0, sections 3 to 5). Every table
 * must lie within the file and add up to its checksum, so that nothing is cut from a file that was damaged on its way.
 */
export function unpacked(bytes: Uint8Array): Unpacked {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const isWoff = bytes.length >= 4 && view.getUint32(0) === 0x774f4646
  const [start, size] = isWoff ? [44, 20] : [12, 16]
  const count = bytes.length >= start ? view.getUint16(isWoff ? 12 : 4) : 0
  if (count === 0 || bytes.length < start + count * size) return { broken: 'it ends within its list of tables' }
  const tables: Table[] = []
  let whole = 0
  for (let i = 0; i < count; i++) {
    const at = start + i * size
    const tag = String.fromCharCode(...bytes.subarray(at, at + 4))
    const word = (n: number) => view.getUint32(at + 4 * n)
    const [offset, packed, length, sum] = isWoff
      ? [word(1), word(2), word(3), word(4)]
      : [word(2), word(3), word(3), word(1)]
    whole += length
    if (offset + packed > bytes.length) return { broken: `it ends within its table ${tag}` }
    if (whole > most || packed > length) return { broken: `its table ${tag} is given a size that cannot be` }
    const own = bytes.subarray(offset, offset + packed)
    const plain = packed < length ? inflated(own, length) : own
    if (!plain || (tag !== 'head' && checksum(plain) !== sum)) return { broken: `its table ${tag} is damaged` }
    tables.push({ tag, sum, bytes: plain })
  }
  const tags = tables.map(({ tag }) => tag)
  return { bytes: isWoff ? written(view.getUint32(4), tables) : bytes.slice(), tags }
}

function inflated(bytes: Uint8Array, length: number): Uint8Array | undefined {
  try {
    const plain = unzlibSync(bytes, { out: new Uint8Array(length) })
    return plain.length === length ? plain : undefined
  } catch {
    return undefined
  }
}

/** The sum of a table's 32-bit words, the last filled up with zeros, modulo 2^32. */
function checksum(bytes: Uint8Array): number {
  let sum = 0
  for (let i = 0; i < bytes.length; i++) sum = (sum + (bytes[i] as number) * 2 ** (24 - 8 * (i % 4))) % 2 ** 32
  return sum
}

const padded = (length: number): number => Math.ceil(length / 4) * 4

function written(flavour: number, tables: readonly Table[]): Uint8Array {
  const head = 12 + 16 * tables.length
  const out = new Uint8Array(tables.reduce((sum, { bytes }) => sum + padded(bytes.length), head))
  const view = new DataView(out.buffer)
  view.setUint32(0, flavour)
  view.setUint16(4, tables.length)
  let offset = head
  for (const [i, { tag, sum, bytes }] of tables.entries()) {
    const at = 12 + 16 * i
    for (let k = 0; k < 4; k++) out[at + k] = tag.charCodeAt(k)
    view.setUint32(at + 4, sum)
    view.setUint32(at + 8, offset)
    view.setUint32(at + 12, bytes.length)
    out.set(bytes, offset)
    offset += padded(bytes.length)
  }
  return out
}
