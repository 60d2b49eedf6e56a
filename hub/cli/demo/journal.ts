/**
 * What the demo's grower wrote down: sown, planted out, fed, netted, looked at. Invented like all of the demo, and dated by
 * the plantings, so that it fits whenever the demo begins. Nothing is written for days that are still to come.
 */
import type { z } from 'zod'
import type { PlantingInput } from '../../../shared/api/garden.js'
import type { NewJournalEntry } from '../../../shared/api/journal.js'
import { addDays } from '../../../shared/local-time.js'

export interface DemoCut {
  readonly on: string
  readonly plants: number
  /** of all of them */
  readonly weightKg: number
  /** of one */
  readonly diameterMm: number
}
export type DemoPlanting = z.input<typeof PlantingInput> & {
  /** when what is eaten began to form; null: not yet */
  readonly headingOn: string | null
  readonly cuts: readonly DemoCut[]
}
type Draft = Omit<z.input<typeof NewJournalEntry>, 'id' | 'planting'>

const FEED_EVERY_DAYS = 14
const CABBAGE_FAMILY: ReadonlySet<string> = new Set(['cabbage-early', 'broccoli'])

/** What went otherwise in one bed than in another. */
const OWN: Readonly<Record<string, (outOn: string) => Draft[]>> = {
  'long-bed cabbage-early': (outOn) => [
    { kind: 'stem-thickness', on: addDays(outOn, 25), stemMm: 11, note: 'the one by the path' },
    { kind: 'stem-thickness', on: addDays(outOn, 40), stemMm: 17.5, note: 'the same one' },
  ],
  'wall-bed cabbage-early': (outOn) => [
    { kind: 'lost', on: addDays(outOn, 6), plants: 1, what: 'slugs', note: 'the gap stays open' },
    { kind: 'stem-thickness', on: addDays(outOn, 25), stemMm: 8, note: 'thinner than in the long bed' },
  ],
  'long-bed broccoli': (outOn) => [
    {
      kind: 'pests-seen',
      on: addDays(outOn, 9),
      what: 'flea beetles',
      plants: 3,
      note: 'small holes in the lowest leaves; mesh pegged down all round',
    },
  ],
  'wall-bed lettuce-head': (outOn) => [
    { kind: 'lost', on: addDays(outOn, 4), plants: 1, what: 'slugs', note: 'the first by the wall' },
  ],
  'yard-tubs lettuce-head': (outOn) => [
    { kind: 'pests-seen', on: addDays(outOn, 5), what: 'slugs', note: 'picked off at dusk, four of them' },
  ],
}

/**
 * @param today  of the garden
 * @param plantingId  of the planting as the hub has it
 */
export function demoJournal(
  planting: DemoPlanting,
  plantingId: string,
  today: string,
): z.input<typeof NewJournalEntry>[] {
  const counts = new Map<string, number>()
  return entriesOf(planting, today)
    .filter(({ on }) => on <= today)
    .map((draft) => {
      const nth = (counts.get(draft.kind) ?? 0) + 1
      counts.set(draft.kind, nth)
      return {
        id: `${planting.bed}-${planting.crop}-${draft.kind}-${nth}`.slice(0, 40),
        planting: plantingId,
        ...draft,
      }
    })
}

function entriesOf(planting: DemoPlanting, today: string): Draft[] {
  const { bed, crop, plants, sownOn, plantedOutOn: outOn, headingOn, finishedOn, cuts } = planting
  if (!outOn) return []
  const raised: Draft[] = sownOn
    ? [
        { kind: 'sown', on: sownOn, plants: plants + 6, what: 'in a tray on the window sill' },
        { kind: 'emerged', on: addDays(sownOn, 6) },
        { kind: 'pricked-out', on: addDays(sownOn, 15), plants: plants + 3 },
        { kind: 'hardened-off', on: addDays(outOn, -8), note: 'out by day, in at night' },
      ]
    : []
  const family: Draft[] = CABBAGE_FAMILY.has(crop)
    ? [{ kind: 'netted', on: addDays(outOn, 1), what: 'insect mesh' }]
    : []
  const heads: Draft[] =
    headingOn === null
      ? []
      : [
          { kind: 'heads-started', on: headingOn },
          { kind: 'firmness', on: addDays(headingOn, 4), firmness: 'soft' },
          { kind: 'firmness', on: addDays(headingOn, 9), firmness: 'giving', plants: 2 },
        ]
  return [
    ...raised,
    { kind: 'planted-out', on: outOn, plants },
    { kind: 'watered', on: outOn, what: 'rain water, at the roots' },
    ...family,
    { kind: 'weeded', on: addDays(outOn, 18) },
    ...feeds(addDays(outOn, 12), finishedOn ?? today),
    ...(OWN[`${bed} ${crop}`]?.(outOn) ?? []),
    ...heads,
    ...cuts.map((cut): Draft => ({ kind: 'cut', ...cut })),
  ]
}

function feeds(firstOn: string, today: string): Draft[] {
  const drafts: Draft[] = []
  for (let on = firstOn; on <= today; on = addDays(on, FEED_EVERY_DAYS)) {
    drafts.push({ kind: 'fed', on, what: drafts.length % 2 === 0 ? 'nettle brew' : 'compost tea' })
  }
  return drafts
}
