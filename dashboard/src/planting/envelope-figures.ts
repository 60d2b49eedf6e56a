/** Each day's span of air temperature against the crop's comfort, with the forecast going on from it. Pure. */
import type { BedForecast, ForecastDay } from '../../../shared/api/forecast.js'
import type { PlantingReport } from '../../../shared/api/progress.js'
import { addDays } from '../../../shared/local-time.js'
import { shortDate } from '../format/local-clock.js'
import { figure, type TempUnit, toShown } from '../format/units.js'
import { type DayFigures, noonS, type Rule, type Wash } from './day-figures.js'
import { oddsWords, tempText } from './planting-words.js'

const HALF_DAY_S = 43_200
/** Never stretched further than this, so that an even week does not look like weather, °C. */
const LEAST_SPAN_C = 12
const NEAR_C = 1.5
/** Fainter odds than this are not worth a word. */
const LEAST_ODDS = 0.05
/** An interval narrower than a sensor tells is no forecast any more, °C. */
export const SETTLED_C = 0.1

/** Forecast days from today on; a finished planting has none. */
export function forecastDays(report: PlantingReport, forecast: BedForecast | null): readonly ForecastDay[] {
  if (forecast === null || report.days.date.at(-1) !== report.today) return []
  return forecast.days.filter((day) => day.date >= report.today)
}

/** Days, from the last back, whose maximum was above the crop's limit: what the heat wash covers. */
function heatWashes({ days, doses }: PlantingReport, from: number): Wash[] {
  const limitC = doses.heat?.aboveC
  if (limitC === undefined) return []
  return days.date.flatMap((date, i): Wash[] => {
    if (i < from || (days.maxC[i] ?? Number.NEGATIVE_INFINITY) <= limitC) return []
    const s = noonS(date)
    return [{ kind: 'days', fromS: s - HALF_DAY_S, toS: s + HALF_DAY_S, ink: 'heat', alpha: '1c' }]
  })
}

function levels({ comfort, doses }: PlantingReport, unit: TempUnit): { washes: Wash[]; rules: Rule[] } {
  const shown = (c: number): number => toShown(c, '°C', unit)
  const washes: Wash[] = []
  const rules: Rule[] = []
  if (comfort !== null) {
    const from = shown(comfort.bestFromC)
    washes.push({ kind: 'levels', from, to: shown(comfort.bestToC), ink: 'line-other', alpha: '40' })
  }
  if (doses.heat !== null) {
    const { aboveC } = doses.heat
    const words = `${tempText(aboveC, unit)}: heat counts above`
    rules.push({ value: shown(aboveC), words, ink: 'heat', isDashed: true })
  }
  return { washes, rules }
}

/** @param lastDays  at most so many measured days, counted back from the last */
export function envelopeFigures(
  report: PlantingReport,
  forecast: BedForecast | null,
  unit: TempUnit,
  lastDays: number,
): DayFigures {
  const { days } = report
  const ahead = forecastDays(report, forecast)
  const first = Math.max(0, days.date.length - lastDays)
  // what is forecast for today takes the place of the day so far
  const end = ahead.length > 0 ? days.date.length - 1 : days.date.length
  const measured = days.date.slice(first, end)
  const dates = [...measured]
  for (
    let date = measured.length === 0 ? report.today : addDays(measured.at(-1) ?? '', 1);
    date <= (ahead.at(-1)?.date ?? '');
    date = addDays(date, 1)
  )
    dates.push(date)

  const shown = (c: number | null | undefined): number | null =>
    c === null || c === undefined ? null : toShown(c, '°C', unit)
  const past = (values: readonly (number | null)[]): (number | null)[] =>
    dates.map((_, i) => (i < measured.length ? shown(values[first + i]) : null))
  // a forecast line begins at the last measured day
  const coming = (lastC: number | null | undefined, of: (day: ForecastDay) => number): (number | null)[] =>
    dates.map((date, i) => {
      if (i === measured.length - 1) return shown(lastC)
      const day = i < measured.length ? undefined : ahead.find((one) => one.date === date)
      return day === undefined ? null : shown(of(day))
    })
  const lastMinC = days.minC[end - 1]
  const lastMaxC = days.maxC[end - 1]
  const ofMax = (key: 'lowC' | 'middleC' | 'highC') => coming(lastMaxC, (day) => day.airTempMaxC[key])
  const ofMin = (key: 'lowC' | 'middleC' | 'highC') => coming(lastMinC, (day) => day.airTempMinC[key])
  const edge = (values: (number | null)[]) => ({ ink: 'line-air' as const, dash: [], width: 0, values })
  const lines = [
    { ink: 'line-air' as const, dash: [], width: 1.2, values: past(days.maxC) },
    { ink: 'line-air' as const, dash: [], width: 1.2, values: past(days.minC) },
    { ink: 'ink' as const, dash: [], width: 1.8, values: past(days.meanC) },
    { ink: 'line-air' as const, dash: [6, 4], width: 1.8, values: ofMax('middleC') },
    { ink: 'line-air' as const, dash: [6, 4], width: 1.8, values: ofMin('middleC') },
    edge(ofMax('highC')),
    edge(ofMax('lowC')),
    edge(ofMin('highC')),
    edge(ofMin('lowC')),
  ]
  const { washes, rules } = levels(report, unit)
  const heights = [...lines.flatMap((line) => line.values), ...rules.map((rule) => rule.value)].filter(
    (v) => v !== null,
  )
  const least = unit === 'F' ? LEAST_SPAN_C * 1.8 : LEAST_SPAN_C
  const pad = unit === 'F' ? NEAR_C * 1.8 : NEAR_C
  const bottom = Math.min(...heights) - pad
  const top = Math.max(...heights, bottom + least) + pad
  return {
    dates,
    lines,
    bands: [
      { upper: 0, lower: 1, ink: 'line-air', alpha: '30' },
      { upper: 5, lower: 6, ink: 'line-air', alpha: '4c' },
      { upper: 7, lower: 8, ink: 'line-air', alpha: '4c' },
    ],
    washes: [...washes, ...heatWashes(report, first)],
    rules,
    stretches: [],
    today: ahead.length > 0 ? report.today : null,
    range: heights.length === 0 ? [0, 30] : [bottom, top],
  }
}

/** '15.7 to 19.7 °C' */
const between = ({ lowC, highC }: { lowC: number; highC: number }, unit: TempUnit): string =>
  `${figure(toShown(lowC, '°C', unit), 1)} to ${tempText(highC, unit)}`

/** What there is to fear of a day, with its odds: '8 in 10 above 27.0 °C'; empty: nothing worth a word. */
export function threatWords(day: ForecastDay, unit: TempUnit): string[] {
  const { lowC, highC } = day.airTempMaxC
  // a day whose highest has been measured already has no odds
  const isHotOpen = highC - lowC >= SETTLED_C && day.chanceAbove27C >= LEAST_ODDS
  return [
    ...(isHotOpen ? [`${oddsWords(day.chanceAbove27C)} above ${tempText(27, unit)}`] : []),
    ...(day.chanceOfFrost >= LEAST_ODDS ? [`${oddsWords(day.chanceOfFrost)} for frost`] : []),
  ]
}

/** A forecast day in words, with its odds where there is something to fear. */
export function forecastWords(day: ForecastDay, unit: TempUnit): string {
  const min = day.airTempMinC
  const max = day.airTempMaxC
  const odds = threatWords(day, unit)
  return `lowest about ${tempText(min.middleC, unit)} (${between(min, unit)}), highest about ${tempText(max.middleC, unit)} (${between(max, unit)})${odds.length === 0 ? '' : `; ${odds.join(', ')}`}`
}

/** The day in words: what was measured, else what is forecast. */
export function readEnvelope(
  report: PlantingReport,
  forecast: BedForecast | null,
  date: string,
  unit: TempUnit,
): string {
  const ahead = forecastDays(report, forecast).find((day) => day.date === date)
  if (ahead !== undefined) return `${shortDate(date)}, forecast: ${forecastWords(ahead, unit)}.`
  const i = report.days.date.indexOf(date)
  const minC = report.days.minC[i] ?? null
  const maxC = report.days.maxC[i] ?? null
  const meanC = report.days.meanC[i] ?? null
  const heat = report.days.heatHours[i] ?? 0
  if (minC === null || maxC === null) return `${shortDate(date)}: not measured.`
  const mean = meanC === null ? '' : `, mean ${tempText(meanC, unit)}`
  const hot = heat >= 0.1 ? `; ${figure(heat, 1)}\u00a0h of heat` : ''
  return `${shortDate(date)}: ${between({ lowC: minC, highC: maxC }, unit)}${mean}${hot}.`
}
