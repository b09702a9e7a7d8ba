import type { Svg } from '@svgdotjs/svg.js'
import { useMemo, useRef, useState } from 'preact/hooks'
import type { PiecePreview, SheetPreview } from '../../job/preview-data.ts'
import { askLayout, askSpot, breakOffWhole } from '../ask.ts'
import { AtWork, TakesLong } from '../at-work.tsx'
import { removeIn, setIn } from '../job-text.ts'
import { LineKey } from '../line-key.tsx'
import { Player } from '../player.tsx'
import { ProblemLinks } from '../problem-links.tsx'
import { edit, goTo, job, laidOut, objects, say, text } from '../state.ts'
import { Viewer } from '../viewer.tsx'
import { fitWords } from './fit-words.ts'
import { PieceBar } from './piece-bar.tsx'
import { layPieces } from './piece-layer.ts'
import { pinned, type Spot, unpinned } from './pins.ts'
import { SearchView } from './search-view.tsx'
import { SheetPick } from './sheet-pick.tsx'
import { CountsTooLittle, TooBig } from './too-big.tsx'

/** Where the pieces lie, sheet by sheet; they can be moved by hand, and the others then find room beside them. */
export function Sheets() {
  // a sheet is told by its film: its number changes with the layout
  const [shown, show] = useState<string>()
  const [plays, play] = useState(false)
  const [searches, setSearches] = useState(false)
  const problems = job.value?.problems ?? []
  const own = laidOut.value
  const sheets = own?.sheets ?? []
  const sheet = sheets.find((each) => filmOf(each) === shown) ?? sheets[0]
  if (searches) {
    return (
      <div>
        <SearchView onEnd={() => setSearches(false)} />
      </div>
    )
  }
  return (
    <div>
      {problems.length > 0 && (
        <div class="refusals">
          <p>
            {sheet
              ? 'This cannot be laid out; below is the layout before it.'
              : 'The film is laid out when this is settled:'}
          </p>
          <ProblemLinks problems={problems} />
          <TooBig problems={problems} />
          <CountsTooLittle problems={problems} />
        </div>
      )}
      <AtWork
        what="film"
        words={sheet ? 'The film is being laid out anew.' : 'The film is being laid out.'}
        beside={sheet !== undefined}
      />
      {own && (sheet || problems.length === 0) && (
        <div class="material">
          {own.material?.map((line) => (
            <p key={line}>{line}</p>
          ))}
          {problems.length === 0 && (
            <div class="row">
              <button type="button" class="main" onClick={() => goTo('files')}>
                On to the files
              </button>
              {sheet && (
                <button type="button" onClick={() => setSearches(true)}>
                  Look for less film
                </button>
              )}
            </div>
          )}
        </div>
      )}
      {sheet && (
        <>
          <SheetPick sheets={sheets} shown={sheet} onShow={(each) => show(filmOf(each))} label="Sheets" />
          {plays ? (
            <Player key={filmOf(sheet)} sheet={sheet} onClose={() => play(false)} />
          ) : (
            <SheetView key={filmOf(sheet)} sheet={sheet} onPlay={() => play(true)} />
          )}
          <LineKey styles={sheet.picture.lines.map(({ style }) => style)} />
        </>
      )}
    </div>
  )
}

const filmOf = ({ stock, ofStock }: SheetPreview) => `${stock} ${ofStock}`

function SheetView({ sheet, onPlay }: { readonly sheet: SheetPreview; readonly onPlay: () => void }) {
  const [picked, pick] = useState<string>()
  const { pieces } = sheet
  const index = pieces.findIndex(({ name }) => name === picked)
  const pickIndex = (i: number | undefined) => pick(i === undefined ? undefined : pieces[i]?.name)
  const tries = useRef(0)
  /** the piece that is being tried elsewhere; on a big job that takes a while */
  const [tried, setTried] = useState<string>()
  const pin = async (i: number, spot: Spot | undefined) => {
    const piece = pieces[i]
    if (!piece) return
    const pins = objects.value[piece.object]?.values.pinned
    const own = ++tries.current
    const before = text.value
    pick(piece.name)
    setTried(spot && piece.name)
    const near = spot && (await askSpot(before, wantedOf(piece, sheet, spot)).catch(() => spot))
    const next = near ? pinned(pins, piece, sheet, near) : unpinned(pins, piece)
    const at = ['objects', piece.object, 'pinned']
    const made = next ? setIn(before, at, next) : removeIn(before, at)
    const refusal = spot && (await whyNot(made, before))
    if (own !== tries.current) return
    setTried(undefined)
    if (refusal !== undefined) {
      say(`${piece.name} stays where it was. ${refusal}`)
      return
    }
    edit(made)
    say(spot ? `${piece.name} is kept in place; the others make room.` : `${piece.name} finds its own place again.`)
  }
  const giveUp = () => {
    tries.current++
    breakOffWhole()
    setTried(undefined)
    say(`${tried} stays where it was.`)
  }
  const over = useMemo(
    () => (drawing: Svg) => {
      layPieces(drawing, pieces, index < 0 ? undefined : index, {
        onPick: pickIndex,
        onMove: (i, right, up) => {
          const piece = pieces[i]
          if (piece) void pin(i, { ...piece, x: piece.x + right, y: piece.y + up })
        },
      })
      fitWords(drawing, sheet.picture, pieces)
    },
    [pieces, index],
  )
  return (
    <>
      <Viewer
        picture={sheet.picture}
        scale={1}
        label={`Sheet ${sheet.number}, ${sheet.length} long and ${sheet.width} wide, ${pieces.length} ${pieces.length === 1 ? 'piece' : 'pieces'}`}
        over={over}
      >
        <button type="button" onClick={onPlay}>
          Play the blade's way
        </button>
      </Viewer>
      {tried !== undefined && (
        <TakesLong words={`It is tried whether ${tried} has room there.`} onStop={giveUp} beside />
      )}
      <PieceBar
        pieces={pieces}
        picked={index < 0 ? undefined : index}
        onPick={pickIndex}
        onPin={(i, spot) => void pin(i, spot)}
      />
    </>
  )
}

const wantedOf = ({ panel, copy }: PiecePreview, { stock, ofStock }: SheetPreview, { x, y, angle }: Spot) => ({
  panel,
  copy,
  stock,
  sheet: ofStock,
  x,
  y,
  angle,
})

/** Why a job with a piece put elsewhere cannot be laid out where it can be now; a job is never left with more in its way. */
async function whyNot(made: string, before: string): Promise<string | undefined> {
  const got = await askLayout(made).catch(() => undefined)
  if (text.peek() !== before) return 'The job was changed meanwhile: move it again.'
  if (!got) return 'It was not tried to its end: move it again.'
  const known = job.peek()?.problems ?? []
  const more = got.problems.find((problem) => !known.some((old) => old.text === problem.text))
  return got.problems.length > known.length ? more?.text : undefined
}
