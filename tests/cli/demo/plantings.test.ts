import { describe, expect, it } from 'vitest'
import { GardenWeather } from '../../../hub/cli/demo/garden-weather.js'
import { type BedHistory, historyUntil } from '../../../hub/cli/demo/history.js'
import { demoPlantings } from '../../../hub/cli/demo/plantings.js'
import { type Scenario, scenarioFor } from '../../../hub/cli/demo/scenario.js'
import { findCrop } from '../../../hub/core/crops/library.js'
import { stageOf } from '../../../hub/core/crops/stages.js'
import { localDate, startOfDayMs } from '../../../shared/local-time.js'

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
    for (const planting of demoPlantings(scenario, beds, findCrop)) {
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
  })
})
