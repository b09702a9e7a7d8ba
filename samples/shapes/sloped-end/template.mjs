// A shape of the tool library's own: the end of a seed box, higher at the back than at the front. The folder stands in
// `shapes` beside the job file; nothing else has to be done. The kit holds the pieces that built-in shapes are made of.
export default ({ defineTemplate, point, lineTo, openPath, dimension }) => {
  const corners = ({ width, front, back }) => [
    point(-width / 2, 0),
    point(width / 2, 0),
    point(width / 2, back),
    point(-width / 2, front),
  ]
  const line = (from, to) => openPath(from, lineTo(to))
  const drawn = (path, style) => ({ kind: 'drawn', path, style })

  return defineTemplate({
    id: 'sloped-end',
    title: 'Sloped end',
    when: 'The end of a box that is higher at the back than at the front: a seed box, a desk.',
    specs: {
      width: { kind: 'length', min: 20, max: 5000, letter: 'A', help: 'along the bottom' },
      front: { kind: 'length', min: 5, max: 5000, letter: 'B', help: 'up the left edge' },
      back: { kind: 'length', min: 5, max: 5000, letter: 'C', help: 'up the right edge' },
    },
    example: {
      measures: { width: '240 mm', front: '90 mm', back: '130 mm' },
      shows: 'The top edge is 243.3 mm long; the hinge stands 120 mm from the left edge and is 110 mm high.',
    },
    check: ({ width, front, back }) =>
      Math.abs(back - front) < width
        ? []
        : [
            {
              code: 'too_steep',
              field: 'back',
              value: `${back} mm beside a front of ${front} mm`,
              limit: `they differ by more than the width of ${width} mm`,
              cure: 'Measure the three again.',
            },
          ],
    develop: (values, _facts, say) => {
      const [a, b, c, d] = corners(values)
      const middle = (values.front + values.back) / 2
      return [
        {
          edges: [
            { name: 'bottom', path: line(a, b) },
            { name: 'right', path: line(b, c) },
            { name: 'top', path: line(c, d) },
            { name: 'left', path: line(d, a) },
          ],
          holes: [],
          hinge: { from: point(0, 0), to: point(0, middle) },
          surface: { kind: 'flat', taper: 0 },
          labelSpots: [{ at: point(values.width / 4, middle / 2), turn: 0 }],
          marks: [
            { code: 'hinge bottom', text: `Mark the object ${say(values.width / 2)} from the front, at the bottom edge.` },
            { code: 'hinge top', text: `Mark the top edge ${say(middle)} straight above that mark.` },
          ],
          notes: [],
        },
      ]
    },
    sketch: (values, say) => {
      const shown = values ?? { width: 240, front: 90, back: 130 }
      const scale = Math.min(90 / shown.width, 60 / Math.max(shown.front, shown.back))
      const [a, b, c, d] = corners(shown).map(({ x, y }) => point(75 + x * scale, 22 + y * scale))
      const middle = point(75, 22 + ((shown.front + shown.back) / 2) * scale)
      const words = (letter, name, length) => (values ? `${name} ${say(length)}` : `${letter}  ${name}`)
      return {
        title: 'Where to measure',
        width: 150,
        height: 34 + Math.max(shown.front, shown.back) * scale,
        items: [
          ...[line(a, b), line(b, c), line(c, d), line(d, a)].map((path) => drawn(path, 'object')),
          drawn(line(point(75, 22), middle), 'hinge'),
          drawn(line(point(75, 22), point(75, 28)), 'tick'),
          drawn(line(middle, point(75, middle.y - 6)), 'tick'),
          ...dimension(a, b, -8, words('A', 'width', shown.width), 4),
          ...dimension(a, d, 8, words('B', 'front', shown.front), 4),
          ...dimension(b, c, -8, words('C', 'back', shown.back), 4),
        ],
      }
    },
  })
}
