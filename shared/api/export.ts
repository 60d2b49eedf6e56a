/**
 * All of one garden as one JSON, and what became of readings that were brought in. docs/export.md describes the file for
 * whoever reads it without this program; hub and file are held together by these schemas.
 */
import { z } from 'zod'
import { Id } from '../ids.js'
import { DeliverySettings } from './delivery.js'
import { BedInput, CalendarDate, GardenInput, Instant, NodeInput, PlantingInput } from './garden.js'
import { JournalInput, JournalPhoto } from './journal.js'
import { TemperatureNormals } from './normals.js'
import { ClearNormals, DrawnSkylineInput } from './sun.js'
import { WarningKind } from './warnings.js'

export const EXPORT_FORMAT = 'hearting garden'
/** Raised when a file of today could be misread by the program of yesterday. */
export const EXPORT_VERSION = 1

const GivenId = z.string().min(1).max(100)
const Text = z.string().max(10_000)

/** What is there once a garden. */
export const EXPORT_SINGLES = {
  garden: z.strictObject({ id: Id, ...GardenInput.shape }),
  /** of its calendar and feed, so that those who follow them see no double */
  identity: z.strictObject({ uuid: z.uuid(), madeAt: Instant }).nullable(),
  temperatureNormals: TemperatureNormals.nullable(),
  clearNormals: ClearNormals.nullable(),
  /** the year of weather chosen for plans */
  planWeather: z
    .strictObject({
      name: z.string().max(1_000),
      days: z.array(
        z.strictObject({
          date: CalendarDate,
          minC: z.number().nullable(),
          maxC: z.number().nullable(),
          meanC: z.number().nullable(),
          soilMeanC: z.number().nullable(),
        }),
      ),
    })
    .nullable(),
  /** without the webhook: its secret is never exported, and its address often holds a key */
  delivery: z.strictObject(DeliverySettings.omit({ webhookUrl: true }).shape).nullable(),
} as const

/** What there is any number of, in the order of the file: what is named comes before what names it. */
export const EXPORT_LISTS = {
  beds: z.strictObject({ id: Id, ...BedInput.shape }),
  nodes: z.strictObject({ id: Id, ...NodeInput.shape }),
  placements: z.strictObject({ id: GivenId, node: Id, bed: Id, from: Instant, to: Instant.nullable() }),
  plantings: z.strictObject({ id: GivenId, ...PlantingInput.shape }),
  crops: z.strictObject({
    id: z.string().min(1).max(63),
    basedOn: z.string().min(1).max(63),
    name: z.string().max(80).nullable(),
    adjustments: z.record(z.string(), z.number()),
  }),
  drawnSkylines: z.strictObject({ bed: Id, drawing: DrawnSkylineInput }),
  mutes: z.strictObject({ planting: GivenId, kind: WarningKind }),
  taskAnswers: z.strictObject({
    task: z.string().min(1).max(500),
    untilOn: z.string().max(10).nullable(),
    answeredAt: Instant,
  }),
  journal: z.strictObject({
    id: GivenId,
    ...JournalInput.shape,
    /** the planting's date before the entry set it, to go back to; a date, or what says there was none */
    dateBefore: z.string().max(20).nullable(),
    writtenAt: Instant,
  }),
  /** entries that were taken back: they stay so, though a phone may send them again */
  journalRemovals: z.strictObject({ id: GivenId, removedAt: Instant }),
  warnings: z.strictObject({
    id: GivenId,
    kind: WarningKind,
    cause: Text,
    bed: Id.nullable(),
    node: Id.nullable(),
    planting: GivenId.nullable(),
    severity: Text,
    urgency: Text,
    certainty: Text,
    headline: Text,
    why: Text,
    advice: Text,
    raisedAt: Instant,
    updatedAt: Instant,
    clearedAt: Instant.nullable(),
    seenAt: Instant.nullable(),
    onset: Instant.nullable(),
    expires: Instant.nullable(),
    chance: z.number().nullable(),
  }),
  /** `image`: base64 (RFC 4648 §4) */
  photos: z.strictObject({
    id: GivenId,
    entry: GivenId,
    mediaType: JournalPhoto.shape.mediaType,
    image: z.base64(),
  }),
} as const

export type ExportSingle = keyof typeof EXPORT_SINGLES
export type ExportList = keyof typeof EXPORT_LISTS

/** A line at fault in a file of readings. */
export const ImportFault = z.object({ line: z.int(), message: z.string() })
export type ImportFault = z.infer<typeof ImportFault>

/** What became of readings that were brought in. */
export const ImportReport = z.object({
  rows: z.int(),
  readings: z.int(),
  /** new to the hub */
  stored: z.int(),
  /** the hub had one of that node, quantity and time: the first stays */
  repeated: z.int(),
  /** kept, but left out of figures: outside what the quantity can be, or from the future */
  doubted: z.int(),
  /** lines that were left out, the first of them; the others are stored all the same */
  faults: z.array(ImportFault),
  faultyLines: z.int(),
  /** null: there were no readings */
  from: Instant.nullable(),
  to: Instant.nullable(),
})
export type ImportReport = z.infer<typeof ImportReport>
