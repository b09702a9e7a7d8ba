import { useEffect, useState } from 'preact/hooks'
import { once } from '../once.ts'
import { askBooking, type Booking, book } from '../server.ts'
import { raw, say, servedHere, text } from '../state.ts'

/** What a cut job takes off its shelf and leaves there, to be booked by the local server; nothing without one. */
export function BookingView() {
  const served = servedHere.value
  const shelf = raw.value?.shelf
  const saved = served && served.text === text.value && typeof shelf === 'string' ? served.saved : undefined
  const [offer, setOffer] = useState<(Booking & { readonly saved: string }) | undefined>()
  const [booked, setBooked] = useState<string>()
  const [busy, setBusy] = useState(false)
  useEffect(() => {
    let isLast = true
    setOffer(undefined)
    if (saved !== undefined && booked !== saved) {
      void askBooking(saved).then((found) => isLast && setOffer({ ...found, saved }))
    }
    return () => {
      isLast = false
    }
  }, [saved, booked])
  if (typeof shelf !== 'string' || !served) return null
  const bookNow = async () => {
    if (!offer || busy) return
    setBusy(true)
    const refusal = await book(offer.saved, offer.changes)
    setBusy(false)
    if (refusal === undefined) setBooked(offer.saved)
    say(refusal ?? `Booked on ${shelf}.`)
  }
  return (
    <section class="group">
      <h3>Once it is cut</h3>
      <p class="help">Take the film off {shelf}, and put there what is worth keeping.</p>
      {booked !== undefined && booked === saved ? (
        <p>It is booked on {shelf}.</p>
      ) : (
        <>
          {offer?.refused !== undefined && <p class="refusal">{offer.refused}</p>}
          <ul class="steps">
            {offer?.changes.map((change) => (
              <li key={change}>{change}</li>
            ))}
          </ul>
          {offer?.refused === undefined && offer?.changes.length === 0 && <p>Nothing of it is taken.</p>}
          {offer !== undefined && offer.changes.length > 0 && (
            <button type="button" disabled={busy} onClick={once(() => void bookNow())}>
              Book it on {shelf}
            </button>
          )}
        </>
      )}
    </section>
  )
}
