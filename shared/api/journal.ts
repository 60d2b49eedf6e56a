/**
 * The journal: what the grower did and saw. /gardens/{garden}/journal. The page makes the id of an entry, so that one that
 * was sent twice, or written in the garden without a connection, is there once.
 */
import { z } from 'zod'
import { ID_PATTERN } from '../ids.js'
import { CalendarDate, Instant } from './garden.js'

const KINDS = [
  // done
  'sown',
  'pricked-out',
  'hardened-off',
  'planted-out',
  'fed',
  'watered',
  'weeded',
  'netted',
  'net-off',
  // seen
  'emerged',
  'first-leaves',
  'pests-seen',
  'stem-thickness',
  'heads-started',
  'firmness',
  'split',
  'bolted',
  'lost',
  // taken
  'cut',
  'note',
] as const
export const JournalKind = z.enum(KINDS, 'choose what was done or seen')
export type JournalKind = z.infer<typeof JournalKind>

export const Firmness = z.enum(['soft', 'giving', 'firm'], 'say how it felt: soft, giving or firm')
export type Firmness = z.infer<typeof Firmness>

/** Made where the entry is written: small letters, digits and hyphens. */
export const JournalId = z
  .string('use 8 to 40 small letters, digits or hyphens')
  .regex(/^[a-z0-9][a-z0-9-]{7,39}$/, 'use 8 to 40 small letters, digits or hyphens')

const PLANTING = 'choose one of the plantings'
const BED = 'choose one of the beds'

const Fields = z.strictObject({
  kind: JournalKind,
  /** the garden's date on which it was done or seen */
  on: CalendarDate,
  planting: z.string(PLANTING).min(1, PLANTING).max(100, PLANTING).nullable().default(null),
  /** of what is done to a whole bed; a planting's own bed may be left out */
  bed: z.string(BED).regex(ID_PATTERN, BED).nullable().default(null),
  /** plants concerned: cut, lost, split, bolted, planted out …; null: not said, or all of them */
  plants: z.int('give a whole number').positive('must be more than 0').max(100_000).nullable().default(null),
  /** 'firmness' only, and needed there */
  firmness: Firmness.nullable().default(null),
  /** 'stem-thickness' only, and needed there: mm */
  stemMm: z
    .number('give a number')
    .positive('must be more than 0')
    .max(200, 'at most 200 mm')
    .nullable()
    .default(null),
  /** 'cut' only: of all that was cut, kg */
  weightKg: z
    .number('give a number')
    .positive('must be more than 0')
    .max(1_000, 'at most 1000 kg')
    .nullable()
    .default(null),
  /** 'cut', 'firmness' and 'split' only: across one head, mm */
  diameterMm: z
    .number('give a number')
    .positive('must be more than 0')
    .max(1_000, 'at most 1000 mm')
    .nullable()
    .default(null),
  /** with what: feed, net, water, or which pest */
  what: z.string('give text').trim().max(200, 'at most 200 characters').nullable().default(null),
  note: z.string('give text').trim().max(2_000, 'at most 2000 characters').nullable().default(null),
})

export const JournalInput = Fields
export type JournalInput = z.infer<typeof JournalInput>

/** POST: with the id that the page made; left out, the hub makes one. */
export const NewJournalEntry = z.strictObject({ id: JournalId.optional(), ...Fields.shape })
export type NewJournalEntry = z.infer<typeof NewJournalEntry>

export const JournalPhoto = z.object({
  id: JournalId,
  mediaType: z.enum(['image/jpeg', 'image/png', 'image/webp']),
  bytes: z.int(),
})
export type JournalPhoto = z.infer<typeof JournalPhoto>

export const JournalEntry = z.object({
  id: JournalId,
  ...Fields.shape,
  photos: z.array(JournalPhoto),
  /** when the hub first had it */
  writtenAt: Instant,
})
export type JournalEntry = z.infer<typeof JournalEntry>
