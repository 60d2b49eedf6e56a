/** All that the grower told the hub about a garden, in the form of shared/api/export.ts. Part of port.ts. */
import type { ExportList, ExportSingle } from '../../shared/api/export.js'

export type ExportRecord = Readonly<Record<string, unknown>>

/** Where a photo is to be fetched; images may be large, so that they are not part of the dump. */
export interface PhotoPlace {
  readonly id: string
  readonly entry: string
}

export interface GardenDump {
  readonly singles: Readonly<Record<ExportSingle, ExportRecord | null>>
  readonly lists: Readonly<Record<Exclude<ExportList, 'photos'>, readonly ExportRecord[]>>
  readonly photos: readonly PhotoPlace[]
}

export interface ExportRepository {
  /** Everything as it is at one moment, without secrets. null: there is no such garden */
  dumpGarden(garden: string): Promise<GardenDump | null>
}
