/** What the journal says came of a planting: heads, weight, and what was lost. Pure; the order of entries does not matter. */
import type { JournalEntry } from '../../../shared/api/journal.js'
import type { Harvest } from '../../../shared/api/review.js'

/** What of an entry counts here. */
export type HarvestEntry = Pick<
  JournalEntry,
  'kind' | 'on' | 'plants' | 'weightKg' | 'diameterMm' | 'firmness'
>

/** @param entries  of one planting */
export function harvestOf(entries: readonly HarvestEntry[]): Harvest {
  const of = (kind: HarvestEntry['kind']): HarvestEntry[] => entries.filter((entry) => entry.kind === kind)
  const plantsOf = (kind: HarvestEntry['kind']): number =>
    of(kind).reduce((sum, { plants }) => sum + (plants ?? 0), 0)
  const felt = (how: HarvestEntry['firmness']): number =>
    of('firmness').filter(({ firmness }) => firmness === how).length
  const cuts = of('cut')
  const dates = cuts.map(({ on }) => on).sort()
  const weights = cuts.flatMap(({ weightKg }) => weightKg ?? [])
  const weighed = cuts.flatMap(({ plants, weightKg }) =>
    plants === null || weightKg === null ? [] : [{ plants, weightKg }],
  )
  const weighedHeads = weighed.reduce((sum, { plants }) => sum + plants, 0)
  const across = cuts.flatMap(({ diameterMm }) => diameterMm ?? [])
  return {
    cuts: cuts.length,
    firstCutOn: dates[0] ?? null,
    lastCutOn: dates.at(-1) ?? null,
    heads: plantsOf('cut'),
    weightKg: weights.length === 0 ? null : sumOf(weights),
    weighedHeads,
    weightPerHeadKg:
      weighedHeads === 0 ? null : sumOf(weighed.map(({ weightKg }) => weightKg)) / weighedHeads,
    diameterMm: across.length === 0 ? null : sumOf(across) / across.length,
    split: plantsOf('split'),
    bolted: plantsOf('bolted'),
    lost: plantsOf('lost'),
    uncounted: [...cuts, ...of('split'), ...of('bolted'), ...of('lost')].filter(
      ({ plants }) => plants === null,
    ).length,
    soft: felt('soft'),
    giving: felt('giving'),
    firm: felt('firm'),
  }
}

/** Ascending first: the sum then does not depend on the order in which the entries came. */
const sumOf = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b).reduce((sum, value) => sum + value, 0)
