/** What is to come, as a test says it. */
import type { BedForecast } from '../../hub/core/forecast/bed-outlook.js'
import type { TemperatureOdds } from '../../hub/core/forecast/normal-odds.js'
import { warmSpellOdds } from '../../hub/core/forecast/warm-spell-odds.js'
import type { BedAhead } from '../../hub/forecast/port.js'
import { addDays, startOfDayMs } from '../../shared/local-time.js'

const ZONE = 'Europe/Copenhagen'
const HOUR_MS = 3_600_000

const odds = (meanC: number, sdC: number): TemperatureOdds => ({ meanC, sdC, atLeastC: null, atMostC: null })

export interface Coming {
  readonly today: string
  /** expected maxima, today first, °C */
  readonly maximaC: readonly number[]
  /** expected minima; else ten degrees lower */
  readonly minimaC?: readonly number[]
  readonly sdC?: number
  readonly source?: BedForecast['source']
  readonly isFresh?: boolean
  readonly isFirstSeason?: boolean
  readonly hotDaysBefore?: number
}

export function comingWeather(coming: Coming): BedAhead {
  const { today, maximaC, sdC = 1, source = 'bed', isFresh = true, isFirstSeason = false } = coming
  const days = maximaC.map((maxC, i) => ({
    date: addDays(today, i),
    leadDays: i,
    maxC: odds(maxC, sdC),
    minC: odds(coming.minimaC?.[i] ?? maxC - 10, sdC),
  }))
  const maxLinks = days.slice(1).map(() => 0.3)
  const startMs = startOfDayMs(today, ZONE)
  const hours = Array.from({ length: 24 * days.length }, (_, hour) => hour)
  const middleC = hours.map((hour) => {
    const day = days[Math.floor(hour / 24)]!
    const part = (1 - Math.cos(((hour % 24) / 24) * 2 * Math.PI)) / 2
    return day.minC.meanC + part * (day.maxC.meanC - day.minC.meanC)
  })
  const forecast: BedForecast = {
    source,
    issuedAtMs: startMs,
    restsOn: 300,
    days,
    maxLinks,
    course: {
      timeMs: hours.map((hour) => startMs + hour * HOUR_MS),
      middleC,
      lowC: middleC.map((c) => c - 1.28 * sdC),
      highC: middleC.map((c) => c + 1.28 * sdC),
    },
  }
  return {
    bed: 'south',
    forecast,
    words: 'From this bed’s own readings over 300 measured days.',
    isFresh,
    isFirstSeason,
    publicSource: null,
    spellOdds: (thresholdC, spellDays) =>
      warmSpellOdds(
        days.map((day) => day.maxC),
        maxLinks,
        { thresholdC, spellDays, hotDaysBefore: coming.hotDaysBefore ?? 0 },
      ),
  }
}
