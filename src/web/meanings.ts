/** What each style of line means; see `looks` in the picture room, whose words these are. */
export const lineMeanings: Readonly<Record<string, string>> = {
  outline: 'kiss cut: through the film',
  hole: 'opening, cut out',
  through: 'through cut: film and liner',
  slit: 'slit: liner only, from the back',
  hinge: 'hinge: the line to hang the panel from',
  tick: 'tick',
  bare: 'measured edge: not cut',
  stock: 'edge of the film',
  margin: 'kept free along the edge',
  bad: 'bad spot, kept clear',
  kept: 'left over and worth keeping',
}
