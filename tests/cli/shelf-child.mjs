// Changes a shelf file, and kills itself at one of its own calls of the file system: before it, after it or halfway.
import promises from 'node:fs/promises'
import { syncBuiltinESMExports } from 'node:module'

const [, , library, file, name, times, at, how] = process.argv
let calls = 0
const die = () => process.kill(process.pid, 'SIGKILL')

const watched = (call, half) =>
  async function (...given) {
    calls += 1
    const mine = calls === Number(at)
    if (mine && how === 'before') die()
    if (mine && how === 'halfway' && half) {
      await half.apply(this, given)
      die()
    }
    const result = await call.apply(this, given)
    if (mine) die()
    return result
  }

const { open } = promises
promises.open = async (...given) => {
  const handle = await watched(open)(...given)
  const { writeFile } = handle
  handle.writeFile = watched(writeFile, function (text) {
    return writeFile.call(this, text.slice(0, text.length / 2))
  })
  for (const each of ['sync', 'close', 'chmod']) handle[each] = watched(handle[each])
  return handle
}
for (const each of ['link', 'readFile', 'readdir', 'rename', 'rm', 'stat']) promises[each] = watched(promises[each])
syncBuiltinESMExports()

const { changeShelfFile } = await import(library)
for (let i = 1; i <= Number(times); i++) {
  await changeShelfFile(file, async (text) => `${text}${name} ${i}\n`, 60_000)
}
process.stdout.write(`${calls}`)
