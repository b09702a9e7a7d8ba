/** What a byte comes to by the polynomial 0xedb88320. */
const table = Uint32Array.from({ length: 256 }, (_, byte) => {
  let value = byte
  for (let bit = 0; bit < 8; bit++) value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1
  return value
})

/** The CRC-32 of bytes, as PNG files have it (ISO/IEC 15948, annex D), in eight hexadecimal digits. */
export function crc32(bytes: Uint8Array): string {
  let value = 0xffffffff
  for (const byte of bytes) value = (table[(value ^ byte) & 0xff] ?? 0) ^ (value >>> 8)
  return ((value ^ 0xffffffff) >>> 0).toString(16).padStart(8, '0')
}
