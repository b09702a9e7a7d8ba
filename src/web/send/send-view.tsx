import { useEffect, useRef, useState } from 'preact/hooks'
import type { OutFile } from '../../job/out-file.ts'
import type { FileToSend } from '../../job/preview-data.ts'
import { messageOf } from '../../link/link.ts'
import { askCheck } from '../ask.ts'
import { files, hasServer, laidOut, lastLink } from '../state.ts'
import { orderOf, type Sending } from './order.ts'
import { lastRunHere, type Run, type RunNews, runHere } from './run.ts'
import { hasSerial, openSerial } from './serial-link.ts'
import { linksThere, runThere, runUnderWay } from './server-run.ts'
import { SheetNow } from './sheet-now.tsx'
import { Standing } from './standing.tsx'

interface SendProps {
  readonly file: OutFile
  readonly onClose: () => void
  /** goes on to another file */
  readonly onSend: (name: string) => void
}

/** A cut file on its way to the machine: the check, a plain question, and the run with the piece under the blade. */
export function SendView({ file, onClose, onSend }: SendProps) {
  const [sending, setSending] = useState<Sending>()
  const [looked, setLooked] = useState<Awaited<ReturnType<typeof askCheck>>>()
  useEffect(() => {
    let isWanted = true
    const loads = import('../../job/send-run.ts')
    const checks = askCheck(file.name, file.bytes, reportNow())
    Promise.all([loads, checks]).then(
      ([loaded, check]) => {
        if (!isWanted) return
        setSending(loaded)
        setLooked(check)
      },
      (error) => {
        if (isWanted)
          setLooked({ problems: [`The file cannot be looked at: ${messageOf(error)}. Load the page anew.`] })
      },
    )
    return () => {
      isWanted = false
    }
  }, [file])
  return (
    <section class="send" aria-label={`Send ${file.name}`}>
      <div class="row">
        <h3>Send {file.name}</h3>
        <button type="button" class="quiet" onClick={onClose}>
          Back to the files
        </button>
      </div>
      {!looked && <p class="waiting">The file is being read.</p>}
      {looked && 'problems' in looked && <Refusals lines={looked.problems} />}
      {sending && looked && !('problems' in looked) && (
        <Sendable file={file} check={looked} sending={sending} onSend={onSend} />
      )}
    </section>
  )
}

/** The report that was made with the files. */
function reportNow(): string {
  const own = files.peek()?.files.find(({ name }) => name === 'report.json')
  return new TextDecoder().decode(own?.bytes)
}

function Refusals({ lines }: { readonly lines: readonly string[] }) {
  return (
    <div role="alert">
      {lines.map((line) => (
        <p key={line} class="refusal">
          {line}
        </p>
      ))}
    </div>
  )
}

interface SendableProps extends Pick<SendProps, 'file' | 'onSend'> {
  readonly check: FileToSend
  readonly sending: Sending
}

/** How a line that this browser opens itself is written; which line it is, the person is asked when it is opened. */
const ownLine = 'serial:browser?baud=9600&handshake=xon-xoff'
const isOwn = (to: string) => to.startsWith('serial:browser')

function Sendable({ file, check, sending, onSend }: SendableProps) {
  const [to, setTo] = useState(() => lastLink.peek() ?? check.plan.machine?.link ?? (hasServer.value ? '' : ownLine))
  const [links, setLinks] = useState<readonly string[]>([])
  /** the place to begin with; none for the beginning */
  const [from, setFrom] = useState<string>()
  const [refused, setRefused] = useState<readonly string[]>([])
  const [news, setNews] = useState<RunNews>()
  const [asks, setAsks] = useState(false)
  const isAsked = useRef(false)
  const run = useRef<Run>(undefined)
  /** Was the run begun before this was opened? Then it may be of another file. */
  const isJoined = useRef(false)
  const ownRun = useRef<Run>(undefined)
  const { plan, ways, lines, question, onward } = check
  const runs = news !== undefined && !news.ended
  const side = file.name.includes('.liner-up.') ? 'liner' : 'film'
  const sheet = laidOut.value?.sheets?.find(({ number }) => file.name.startsWith(`sheet-${number}.`))
  const isThis = news !== undefined && isOf(news, file.name, plan)
  // tracing the outline changes nothing of what is cut
  const [cutting, setCutting] = useState<RunNews>()
  const ended = cutting?.ended
  const next = ended?.how === 'done' ? check.next : undefined
  const show = (now: RunNews) => {
    setNews(now)
    if (!isOf(now, file.name, plan)) return
    setCutting(now)
    // going on where it stopped is the first choice; what is through begins at the beginning again
    if (now.ended) setFrom(now.ended.goOn)
  }
  useEffect(() => {
    if (hasServer.value) void linksThere().then(setLinks)
    const past = lastRunHere()
    if (past && past.ended?.how !== 'done' && isOf(past, file.name, plan)) show(past)
    // what this page sends itself cannot go on without it
    return () => ownRun.current?.tell('stop')
  }, [])
  useEffect(() => {
    if (!hasServer.value) return
    const { run: found, leave } = runUnderWay(
      (now) => {
        // a run that was asked for here tells its own news
        if (run.current && !isJoined.current) return
        isJoined.current = true
        run.current = found
        show(now)
      },
      (past) => {
        if (!run.current && past.ended?.how !== 'done' && isOf(past, file.name, plan)) show(past)
      },
    )
    return leave
  }, [])
  const isHere = runs && isOwn(to)
  useEffect(() => {
    if (!isHere) return
    // closing the page would stop what it sends itself
    const ask = (event: BeforeUnloadEvent) => event.preventDefault()
    addEventListener('beforeunload', ask)
    return () => removeEventListener('beforeunload', ask)
  }, [isHere])
  /** Asked once until it is settled, however often the button is pressed. */
  const begin = async (isFrame: boolean) => {
    if (isAsked.current || runs) return
    isAsked.current = true
    isJoined.current = false
    setAsks(true)
    await ask(isFrame)
    isAsked.current = false
    setAsks(false)
  }
  const ask = async (isFrame: boolean) => {
    if (to.trim() === '') {
      setRefused([
        'There is no link to the machine yet. Pick one from the list, or write it like tcp:192.168.1.20:9100.',
      ])
      document.getElementById('send-to')?.focus()
      return
    }
    const order = orderOf(file.name, sending, check, to, from, isFrame)
    if ('problems' in order) {
      setRefused(order.problems)
      return
    }
    setRefused([])
    lastLink.value = to
    try {
      if (isOwn(to)) {
        const link = await openSerial(order.address)
        if (link) run.current = ownRun.current = await runHere(link, order, cutting, show)
        return
      }
      const { name, bytes } = file
      const there = { name, bytes, report: reportNow(), side, to, frame: isFrame } as const
      run.current = await runThere({ ...there, from: isFrame ? undefined : from }, show)
    } catch (error) {
      setRefused([`Nothing was sent: ${messageOf(error)}`])
    }
  }
  const states = sending.lineStates(plan, cutting?.reaches ?? [])
  return (
    <>
      <ul class="check">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      {sheet && <SheetNow sheet={sheet} side={side} ways={ways} states={states} isOver={!runs || !isThis} />}
      {news && !isThis && <p>This is about {news.file}:</p>}
      {news && <Standing news={news} sending={sending} isBegun={!isJoined.current} run={run} />}
      {!runs && next && (
        <div class="next">
          <p class="doubt">{next.words}</p>
          <button type="button" class="main" onClick={() => onSend(next.file)}>
            On to {next.file}
          </button>
        </div>
      )}
      {!runs && (
        <form
          onSubmit={(event) => {
            event.preventDefault()
            void begin(false)
          }}
        >
          <div class="grid sending">
            <div class="field">
              <div class="label">
                <label for="send-to">link to the machine</label>
              </div>
              <input
                id="send-to"
                class="wide"
                value={to}
                autocomplete="off"
                spellcheck={false}
                list="send-links"
                onInput={(event) => setTo(event.currentTarget.value)}
              />
              <datalist id="send-links">
                {[...links, ...(hasSerial() ? [ownLine] : [])].map((link) => (
                  <option key={link} value={link} />
                ))}
              </datalist>
              <p class="help">
                such as tcp:192.168.1.20:9100, queue:NAME, device:/dev/usb/lp0 or serial:/dev/ttyUSB0?baud=9600, with
                bits, parity and handshake as the machine is set
                {hasSerial() ? '; serial:browser is a line that this browser opens itself' : ''}
              </p>
            </div>
            <div class="field">
              <div class="label">
                <label for="send-from">begin with</label>
              </div>
              <select
                id="send-from"
                value={from ?? ''}
                onChange={(event) => setFrom(event.currentTarget.value || undefined)}
              >
                {ended?.goOn !== undefined && <option value={ended.goOn}>where it stopped: {ended.goOn}</option>}
                {ended?.lineAnew !== undefined && (
                  <option value={ended.lineAnew}>the line that it stopped in: {ended.lineAnew}</option>
                )}
                <option value="">the beginning</option>
                {placesOf(sending, check, [ended?.goOn, ended?.lineAnew]).map((place) => (
                  <option key={place} value={place}>
                    {place}
                  </option>
                ))}
              </select>
              {from !== undefined && <p class="help">It begins with {from}. What comes before it is taken as cut.</p>}
            </div>
          </div>
          {beginningWords(sending, check, from).map((line) => (
            <p key={line} class="doubt">
              {line}
            </p>
          ))}
          <Refusals lines={refused} />
          {hasSerial() || hasServer.value ? (
            <>
              <p class="doubt">
                {from === undefined ? question : onward} Keep your hands away while it runs. Stop lifts the tool as soon
                as the machine hears of it; the switch on the machine is quicker.
              </p>
              <div class="row">
                <button type="submit" class={next ? '' : 'main'} aria-disabled={asks}>
                  Yes, send it
                </button>
                <button type="button" aria-disabled={asks} onClick={() => void begin(true)}>
                  Trace the outline first, tool up
                </button>
              </div>
              <p role="status">{asks ? 'Asking the machine.' : ''}</p>
            </>
          ) : (
            <p class="doubt">
              This browser opens no serial lines, and no midtick open stands behind this page. Download the file, and
              send it with midtick send {file.name} --to LINK.
            </p>
          )}
        </form>
      )}
    </>
  )
}

/** Is a run of this file, as it is now? Two sheets may be alike in all but the name, and one may have been made anew. */
const isOf = ({ file, progress }: RunNews, name: string, { bytes, travel }: FileToSend['plan']) =>
  file === name && progress.ofSent === bytes.length && progress.ofDown === travel.down

/** What is to be known of a run that does not begin at the start. */
function beginningWords(
  { beginningLines, courseFrom, readMark }: Sending,
  { plan }: FileToSend,
  from: string | undefined,
) {
  if (from === undefined) return []
  const mark = readMark(from, plan)
  if ('code' in mark) return []
  try {
    return beginningLines(plan, courseFrom(plan, mark))
  } catch {
    // a place that cannot be begun at is refused when the run is asked for
    return []
  }
}

/** Where a run can begin beside the file's start: at what each tool does of each piece, but for places that are offered already. */
function placesOf(
  { formatMark }: Sending,
  { plan }: FileToSend,
  taken: readonly (string | undefined)[],
): readonly string[] {
  return plan.parts
    .slice(1)
    .map(({ lines: [first = 0] }) => first)
    .filter((line) => plan.lines[line]?.begins)
    .map((line) => formatMark(plan, { line, point: 1 }))
    .filter((place) => !taken.includes(place))
}
