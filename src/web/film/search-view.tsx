import { useEffect, useState } from 'preact/hooks'
import { areaWords } from '../../job/area-words.ts'
import { compareLayouts } from '../../job/better-layout.ts'
import { removeIn, setIn } from '../job-text.ts'
import { edit, laidOut, raw, say, text, unit } from '../state.ts'
import { valueAt } from '../values.ts'
import { Viewer } from '../viewer.tsx'
import { judged, type Standing, startSearch } from './search.ts'
import { SheetPick } from './sheet-pick.tsx'

const percent = (share: number) => `${(100 * Math.max(0, share)).toFixed(1)} %`

/** A search for a layout that takes less film, as it gets better; the person stops it and keeps what was found, or not. */
export function SearchView({ onEnd }: { readonly onEnd: () => void }) {
  const [standing, setStanding] = useState<Standing>()
  const [number, setNumber] = useState(1)
  useEffect(() => {
    let isOver = false
    let stop: (() => void) | undefined
    const first = Number(valueAt(raw.peek(), ['layout', 'seed']) ?? 1)
    void startSearch(text.peek(), Number.isInteger(first) ? first : 1, (now) => !isOver && setStanding(now)).then(
      (end) => {
        stop = end
        if (isOver || !end) end?.()
        if (!end) onEnd()
      },
    )
    return () => {
      isOver = true
      stop?.()
    }
  }, [])
  const best = standing?.best
  const has = laidOut.value?.laid
  const isBetter = best !== undefined && (!has || compareLayouts(judged(best), { isWhole: true, ...has }) < 0)
  const keep = () => {
    onEnd()
    if (!best || !isBetter) return
    const now = removeIn(text.value, ['layout', 'places'])
    edit(setIn(setIn(now, ['layout', 'seed'], best.seed), ['layout', 'effort'], best.round))
    say('The layout is kept: its seed and effort stand in the job.')
  }
  const sheets = best?.found.sheets ?? []
  const sheet = sheets[Math.min(number, sheets.length) - 1]
  return (
    <section class="search" aria-label="Search for less film">
      <p class="lead" role="status">
        {standing?.end === 'nothing less' && 'The search has ended: there can be no layout with less new film. '}
        {standing?.end === 'nothing more to try' && 'The search has ended: it has tried all that it tries. '}
        {best ? wordsOf(best, standing) : standing?.end ? 'It found no layout.' : 'The search begins.'}
      </p>
      {best && !isBetter && has && (
        <p class="soft">
          The layout that the job has is as good or better: {paidWords(has.paid)}, {has.sheets}{' '}
          {has.sheets === 1 ? 'sheet' : 'sheets'}. It stays.
        </p>
      )}
      <div class="row">
        <button type="button" class="main" onClick={keep} disabled={!isBetter}>
          {standing?.end ? 'Keep it' : 'Stop and keep'}
        </button>
        <button type="button" onClick={onEnd}>
          Leave it as it was
        </button>
        <span class="soft">round {standing?.round ?? 0}</span>
      </div>
      <SheetPick sheets={sheets} shown={sheet} onShow={(each) => setNumber(each.number)} label="Sheets found" />
      {sheet && <Viewer picture={sheet.picture} scale={1} label={`Sheet ${sheet.number} of the best layout so far`} />}
    </section>
  )
}

const paidWords = (paid: number) => (paid > 0 ? `${areaWords(paid, unit.value)} of new film` : 'no new film')

function wordsOf({ paid, found }: NonNullable<Standing['best']>, standing: Standing | undefined): string {
  const waste = `${percent(found.waste)} of the film taken is waste`
  if (paid <= 0) return `No new film is needed; ${waste}.`
  const least = standing?.atLeast ?? 0
  const bound = least > 0 ? `, at most ${percent(paid / least - 1)} over the best there can be` : ''
  return `${areaWords(paid, unit.value)} of new film${bound}; ${waste}.`
}
