import { useEffect, useRef, useState } from 'preact/hooks'
import type { OutFile } from '../../job/out-file.ts'
import type { SendCheck } from '../../job/send-run.ts'
import { messageOf } from '../../link/link.ts'
import { askCheck } from '../ask.ts'
import { files, hasServer, laidOut } from '../state.ts'
import { orderOf, type Sending } from './order.ts'
import { type Run, type RunNews, runHere } from './run.ts'
import { hasSerial, openSerial } from './serial-link.ts'
import { linksThere, runThere, runUnderWay } from './server-run.ts'
import { SheetNow } from './sheet-now.tsx'
import { Standing } from './standing.tsx'

interface SendProps {
  readonly file: OutFile
  readonly onClose: () => void
}

/** A cut file on its way to the machine: the check, a plain question, and the run with the piece under the blade. */
export function SendView({ file, onClose }: SendProps) {
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
      {sending && looked && !('problems' in looked) && <Sendable file={file} check={looked} sending={sending} />}
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

interface SendableProps {
  readonly file: OutFile
  readonly check: SendCheck
  readonly sending: Sending
}

/** How a line that this browser opens itself is written; which line it is, the person is asked when it is opened. */
const ownLine = 'serial:browser?baud=9600&handshake=xon-xoff'
const isOwn = (to: string) => to.startsWith('serial:browser')

function Sendable({ file, check, sending }: SendableProps) {
  const [to, setTo] = useState(() => check.plan.machine?.link ?? (hasServer.value ? '' : ownLine))
  const [links, setLinks] = useState<readonly string[]>([])
  const [from, setFrom] = useState('1')
  const [refused, setRefused] = useState<readonly string[]>([])
  const [news, setNews] = useState<RunNews>()
  const [asks, setAsks] = useState(false)
  const isAsked = useRef(false)
  const run = useRef<Run>(undefined)
  /** Was the run begun before this was opened? Then it may be of another file. */
  const isJoined = useRef(false)
  const ownRun = useRef<Run>(undefined)
  const { plan, lines, question } = check
  const runs = news !== undefined && !news.ended
  const side = file.name.includes('.liner-up.') ? 'liner' : 'film'
  const sheet = laidOut.value?.sheets?.find(({ number }) => file.name.startsWith(`sheet-${number}.`))
  const isThis = news && (!isJoined.current || isOf(news.progress, plan))
  const now = runs && isThis ? plan.pieces[news.progress.piece - 1] : undefined
  const done = isThis ? plan.pieces.slice(0, news.progress.piece - 1) : []
  useEffect(() => {
    if (hasServer.value) void linksThere().then(setLinks)
    // what this page sends itself cannot go on without it
    return () => ownRun.current?.tell('stop')
  }, [])
  useEffect(() => {
    if (!hasServer.value) return
    const { run: found, leave } = runUnderWay((now) => {
      // a run that was asked for here tells its own news
      if (run.current && !isJoined.current) return
      isJoined.current = true
      run.current = found
      setNews(now)
    })
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
    const order = orderOf(sending, check, to, from, isFrame)
    if ('problems' in order) {
      setRefused(order.problems)
      return
    }
    setRefused([])
    try {
      if (isOwn(to)) {
        const link = await openSerial(order.address)
        if (link) run.current = ownRun.current = await runHere(link, order, setNews)
        return
      }
      const { name, bytes } = file
      const from1 = isFrame ? '1' : from
      run.current = await runThere({ name, bytes, report: reportNow(), side, to, from: from1, frame: isFrame }, setNews)
    } catch (error) {
      setRefused([`Nothing was sent: ${messageOf(error)}`])
    }
  }
  const marks = [...new Set([...plan.pieces.map(({ number }) => String(number)), from])]
  return (
    <>
      <ul class="check">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      {sheet && <SheetNow sheet={sheet} side={side} done={done} now={now} />}
      {news && (
        <Standing news={news} {...(isThis ? { plan } : {})} sending={sending} isBegun={!isJoined.current} run={run} />
      )}
      {isThis && news.ended?.goOn !== undefined && news.ended.goOn !== from && (
        <button type="button" onClick={() => setFrom(news.ended?.goOn ?? '1')}>
          Begin the next run at {news.ended.goOn}
        </button>
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
              <select id="send-from" value={from} onChange={(event) => setFrom(event.currentTarget.value)}>
                {marks.map((mark) => (
                  <option key={mark} value={mark}>
                    {markWords(sending, check, mark)}
                  </option>
                ))}
              </select>
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
                {question} Keep your hands away while it runs. Stop lifts the tool as soon as the machine hears of it;
                the switch on the machine is quicker.
              </p>
              <div class="row">
                <button type="submit" class="main" aria-disabled={asks}>
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

/** Is a run that was begun before of this file, as far as its pieces tell? */
const isOf = ({ piece, pieces, name }: RunNews['progress'], plan: SendCheck['plan']) =>
  pieces === plan.pieces.length && plan.pieces[piece - 1]?.name === name

/** What is to be known of a run that does not begin at the start. */
function beginningWords({ beginningLines, courseFrom, readMark }: Sending, { plan }: SendCheck, from: string) {
  const mark = readMark(from, plan)
  if (from === '1' || 'code' in mark) return []
  try {
    return beginningLines(plan, courseFrom(plan, mark))
  } catch {
    // a place that cannot be begun at is refused when the run is asked for
    return []
  }
}

/** A place to begin with, in words. */
function markWords({ pieceWords }: Sending, { plan }: SendCheck, mark: string): string {
  const [piece = '1', line, point] = mark.split('.')
  const own = plan.pieces[Number(piece) - 1]
  const words = own ? pieceWords(own, plan.pieces.length) : mark
  return line === undefined ? words : `${words}, line ${line}${point === undefined ? '' : `, point ${point}`}`
}
