import type { LinkAddress } from '../machine/link-address.ts'
import { openDevice } from './device.ts'
import type { Link } from './link.ts'
import { openPlainFile } from './plain-file.ts'
import { openQueue } from './queue.ts'
import { openSerial } from './serial.ts'
import { openSocket } from './socket.ts'

/** Opens the named link and no other. Throws a `LinkError` that says what to try. */
export async function openLink(address: LinkAddress, title: string): Promise<Link> {
  switch (address.kind) {
    case 'serial':
      return openSerial(address)
    case 'tcp':
      return openSocket(address)
    case 'device':
      return openDevice(address)
    case 'queue':
      return openQueue(address, title)
    case 'file':
      return openPlainFile(address)
  }
}
