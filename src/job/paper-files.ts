import type { JobObject as SheetObject } from '../file/pdf/job-sheet.ts'
import { paperSizes } from '../file/pdf/tiles.ts'
import type { Unit } from '../measure/length.ts'
import type { Warning } from '../measure/warning.ts'
import type { MarkOut } from '../panel/mark-out-words.ts'
import type { Panel } from '../panel/panel.ts'
import type { Say } from '../panel/template.ts'
import { markOutPicture } from '../picture/mark-out-picture.ts'
import { panelPicture } from '../picture/panel-picture.ts'
import { strainPicture } from '../picture/strain-picture.ts'
import { markingList } from './marking-list.ts'
import type { OutFile } from './out-file.ts'
import type { Built, BuiltPanel } from './panels.ts'
import { leftOutPaper } from './paper-pages.ts'
import type { Plan } from './plan-job.ts'
import { valuesOf } from './read-job.ts'
import type { Job } from './schema.ts'
import { sheetPages } from './sheet-pages.ts'
import { applySteps } from './steps.ts'

/** Room for a panel on the job sheet, mm, before it is scaled to fit. */
const room = { width: 130, height: 45 }

/** The panels of a job as the paper template shows them. */
const paperPanels = ({ objects, say }: Plan) =>
  objects.flatMap(({ panels }) =>
    panels.map(({ panel }) => ({ name: panel.name, picture: panelPicture(panel, say, 1, false) })),
  )

const paperOf = (job: Job) => paperSizes[job.paper ?? usualPaper(job)]

/** Why a job gets no paper template; nothing where it gets one. */
export function withoutPaper(plan: Plan): Warning | undefined {
  const pictures = paperPanels(plan).map(({ picture }) => picture)
  const text = leftOutPaper(pictures, paperOf(plan.job), plan.job.paperPages)
  return text === undefined ? undefined : { text, field: 'paperPages' }
}

/** The paper template, where it is wanted, and the job sheet. */
export async function paperFiles(
  plan: Plan,
  summary: readonly string[],
  warnings: readonly Warning[],
  withPaper: boolean,
): Promise<OutFile[]> {
  const { job, machine, objects, material, say } = plan
  // The PDF library is half of the start-up time; only this needs it.
  const [{ writePaper }, { writeJobSheet }] = await Promise.all([
    import('../file/pdf/paper.ts'),
    import('../file/pdf/job-sheet.ts'),
  ])
  const paper = paperOf(job)
  const { title } = job
  const panels = objects.flatMap((built) => built.panels)
  const hasSlit = panels.some(({ panel }) => panel.slits.length > 0)
  const steps = applySteps(hasSlit, job.film.liner)
  return [
    ...(withPaper ? [{ name: 'paper.pdf', bytes: await writePaper({ title, paper, panels: paperPanels(plan) }) }] : []),
    {
      name: 'job-sheet.pdf',
      bytes: await writeJobSheet({
        title,
        paper,
        warnings: warnings.map(({ text }) => text),
        summary,
        objects: [
          ...objects.map((o) => objectPage(o, job.unit, machine.byHand === true, say)),
          ...sheetPages(material, say),
        ],
        steps,
      }),
    },
  ]
}

/** Where people measure in inches, printers hold Letter. */
const usualPaper = ({ unit }: Job) => (unit === 'in' || unit === 'ft' ? 'Letter' : 'A4')

/** What the job sheet says of one object: its pictures, the marks on it, and each panel's own figures. */
function objectPage({ object, template, panels }: Built, unit: Unit, byHand: boolean, say: Say): SheetObject {
  const several = panels.length > 1
  const listed = panels.map(({ panel }) => ({ panel, list: markingList(panel, unit) }))
  const called = (panel: Panel, words: string) => (several ? `${panel.name}: ${words.toLowerCase()}` : words)
  return {
    name: object.copies > 1 ? `${object.name}, ${object.copies} pieces` : object.name,
    pictures: [
      { caption: 'The object and its marks', picture: template.sketch(valuesOf(object), say, panels[0]?.panel.hinge) },
      ...listed.flatMap(({ panel, list }) => [
        ...panelPictures(panel, several, say),
        ...(byHand ? [markedPicture(panel, list, several)] : []),
      ]),
    ],
    sections: [
      ...(several ? [orderSection(panels, object.copies)] : []),
      ...listed.flatMap(({ panel, list: { lines, table } }) => {
        return [
          { heading: called(panel, 'Marks to make on the object'), lines: panel.marks.map((mark) => mark.text) },
          { heading: called(panel, 'Ticks'), lines: [`Made as ${panel.tickReason}.`, ...panel.notes] },
          { heading: called(panel, 'Marking out by hand'), lines, ...(table ? { table } : {}) },
        ]
      }),
    ],
  }
}

function panelPictures(panel: Panel, several: boolean, say: Say) {
  const full = panelPicture(panel, say, 1, false)
  const scale = Math.min(1, room.width / full.width, room.height / full.height)
  const name = several ? panel.name : 'The panel'
  const strain = panel.strain
  return [
    { caption: `${name}, film side up`, picture: panelPicture(panel, say, scale, true) },
    ...(strain ? [{ caption: `${name}: how much the film must give`, picture: strainPicture(panel, strain) }] : []),
  ]
}

/** Where the points of the marking-out list are, for somebody who has no other way to cut. */
function markedPicture(panel: Panel, list: MarkOut, several: boolean) {
  const name = several ? panel.name : 'The panel'
  return { caption: `${name}, its points for marking out`, picture: markOutPicture(panel, list, room) }
}

/** Which panel goes on when: as the shape lists them. */
function orderSection(panels: readonly BuiltPanel[], objects: number) {
  return {
    heading: 'Order of application',
    lines: panels.map(({ panel, copies }) => {
      const each = copies / objects
      return each > 1 ? `${panel.name}, ${each} of them.` : `${panel.name}.`
    }),
  }
}
