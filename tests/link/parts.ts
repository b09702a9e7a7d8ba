import { spawnSync } from 'node:child_process'

/**
 * Are the programs there that a test stands on? Says so loudly when not; on CI (CI=true) that is an error.
 * @param parts each program's argument that does nothing, and the Debian package it comes from
 */
export function haveParts(
  parts: Readonly<Record<string, readonly [argument: string, from: string]>>,
  tested: string,
): boolean {
  const missing = Object.entries(parts).filter(([name, [argument]]) => spawnSync(name, [argument]).error !== undefined)
  if (missing.length === 0) return true
  const packages = [...new Set(missing.map(([, [, from]]) => from))].join(' ')
  const names = missing.map(([name]) => name).join(', ')
  if (process.env.CI === 'true')
    throw new Error(`${names} not installed: ${tested} cannot be tested. Install ${packages}.`)
  console.warn(`${names.toUpperCase()} MISSING: ${tested.toUpperCase()} ARE NOT TESTED. Install ${packages}.`)
  return false
}
