import { flatten } from '../geometry/flatten.ts'
import { endOf, openPath, type Path, pieces, type Segment } from '../geometry/path.ts'
import { type Rings, ringsOf, thickened, union, withRoom } from '../geometry/polygon.ts'
import { cutLine } from '../panel/cut-line.ts'
import type { Panel } from '../panel/panel.ts'

/** Chords that stand for curves in the layout, mm; the room round curves is greater by as much. */
const rough = 0.05
/** The least room between a slit and the film of another piece, mm. */
const slitRoom = 1
/** Half the thickness of a slit's line, where the room round the film is more than the slit asks for, mm. */
const thread = 0.001

/**
 * What a panel takes up in its own frame: its film with its waste ticks and `room` mm all round, and where `slits` says
 * so the ends of its slits, such that they keep 1 mm from what has that room too. Never less than the true curve.
 */
export function pieceRings(panel: Panel, room: number, slits: boolean): Rings {
  const outline = cutLine(panel)
  const film = [flatten(outline, rough), ...panel.holes.map((hole) => flatten(hole, rough).reverse())]
  const curved = [outline, ...panel.holes].flatMap(bends)
  const ticks = panel.ticks.filter(({ make }) => make === 'waste').map(({ path }) => [path.start, endOf(path)])
  const ends = slits ? panel.slits.map(({ from, to }) => [from, to]) : []
  const parts = [
    // past the ends of a bend the room is that of its corners, which `grown` has
    thickened(ringsOf(curved, rough), room + rough, 'flush'),
    thickened(ticks, Math.max(room, thread)),
    thickened(ends, Math.max(slitRoom - room, thread)),
  ].flat()
  const grown = room > 0 ? withRoom(film, room) : film
  return union(grown, parts)
}

/** The runs of a path that are no straight lines, one after the other. */
function bends(path: Path): Path[] {
  const found: Path[] = []
  let run: { from: Path['start']; segments: Segment[] } | undefined
  for (const { from, segment } of pieces(path)) {
    if (segment.kind === 'line') run = undefined
    else if (run) run.segments.push(segment)
    else {
      run = { from, segments: [segment] }
      found.push({ start: from, segments: run.segments, closed: false })
    }
  }
  return found.map(({ start, segments }) => openPath(start, ...segments))
}
