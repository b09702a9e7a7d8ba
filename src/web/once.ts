/** What a quick second click of a double click does not do again; keys count as often as they are pressed. */
export const once = (run: () => void) => (event: MouseEvent) => {
  if (event.detail < 2) run()
}
