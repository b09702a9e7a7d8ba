import { execFile } from 'node:child_process'
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { afterAll, beforeAll, expect, test } from 'vitest'

const root = fileURLToPath(new URL('../..', import.meta.url))
const call = promisify(execFile)
let folder = ''
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'midtick-package-'))
  // Without one npm looks for a project further up.
  await writeFile(join(folder, 'package.json'), '{}\n')
})
afterAll(() => rm(folder, { recursive: true, force: true }))

test('the package, installed in an empty folder, makes its own sample', { timeout: 180_000 }, async () => {
  const packed = await call('npm', ['pack', '--silent', '--pack-destination', folder], { cwd: root })
  const tarball = packed.stdout.trim().split('\n').at(-1) ?? ''
  expect(tarball).toMatch(/^midtick-.*\.tgz$/)
  await call('npm', ['install', '--prefer-offline', '--no-audit', '--no-fund', join(folder, tarball)], { cwd: folder })
  const job = join('node_modules', 'midtick', 'samples', 'tool-library.yaml')
  const bin = join('node_modules', '.bin', 'midtick')
  const { stdout } = await call(bin, ['make', job, '--out', 'out'], { cwd: folder })
  expect(stdout).toContain('Written to out: 16 files')
  const names = await readdir(join(folder, 'out'))
  const report = JSON.parse(await readFile(join(folder, 'out', 'report.json'), 'utf8'))
  expect(names.sort()).toEqual(report.files.sort())
  expect(names).toEqual(expect.arrayContaining(['sheet-1.hpgl', 'sheet-1.cut.svg', 'paper.pdf', 'job-sheet.pdf']))
  expect(await readFile(join(folder, 'out', 'sheet-1.hpgl'), 'utf8')).toMatch(/^IN;SP[123];\n/)
  // a reader that leaves after the first line is no fault, and the files are written all the same
  const piped = 'set -o pipefail; "$0" make "$1" --out short | head -n 1 >/dev/null; "$0" machines | true'
  await call('bash', ['-c', piped, bin, job], { cwd: folder })
  expect((await readdir(join(folder, 'short'))).sort()).toEqual(names.sort())
  expect((await call(bin, ['check', join('out', 'sheet-1.hpgl')], { cwd: folder })).stdout).toContain('HP-GL')
})
