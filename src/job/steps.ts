import type { Job } from './schema.ts'

type Liner = Job['film']['liner']

/** How to prepare, apply and finish, with the usual cautions. Makers' data sheets and local rules come first. */
export function applySteps(hasSlit: boolean, liner: Liner): { heading: string; lines: string[] }[] {
  return [
    {
      heading: 'Prepare',
      lines: [
        'Clean and dry the object. Isopropyl alcohol burns below room temperature: no flame, no hot gun until it is dry, air the room, wear gloves, try it on a hidden spot first. Never mix cleaners.',
        'Make the marks listed under each object with a pencil or on masking tape.',
        'Hold the paper template against the object before you cut film.',
      ],
    },
    {
      heading: 'Apply',
      lines: [
        ...(hasSlit ? slitLines(liner) : [noSlit[liner.material]]),
        'Lay the panel on, ticks on the marks, and hang it with tape along the hinge.',
        'Lift one half, take its liner off to the hinge, and press down from the hinge outward. Then the other half.',
        'Full wraps: the edge marked overlap goes on last, over the other edge.',
      ],
    },
    {
      heading: 'Finish',
      lines: [
        'Trim with a fresh blade in light passes, away from the body, the free hand behind the blade. Spent blades go into a rigid container.',
        'Heat: a hair dryer is enough for most bends. Keep moving; never near solvent vapour, spray cans, batteries, old paint or chipped glass. Stop if the film smokes.',
        'Keep film and ink off the inside of vessels, off cutting boards and off the rim where lips touch. Not for dishwasher, microwave or oven unless the maker says so.',
        'Do not cover lamps, reflectors, number plates, sensors, glass needed for seeing, vents, serial plates, safety labels or emergency releases, nor anything that runs hot; a lamp shade only where its maker allows film.',
        "Makers' data sheets, local codes and licensed practice come before this sheet.",
      ],
    },
  ]
}

/** How deep the slitter goes, and what the liner does then: common practice, no source. */
function slitLines({ material, thickness }: Liner): string[] {
  const deep = `${Number(thickness.toFixed(3))} mm`
  return [
    'Split the liner along the slit line from the liner side: through the liner only, never film up.',
    `Set the slitter no deeper than the ${deep} ${material} liner; try on an offcut of the same film. ${slitHabit[material]} The maker's data sheet for the film comes first.`,
  ]
}

const slitHabit: Readonly<Record<Liner['material'], string>> = {
  paper: 'A scratch part of the way is often enough: bent back over it, paper parts along the line.',
  plastic: 'A plastic liner does not tear along a scratch: it needs a full cut of the liner, from end to end.',
}

const noSlit: Readonly<Record<Liner['material'], string>> = {
  paper: 'No slit is asked for: fold the liner back at the hinge by hand.',
  plastic:
    'No slit is asked for: fold the liner back at the hinge by hand. A plastic liner does not tear along the fold; cut it there with scissors, clear of the film.',
}
