import { describe, expect, it } from 'vitest'
import {
  type BedForecastState,
  newBedForecast,
  newOwnDays,
  withBedDay,
  withOwnDay,
  withPublicForecast,
} from '../../../hub/core/forecast/bed-forecast.js'
import { bedForecast, bedSpellOdds } from '../../../hub/core/forecast/bed-outlook.js'
import type { ReadingColumns } from '../../../hub/core/readings.js'
import { addDays, localDay } from '../../../shared/local-time.js'
import { FLAG } from '../../../shared/quality-flags.js'
import { INLAND, madeDays } from './support/made-weather.js'

const around = {
  place: { latitudeDeg: 50, longitudeDeg: 10, elevationM: 100 },
  timeZone: 'Europe/Berlin',
}
const HOUR_MS = 3_600_000
const DAYS = 120
const days = madeDays(INLAND, DAYS + 10, 77)
const firstDate = days[0]!.date
const startMs = localDay(firstDate, around.timeZone).startMs

/** Half-hourly air of the made days: coolest at 5, warmest at 15 local standard time. */
const allTimes = Float64Array.from({ length: (DAYS + 9) * 48 }, (_, i) => startMs + i * (HOUR_MS / 2))
const air = (timeMs: number): number => {
  const day = days[Math.floor((timeMs - startMs) / (24 * HOUR_MS))]!
  const hour = ((timeMs - startMs) / HOUR_MS) % 24
  const part = 0.5 - 0.5 * Math.cos((2 * Math.PI * (hour - 3)) / 24)
  return day.minC + part * (day.maxC - day.minC)
}
const between = (fromMs: number, toMs: number, flags = 0): ReadingColumns => {
  const timeMs = allTimes.filter((ms) => ms >= fromMs && ms <= toMs)
  return { timeMs, value: timeMs.map(air), flags: new Uint16Array(timeMs.length).fill(flags) }
}
const dayOf = (i: number) => localDay(addDays(firstDate, i), around.timeZone)
const readingsOf = (i: number, flags = 0): ReadingColumns =>
  between(dayOf(i).startMs - 12 * HOUR_MS, dayOf(i).endMs + HOUR_MS / 2, flags)
const NOTHING: ReadingColumns = {
  timeMs: new Float64Array(),
  value: new Float64Array(),
  flags: new Uint16Array(),
}

function afterDays(count: number, from = newBedForecast(around.place)): BedForecastState {
  let state = from
  for (let i = 0; i < count; i++) {
    state = withBedDay(state, dayOf(i), readingsOf(i), dayOf(i).endMs, around)
  }
  return state
}

/** A regional forecast that is right but for the bed's own `coolerC`. */
const regional = (issuedAtMs: number, coolerC: number) => ({
  issuedAtMs,
  points: Array.from({ length: 73 }, (_, h) => {
    const validAtMs = Math.floor(issuedAtMs / HOUR_MS) * HOUR_MS + h * HOUR_MS
    return { validAtMs, airTempC: air(validAtMs) - coolerC }
  }),
})

describe('a bed’s forecast', () => {
  it('is there on the first evening and on an empty hub, from the bed’s own days', () => {
    for (const state of [newBedForecast(around.place), afterDays(1)]) {
      const now = dayOf(1).startMs + 9 * HOUR_MS
      const said = bedForecast(state, between(dayOf(1).startMs, now), now, around)
      expect(said.source).toBe('bed')
      expect(said.days.map((day) => day.date)).toEqual([1, 2, 3, 4].map((i) => addDays(firstDate, i)))
      expect(said.course.timeMs[0]).toBe(now)
      expect(said.course.middleC.every(Number.isFinite)).toBe(true)
    }
  })

  it('goes through storage after every day unchanged', () => {
    let stored = newBedForecast(around.place)
    for (let i = 0; i < 40; i++) {
      const next = withBedDay(stored, dayOf(i), readingsOf(i), dayOf(i).endMs, around)
      stored = JSON.parse(JSON.stringify(next)) as BedForecastState
    }
    expect(stored).toEqual(afterDays(40))
  })

  it('can learn the bed’s record again without the public forecasts', () => {
    let own = newOwnDays(around.place)
    for (let i = 0; i < 40; i++) own = withOwnDay(own, dayOf(i), readingsOf(i), dayOf(i).endMs, around)
    expect(own).toEqual(afterDays(40).own)
  })

  it('still speaks of today without readings of today', () => {
    const now = dayOf(60).startMs + 9 * HOUR_MS
    const said = bedForecast(afterDays(60), NOTHING, now, around)
    expect(said.days.map(({ date, leadDays }) => [date, leadDays])).toEqual([
      [addDays(firstDate, 60), 0],
      [addDays(firstDate, 61), 1],
      [addDays(firstDate, 62), 2],
    ])
    // a bad reading is none
    expect(bedForecast(afterDays(60), readingsOf(60, FLAG.stuck), now, around)).toEqual(said)
  })

  it('is the wider, the longer readings have been missing', () => {
    const state = afterDays(60)
    const width = (i: number): number => {
      const { maxC } = bedForecast(state, NOTHING, dayOf(i).startMs, around).days[0]!
      return maxC.sdC
    }
    expect(width(63)).toBeGreaterThan(width(60))
  })

  it('counts a day with too few readings as missed, and goes on after it', () => {
    const before = afterDays(30)
    const short = between(dayOf(30).startMs, dayOf(30).startMs + 10 * HOUR_MS)
    const missed = withBedDay(before, dayOf(30), short, dayOf(30).endMs, around)
    expect(missed.own.local).toEqual(before.own.local)
    expect(missed.own.recentMaximaC.at(-1)).toBeNull()
    const later = withBedDay(missed, dayOf(33), readingsOf(33), dayOf(33).endMs, around)
    expect(later.own.recentMaximaC.slice(-4)).toEqual([null, null, null, expect.any(Number)])
    expect(later.own.local.measuredDays).toBe(31)
  })

  it('lets a public forecast speak at once on a new hub, and says so', () => {
    const now = dayOf(1).startMs + 7 * HOUR_MS
    const state = withPublicForecast(afterDays(1), regional(now - HOUR_MS, 0), around)
    const said = bedForecast(state, between(dayOf(1).startMs, now), now, around)
    expect(said.source).toBe('public')
    expect(said.issuedAtMs).toBe(now - HOUR_MS)
    expect(said.restsOn).toBe(0)
    expect(said.days[0]!.leadDays).toBe(0)
    expect(said.days[1]!.maxC.meanC).toBeCloseTo(days[2]!.maxC, 0)
    expect(said.course.middleC[0]).toBeCloseTo(air(said.course.timeMs[0]!), 1)
  })

  it('learns that its bed is warmer than the region, and falls back on its own days when the forecast is stale', () => {
    let state = newBedForecast(around.place)
    for (let i = 0; i < 50; i++) {
      state = withPublicForecast(state, regional(dayOf(i).startMs + 6 * HOUR_MS, 3), around)
      state = withBedDay(state, dayOf(i), readingsOf(i), dayOf(i).endMs, around)
    }
    const now = dayOf(50).startMs + 7 * HOUR_MS
    const issued = withPublicForecast(state, regional(now - HOUR_MS, 3), around)
    const today = between(dayOf(50).startMs, now)
    const said = bedForecast(issued, today, now, around)
    expect(said.source).toBe('public')
    expect(said.restsOn).toBeGreaterThan(40)
    expect(said.days[1]!.maxC.meanC - (days[51]!.maxC - 3)).toBeGreaterThan(2.5)
    const afternoon = said.course.timeMs.findIndex((ms) => ms >= dayOf(51).startMs + 15 * HOUR_MS)
    expect(Math.abs(said.course.middleC[afternoon]! - air(said.course.timeMs[afternoon]!))).toBeLessThan(0.7)

    expect(bedForecast(state, today, now + 30 * HOUR_MS, around).source).toBe('bed')
  })

  it('does not let an older public forecast take the place of a newer one', () => {
    const newer = withPublicForecast(newBedForecast(around.place), regional(dayOf(1).startMs, 0), around)
    expect(withPublicForecast(newer, regional(dayOf(0).startMs, 0), around)).toEqual(newer)
  })

  it('gives the odds of a warm spell with the hot days that have been', () => {
    const state = afterDays(DAYS)
    const { recentMaximaC } = state.own
    const thresholdC = Math.min(...recentMaximaC.slice(-2).map((maxC) => maxC!)) - 0.1
    const now = dayOf(DAYS).startMs + 7 * HOUR_MS
    const said = bedForecast(state, between(dayOf(DAYS).startMs, now), now, around)
    const odds = bedSpellOdds(state, said, thresholdC, 3)
    expect(odds.reachedBy[0]).toBeCloseTo(odds.hot[0]!, 2)
    // two days on, the run before is not known
    const later = dayOf(DAYS + 2).startMs + 7 * HOUR_MS
    const stale = bedForecast(state, NOTHING, later, around)
    expect(bedSpellOdds(state, stale, thresholdC, 3).reachedBy[0]).toBe(0)
  })

  it('refuses a day that is not over and one that has been taken in', () => {
    const state = afterDays(3)
    expect(() => withBedDay(state, dayOf(3), readingsOf(3), dayOf(3).endMs - 1, around)).toThrow(/not over/)
    expect(() => withBedDay(state, dayOf(2), readingsOf(2), dayOf(3).endMs, around)).toThrow(/taken in/)
  })
})
