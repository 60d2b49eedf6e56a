/**
 * The grower's own data on its way out and in: files that other programs read too (docs/export.md). This folder makes and
 * takes them; it knows neither HTTP nor the command line. May import core, shared, ports, and hub/sqlite.
 */
import type { ImportReport } from '../../shared/api/export.js'

/** What to give of readings or day records; local dates, both included. */
export interface KeepRange {
  readonly from?: string | undefined
  readonly to?: string | undefined
  /** readings: of nodes while they stood in this bed */
  readonly bed?: string | undefined
}

export interface GardenKeep {
  /**
   * garden.json in pieces, photos one at a time.
   *
   * @param withDelivery  false: without those who get warnings, for who may look at the garden and no more
   * @throws GardenError UNKNOWN_GARDEN, with the first piece
   */
  gardenJson(garden: string, withDelivery?: boolean): AsyncGenerator<string, void>
  /** readings.csv in pieces, each made when the one before has been taken */
  readingsCsv(garden: string, range?: KeepRange): AsyncGenerator<string, void>
  /** days.csv in pieces */
  daysCsv(garden: string, range?: KeepRange): AsyncGenerator<string, void>
  /**
   * Stores the readings of a tidy CSV as they come. Lines at fault are left out and told; the others are stored. Sent again,
   * nothing is doubled.
   *
   * @throws TidyCsvError  it cannot be read as such a file at all
   * @throws StoreError    the store fails: what was stored until then stays
   */
  takeTidy(garden: string, node: string, file: AsyncIterable<Uint8Array>): Promise<ImportReport>
}

/** A file that cannot be read as tidy CSV; the message says what is wrong, and where. */
export class TidyCsvError extends Error {
  constructor(
    message: string,
    readonly line: number | null = null,
    options?: { cause?: unknown },
  ) {
    super(message, options)
    this.name = 'TidyCsvError'
  }
}

/** An export or a backup that cannot be taken in; nothing of it was. */
export class KeepError extends Error {
  constructor(
    /** says what to do */
    message: string,
    /** each with its place in the file */
    readonly problems: readonly string[] = [],
    options?: { cause?: unknown },
  ) {
    super(message, options)
    this.name = 'KeepError'
  }
}
