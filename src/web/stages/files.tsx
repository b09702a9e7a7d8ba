import type { OutFile } from '../../job/out-file.ts'
import { AtWork } from '../at-work.tsx'
import { Doubts } from '../fields/frame.tsx'
import { download, saveJob, view } from '../files.ts'
import { BookingView } from '../film/booking.tsx'
import { once } from '../once.ts'
import { ProblemLinks } from '../problem-links.tsx'
import { SendView } from '../send/send-view.tsx'
import { fileName, files, isEmpty, say, sending, text, title } from '../state.ts'

const groups: readonly { readonly title: string; readonly about: string; readonly holds: (name: string) => boolean }[] =
  [
    {
      title: 'On paper',
      about: 'Print the template and hold it against the object before you cut film.',
      holds: (name) => name.endsWith('.pdf'),
    },
    {
      title: 'For the cutter, film up',
      about: 'Each sheet in both forms: take the one your machine reads.',
      holds: (name) => /\.(hpgl|cut\.svg)$/.test(name) && !name.includes('.liner-up.'),
    },
    {
      title: 'For the cutter, liner up',
      about: 'The slits, mirrored: turn the sheet over like a page, and line up the crosses first.',
      holds: (name) => name.includes('.liner-up.'),
    },
    { title: 'To look at', about: 'Drawings at full size, and everything as data.', holds: () => true },
  ]

/** What a file is, in words. */
function whatIs(name: string): string {
  if (name === 'paper.pdf') return 'paper template, true size'
  if (name === 'job-sheet.pdf') return 'job sheet'
  if (name === 'report.json') return 'report as data'
  if (name.endsWith('.hpgl')) return `HP-GL${setting(name)}`
  if (name.endsWith('.cut.svg')) return `cut SVG${setting(name)}`
  if (name.startsWith('strain-')) return 'what the film must give'
  return 'drawing'
}

/** What one tool is set for by hand, where the files of a sheet are parted by that. */
function setting(name: string): string {
  if (name.includes('.pen.')) return ' for the pen alone, first'
  return name.includes('.through.') ? ' with the tool set to cut film and liner, last' : ''
}

/** Every file of the job, the check of what was written, and how to print. */
export function FilesStage() {
  const got = files.value
  if (isEmpty.value) return <p>There is no object yet: pick a shape first.</p>
  if (!got || got.of !== text.value) return <AtWork what="files" words="The files are being made and read back." />
  if (got.problems.length > 0) {
    return (
      <>
        <p class="lead">Nothing can be cut until this is settled:</p>
        <ProblemLinks problems={got.problems} />
      </>
    )
  }
  const file = got.files.find(({ name }) => name === sending.value)
  const send = (name: string | undefined) => {
    sending.value = name
  }
  if (file) return <SendView key={file.name} file={file} onClose={() => send(undefined)} onSend={send} />
  const rest = new Set(got.files)
  const sorted = groups.map((group) => {
    const own = [...rest].filter(({ name }) => group.holds(name))
    for (const file of own) rest.delete(file)
    return { ...group, own: group.title === 'On paper' ? own.reverse() : own }
  })
  return (
    <div class="out">
      <div>
        <Doubts doubts={got.warnings} />
        <div class="summary">
          {got.summary.map((line) => (
            <p key={line}>{line}</p>
          ))}
        </div>
        <div class="row">
          <button type="button" class="main" onClick={once(() => void allAtOnce(got.files))}>
            All {got.files.length} files in one (zip)
          </button>
          <button type="button" onClick={once(() => void saveJob())}>
            Save the job file
          </button>
        </div>
        {sorted
          .filter(({ own }) => own.length > 0)
          .map(({ title, about, own }) => (
            <section key={title} class="group">
              <h3>{title}</h3>
              <p class="help">{about}</p>
              <ul>
                {own.map((file) => (
                  <FileRow key={file.name} file={file} onSend={() => send(file.name)} />
                ))}
              </ul>
            </section>
          ))}
      </div>
      <div>
        <section class="group">
          <h3>Printing at true size</h3>
          <ol class="steps">
            <li>Open the paper template in a PDF reader, not in a picture program.</li>
            <li>
              In the print window choose <strong>100 %</strong> or <strong>actual size</strong>. “Fit”, “shrink” and
              “scale to page” make every panel too small.
            </li>
            <li>Print one page. The bar on it must measure 100 mm, and a bank card must just cover the outline.</li>
            <li>Only then print the rest, and join the pages at the crosses.</li>
          </ol>
        </section>
        {got.checks.length > 0 && (
          <section class="group">
            <h3>Read back and compared</h3>
            <p class="help">How far each cut file, read back, lies from the line asked for, at the most.</p>
            <div class="held">
              <table>
                <thead>
                  <tr>
                    <th scope="col">File</th>
                    <th scope="col">Strokes</th>
                    <th scope="col">Farthest</th>
                    <th scope="col">Where</th>
                  </tr>
                </thead>
                <tbody>
                  {got.checks.map((check) => (
                    <tr key={check.file}>
                      <td>{check.file}</td>
                      <td class="number">{check.strokes}</td>
                      <td class="number">{check.worst.toFixed(3)} mm</td>
                      <td>
                        {check.stroke && `${check.stroke}, at ${check.at.x.toFixed(1)}, ${check.at.y.toFixed(1)}`}
                      </td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </div>
          </section>
        )}
        <BookingView />
      </div>
    </div>
  )
}

function FileRow({ file, onSend }: { readonly file: OutFile; readonly onSend: () => void }) {
  const { name, bytes } = file
  const isSeen = /\.(pdf|svg)$/.test(name) && !name.endsWith('.cut.svg')
  return (
    <li class="file">
      <span class="name">
        <strong>{name}</strong>{' '}
        <span class="soft">
          {whatIs(name)}, {size(bytes.length)}
        </span>
      </span>
      <span class="row">
        {isSeen && (
          <button type="button" class="quiet" aria-label={`Open ${name}`} onClick={once(() => view(name, bytes))}>
            Open
          </button>
        )}
        {name.endsWith('.hpgl') && (
          <button type="button" class="quiet" aria-label={`Send ${name} to the machine`} onClick={onSend}>
            Send
          </button>
        )}
        <button type="button" aria-label={`Download ${name}`} onClick={once(() => download(name, bytes))}>
          Download
        </button>
      </span>
    </li>
  )
}

const size = (bytes: number) => (bytes < 1000 ? `${bytes} B` : `${Math.round(bytes / 1000)} kB`)

/** One archive with the files and the job they are made of. */
async function allAtOnce(all: readonly OutFile[]): Promise<void> {
  const { zipSync } = await import('fflate')
  const name = (fileName.value ?? (title.value || 'job')).replace(/\.ya?ml$/, '')
  const held = Object.fromEntries(all.map((file) => [file.name, file.bytes]))
  const own = new TextEncoder().encode(text.value)
  // one fixed date, so that the same job gives the same archive
  const zip = zipSync({ ...held, 'job.yaml': own }, { mtime: '1980-01-02' })
  download(`${name}.zip`, zip)
  say(`${name}.zip is on its way to your downloads.`)
}
