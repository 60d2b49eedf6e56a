/** Why a pack is turned away; thrown inside the decoder only, its edge (pack.ts) makes a value of it. */
import type { RefusalReason } from './stored-readings.js'

export class PackError extends Error {
  constructor(
    readonly reason: RefusalReason,
    message: string,
  ) {
    super(message)
    this.name = 'PackError'
  }
}
