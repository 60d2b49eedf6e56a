import { describe, expect, it } from 'vitest'
import { GardenWeather } from '../../../hub/cli/demo/garden-weather.js'
import { type BedHistory, historyUntil } from '../../../hub/cli/demo/history.js'
import { demoPlantings } from '../../../hub/cli/demo/plantings.js'
import { type Scenario, scenarioFor } from '../../../hub/cli/demo/scenario.js'
import { findCrop } from '../../../hub/core/crops/library.js'
import { stageOf } from '../../../hub/core/crops/stages.js'
import { addDays, localDate, startOfDayMs } from '../../../shared/local-time.js'

const HOUR_MS = 3_600_000

function degreeDaysSince(
  scenario: Scenario,
  bed: BedHistory,
  date: string,
  baseC: number,
  upperC: number,
): number {
  const fromMs = startOfDayMs(date, scenario.garden.timeZone)
  const hours = bed.hourlyAirC.slice(Math.round((fromMs - scenario.historyFromMs) / HOUR_MS))
  return hours.reduce((sum, airC) => sum + (Math.min(Math.max(airC, baseC), upperC) - baseC) / 24, 0)
}

describe('the demo’s plantings', () => {
  // one in each of its places
  it.each([
    '2027-04-10T10:00Z',
    '2027-05-20T10:00Z',
    '2027-08-10T10:00Z',
    '2027-10-10T10:00Z',
    '2027-11-25T10:00Z',
    '2028-02-10T10:00Z',
  ])('are where the story needs them when it begins at %s', (now) => {
    const nowMs = Date.parse(now)
    const scenario = scenarioFor(nowMs, 7)
    const { beds } = historyUntil(scenario, new GardenWeather(scenario), nowMs)
    const firstDate = localDate(scenario.historyFromMs, scenario.garden.timeZone)
    const plantings = demoPlantings(scenario, beds, findCrop)
    const standing = plantings.filter(({ finishedOn }) => !finishedOn)
    expect(standing).toHaveLength(4)
    for (const planting of standing) {
      const crop = findCrop(planting.crop)!
      const { sownOn = null, plantedOutOn = null } = planting
      // within the months that were measured, so that its degree days are known
      expect(plantedOutOn! > firstDate).toBe(true)
      expect(sownOn! < plantedOutOn!).toBe(true)
      const bed = beds.find(({ bed: { id } }) => id === planting.bed)!
      const warmth = degreeDaysSince(scenario, bed, plantedOutOn!, crop.baseC.value, crop.upperC.value)
      const stage = stageOf(crop, warmth, { sownOn, plantedOutOn, finishedOn: null })
      expect(stage?.stage).toBe(planting.crop === 'broccoli' ? 'leafing' : 'heading')
    }
    // and something to look back on
    const cut = plantings.filter(({ finishedOn }) => finishedOn)
    expect(cut.map(({ bed }) => bed)).toEqual(['long-bed', 'wall-bed'])
    for (const { bed, crop: id, plantedOutOn, finishedOn, cuts, plants } of cut) {
      const crop = findCrop(id)!
      const history = beds.find((candidate) => candidate.bed.id === bed)!
      const warmth = (on: string): number =>
        degreeDaysSince(scenario, history, plantedOutOn!, crop.baseC.value, crop.upperC.value) -
        degreeDaysSince(scenario, history, on, crop.baseC.value, crop.upperC.value)
      // cut once ready, not long past it, and over before the demo begins
      expect(warmth(addDays(cuts[0]!.on, 1))).toBeGreaterThanOrEqual(crop.degreeDays.toReady.value)
      expect(warmth(finishedOn!)).toBeLessThan(crop.degreeDays.toFinished.value + 40)
      expect(finishedOn! < localDate(nowMs, scenario.garden.timeZone)).toBe(true)
      expect(cuts.at(-1)!.on).toBe(finishedOn)
      const heads = cuts.reduce((sum, one) => sum + one.plants, 0)
      expect(plants! - heads).toBe(bed === 'wall-bed' ? 1 : 0)
    }
  })
})
