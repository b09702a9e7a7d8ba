import { downloadJob } from './files.ts'
import { loadServed, saveServed, servedHere, unwritten } from './state.ts'

/** The file on the disk is no longer what this page began with: the person says which of the two stays. */
export function Conflict() {
  const own = servedHere.value
  if (own && unwritten.value !== undefined) return <Unwritten name={own.name} why={unwritten.value} />
  if (!own?.conflict) return null
  return (
    <div class="conflict" role="alert">
      <p>
        <strong>{own.name}</strong>{' '}
        {own.conflict.saved === null ? 'is gone from the disk.' : 'was changed on the disk by someone else.'} Nothing
        was written.
      </p>
      <div class="row">
        {own.conflict.saved !== null && (
          <button type="button" onClick={() => void loadServed()}>
            Take what is on the disk
          </button>
        )}
        <button type="button" onClick={() => void saveServed(true)}>
          Write mine over it
        </button>
      </div>
    </div>
  )
}

/** The last change did not reach the disk. */
function Unwritten({ name, why }: { readonly name: string; readonly why: string }) {
  return (
    <div class="conflict" role="alert">
      <p>
        <strong>{name}</strong> on the disk is older than what is here. {why} What you typed is kept in this browser.
      </p>
      <div class="row">
        <button type="button" onClick={() => void saveServed()}>
          Try again
        </button>
        <button type="button" onClick={() => downloadJob(name)}>
          Download the job
        </button>
      </div>
    </div>
  )
}
