/**
 * Which tables of the garden database go into an export, which do not and why. A test holds this list against the
 * database itself: a table that is added must be put into one of the two.
 */
import type { ExportList } from '../../../shared/api/export.js'

/** How a column is told in the file: as it is, UTC ms as ISO 8601, JSON as what it holds. */
type ColumnForm = 'plain' | 'time' | 'json'

export interface ExportedTable {
  readonly table: string
  /** name in the file → column; in the order of the file */
  readonly columns: Readonly<Record<string, readonly [column: string, form: ColumnForm]>>
  readonly order: string
}

const plain = (column: string) => [column, 'plain'] as const
const time = (column: string) => [column, 'time'] as const
const json = (column: string) => [column, 'json'] as const

export const LIST_TABLES: Readonly<Record<Exclude<ExportList, 'photos'>, ExportedTable>> = {
  beds: {
    table: 'beds',
    columns: {
      id: plain('id'),
      name: plain('name'),
      kind: plain('kind'),
      lengthM: plain('length_m'),
      widthM: plain('width_m'),
      depthM: plain('depth_m'),
    },
    order: 'id',
  },
  nodes: { table: 'nodes', columns: { id: plain('id'), name: plain('name') }, order: 'id' },
  placements: {
    table: 'placements',
    columns: {
      id: plain('id'),
      node: plain('node'),
      bed: plain('bed'),
      from: time('from_ms'),
      to: time('to_ms'),
    },
    order: 'from_ms, id',
  },
  plantings: {
    table: 'plantings',
    columns: {
      id: plain('id'),
      bed: plain('bed'),
      crop: plain('crop'),
      variety: plain('variety'),
      sownOn: plain('sown_on'),
      plantedOutOn: plain('planted_out_on'),
      plants: plain('plants'),
      spacingM: plain('spacing_m'),
      finishedOn: plain('finished_on'),
    },
    order: 'id',
  },
  crops: {
    table: 'garden_crops',
    columns: {
      id: plain('id'),
      basedOn: plain('based_on'),
      name: plain('name'),
      adjustments: json('adjustments'),
    },
    order: 'id',
  },
  drawnSkylines: {
    table: 'drawn_skylines',
    columns: { bed: plain('bed'), drawing: json('drawing') },
    order: 'bed',
  },
  mutes: {
    table: 'warning_mutes',
    columns: { planting: plain('planting'), kind: plain('kind') },
    order: 'planting, kind',
  },
  taskAnswers: {
    table: 'task_answers',
    columns: { task: plain('task'), untilOn: plain('until_on'), answeredAt: time('answered_at_ms') },
    order: 'task',
  },
  journal: {
    table: 'journal_entries',
    columns: {
      id: plain('id'),
      kind: plain('kind'),
      on: plain('done_on'),
      planting: plain('planting'),
      bed: plain('bed'),
      plants: plain('plants'),
      firmness: plain('firmness'),
      stemMm: plain('stem_mm'),
      weightKg: plain('weight_kg'),
      diameterMm: plain('diameter_mm'),
      what: plain('what'),
      note: plain('note'),
      dateBefore: plain('date_before'),
      writtenAt: time('written_at_ms'),
    },
    order: 'done_on, written_at_ms, id',
  },
  journalRemovals: {
    table: 'journal_removals',
    columns: { id: plain('id'), removedAt: time('removed_at_ms') },
    order: 'id',
  },
  warnings: {
    table: 'warnings',
    columns: {
      id: plain('id'),
      kind: plain('kind'),
      cause: plain('cause'),
      bed: plain('bed'),
      node: plain('node'),
      planting: plain('planting'),
      severity: plain('severity'),
      urgency: plain('urgency'),
      certainty: plain('certainty'),
      headline: plain('headline'),
      why: plain('why'),
      advice: plain('advice'),
      raisedAt: time('raised_at_ms'),
      updatedAt: time('updated_at_ms'),
      clearedAt: time('cleared_at_ms'),
      seenAt: time('seen_at_ms'),
      onset: time('onset_ms'),
      expires: time('expires_ms'),
      chance: plain('chance'),
    },
    order: 'raised_at_ms, id',
  },
}

/** Exported too, each in its own way (garden-dump.ts). */
export const OTHER_EXPORTED_TABLES: readonly string[] = [
  'gardens',
  'garden_uuids',
  'temperature_normals',
  'clear_normals',
  'plan_weather',
  'delivery_settings',
  'journal_photos',
]

/** Not exported, and why. A backup has them all. */
export const LEFT_OUT_TABLES: Readonly<Record<string, string>> = {
  owner: 'secret: who the owner is, on this hub',
  cookie_key: 'secret',
  reading_links: 'secret: opens this hub',
  sessions: 'secret: opens this hub',
  api_tokens: 'secret: opens this hub',
  node_credentials: 'secret: each node gets a password from the hub it publishes to',
  calendar_links: 'secret: opens this hub',
  day_records: 'computed from the readings',
  learned_sun: 'computed from the readings',
  bed_forecasts: 'learned from readings and forecasts; learned again',
  public_forecasts: 'of a public service, out of date within hours',
  warning_news: 'the post book of this hub: what was sent to whom',
  deliveries: 'the post book of this hub: what was sent to whom',
}
