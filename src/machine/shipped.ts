/** A profile as it is written, with its name. */
export interface Shipped {
  readonly name: string
  readonly text: string
}

/**
 * Plain machines to begin from. The figures are common practice and stand in no source: they are not those of any
 * machine that is sold, and each is to be checked against one's own, by its manual and by the test piece.
 */
export const shipped: readonly Shipped[] = [
  {
    name: 'plain-roll',
    text: `# A small roll cutter with a swivel blade whose offset is set on the machine itself.
# The figures are common practice; check each against your own machine.
name: plain roll cutter
film: roll
area: { along: 800 mm, across: 630 mm }   # as far as 32767 units of 0.025 mm go
unitsPerMm: 40
range: 32767
tools:
  kiss: 1
  through: 1      # the same blade: set deeper by hand, for a file of its own
  slit: 1
blade:
  offset: 0.25 mm
  compensate: machine
`,
  },
  {
    name: 'plain-sheet',
    text: `# A sheet cutter for A3 with a pen and a swivel blade. The files make up for the blade's offset.
# The figures are common practice; check each against your own machine.
name: plain sheet cutter
film: sheet
area: { along: 420 mm, across: 297 mm }
margins: { left: 15 mm, right: 15 mm, bottom: 10 mm, top: 10 mm }
unitsPerMm: 40
range: 32767
tools:
  pen: 1
  kiss: 2
  through: { number: 2, passes: 2 }
  slit: 2
blade:
  offset: 0.25 mm
  compensate: file
  overcut: 0.3 mm
bridges: { spacing: 60 mm, width: 0.8 mm }
`,
  },
  {
    name: 'wide-roll',
    text: `# A wide roll cutter that counts past 32767 units and makes up for the blade's offset itself.
# The figures are common practice; check each against your own machine.
name: wide roll cutter
film: roll
area: { along: 10 m, across: 1300 mm }
margins: { left: 0 mm, right: 0 mm, bottom: 5 mm, top: 5 mm }
unitsPerMm: 40
range: 1073741823
tools:
  kiss: 1
  through: 1      # the same blade: set deeper by hand, for a file of its own
  slit: 1
blade:
  offset: 0.25 mm
  compensate: machine
`,
  },
  {
    name: 'by-hand',
    text: `# No cutter: pieces are marked out with tape and pencil, or traced from the paper template, and cut by hand.
name: by hand
byHand: true
film: sheet
area: { along: 100 m, across: 5 m }   # as far as the film goes
range: 1073741823
tools:
  pen: 1
  kiss: 1
`,
  },
]
