/** Largest coordinates, units: of a signed 16-bit integer, as plain HP-GL has them, and of 30 bits and a sign, as HP-GL/2 has them. */
export const plainRange = 32767
export const widestRange = 2 ** 30 - 1
