/** A season of one bed, a reading a minute, from the demo's weather: realistic clouds, nights and warm days. */
import { GardenWeather } from '../../hub/cli/demo/garden-weather.js'
import { scenarioFor } from '../../hub/cli/demo/scenario.js'
import type { Place, ReadingColumns } from '../../hub/core/readings.js'
import { addDays, localDate, startOfDayMs } from '../../shared/local-time.js'

export const SEASON_DAYS = 180
const SEED = 7

export interface Season {
  readonly place: Place
  readonly timeZone: string
  readonly fromDate: string
  readonly toDate: string
  readonly endMs: number
  readonly airTemp: ReadingColumns
  readonly soilTemp: ReadingColumns
  readonly light: ReadingColumns
}

export function makeSeason(): Season {
  const scenario = scenarioFor(Date.UTC(2026, 10, 25, 3), SEED)
  const { timeZone } = scenario.garden
  const fromDate = localDate(scenario.historyFromMs, timeZone)
  const toDate = addDays(fromDate, SEASON_DAYS - 1)
  const endMs = startOfDayMs(addDays(toDate, 1), timeZone)
  const minutes = Math.round((endMs - scenario.historyFromMs) / 60_000)
  const columns = (): ReadingColumns => ({
    timeMs: new Float64Array(minutes),
    value: new Float64Array(minutes),
    flags: new Uint16Array(minutes),
  })
  const [airTemp, soilTemp, light] = [columns(), columns(), columns()]
  const weather = new GardenWeather(scenario)
  for (let i = 0; i < minutes; i++) {
    const { timeMs, beds } = weather.next()
    const bed = beds[0]!
    const put = (column: ReadingColumns, value: number): void => {
      column.timeMs[i] = timeMs
      column.value[i] = value
    }
    put(airTemp, Math.round(bed.airTempC * 100) / 100)
    put(soilTemp, Math.round(bed.soilTempC * 16) / 16)
    put(light, Math.round(bed.illuminanceLx))
  }
  return { place: scenario.place, timeZone, fromDate, toDate, endMs, airTemp, soilTemp, light }
}
