/**
 * The sun of every bed over the last three weeks, for the question whether a bed is short of sun. Past days hardly
 * change, so each is computed once and kept in memory.
 */
import type { Garden } from '../../shared/api/garden.js'
import { addDays, localDay } from '../../shared/local-time.js'
import { bedLight } from '../core/sun/bed-light.js'
import type { DaySun } from '../core/sun/day-sun.js'
import { hasSkyline, skylineOf } from '../core/sun/learned-sun.js'
import { lostSun, sunBudget } from '../core/sun/lost-sun.js'
import { possibleSunHours } from '../core/sun/possible-sun.js'
import { sunOutlook } from '../core/sun/sun-outlook.js'
import type { BedMeasurements } from '../garden/measured.js'
import { CLEAR_DAY_COVERAGE, CLEAR_DAY_SHARE, isClearDay, sunRuns } from './clear-day.js'
import type { BedSkyToday, ClearDay, SunHistory } from './rule.js'

const HISTORY_DAYS = 21
/** Readings still come in late for days this near, and flags of the last of them are not settled. */
const UNSETTLED_DAYS = 3
const BIN_MS = 5 * 60_000
const DAY_MS = 86_400_000

interface PastDay {
  readonly date: string
  readonly sun: DaySun
  readonly sunHours: number
  /** with the bed's skyline, and on open ground */
  readonly possibleSunHours: number
  readonly openHours: number
  readonly coverage: number
  readonly isClearHere: boolean
  /** parts of the day (UTC) with sun, as numbers of 5-minute bins */
  readonly sunBins: readonly number[]
}

export interface SunHistories {
  /** Histories of the beds, by id, of the days before `date`. */
  of(garden: Garden, beds: readonly string[], date: string): Promise<ReadonlyMap<string, SunHistory>>
  /** Late readings came, or the garden changed. */
  forget(garden: string): void
}

export function createSunHistories(measurements: BedMeasurements): SunHistories {
  // null: a day without light readings
  const known = new Map<string, Map<string, PastDay | null>>()
  /** what the days known were judged with, by bed */
  const judgedWith = new Map<string, string>()
  const computed = new Map<string, { date: string; histories: ReadonlyMap<string, SunHistory> }>()

  const pastDay = async (garden: Garden, bed: string, date: string): Promise<PastDay | null> => {
    const sun = await measurements.sun(garden.id, bed, date)
    if (sun.sunHours === null) return null
    const { startMs, endMs } = localDay(date, garden.timeZone)
    const [light, irradiance] = await Promise.all([
      measurements.readRange(garden.id, bed, 'light', startMs, endMs),
      measurements.readRange(garden.id, bed, 'irradiance', startMs, endMs),
    ])
    return {
      date,
      sun,
      sunHours: sun.sunHours,
      possibleSunHours: sun.possibleSunHours,
      openHours: possibleSunHours(startMs, endMs, garden),
      coverage: sun.coverage,
      isClearHere: isClearDay(sun, bedLight({ light, irradiance }), garden),
      sunBins: sunRuns(sun).flatMap(binsOf),
    }
  }

  const daysOf = async (garden: Garden, bed: string, date: string): Promise<PastDay[]> => {
    const first = addDays(date, -HISTORY_DAYS)
    const [startMs, endMs] = [
      localDay(first, garden.timeZone).startMs,
      localDay(date, garden.timeZone).startMs,
    ]
    const counts = await Promise.all(
      ['light', 'irradiance'].map((q) => measurements.countRange(garden.id, bed, q, startMs, endMs)),
    )
    if (counts.every((n) => n === 0)) return []
    const key = `${garden.id}/${bed}`
    const skies = await Promise.all([first, date].map((d) => measurements.sky(garden.id, bed, d)))
    const basis = skies.map((sky) => sky.basis).join()
    const isSame = judgedWith.get(key) === basis
    const before = (isSame ? known.get(key) : undefined) ?? new Map<string, PastDay | null>()
    judgedWith.set(key, basis)
    const kept = new Map<string, PastDay | null>()
    known.set(key, kept)
    for (let i = HISTORY_DAYS; i >= 1; i--) {
      const day = addDays(date, -i)
      const old = i > UNSETTLED_DAYS ? before.get(day) : undefined
      kept.set(day, old === undefined ? await pastDay(garden, bed, day) : old)
    }
    return [...kept.values()].filter((day) => day !== null)
  }

  const skyOn = async (garden: Garden, bed: string, date: string): Promise<BedSkyToday | null> => {
    const stretch = (await measurements.sky(garden.id, bed, date)).stretches.at(-1)
    if (!stretch || !hasSkyline(stretch.learned)) return null
    const day = localDay(date, garden.timeZone)
    const skyline = skylineOf(stretch.learned)
    const [outlook] = sunOutlook([day], garden, skyline, null)
    // with walls to the zenith all that open ground has is lost
    const open = lostSun(day, garden, { ...skyline, elevationDeg: skyline.elevationDeg.map(() => 90) })
    return {
      possibleHours: outlook!.possibleSunHours,
      possibleLow: outlook!.possibleLow,
      possibleHigh: outlook!.possibleHigh,
      openHours: possibleSunHours(day.startMs, day.endMs, garden),
      openFromMs: open[0]?.fromMs ?? null,
      openToMs: open.at(-1)?.toMs ?? null,
      lost: lostSun(day, garden, skyline),
      learnedDays: stretch.learned.days,
    }
  }

  return {
    async of(garden, beds, date) {
      const last = computed.get(garden.id)
      if (last?.date === date && beds.every((bed) => last.histories.has(bed))) return last.histories
      const days = new Map<string, PastDay[]>()
      for (const bed of beds) days.set(bed, await daysOf(garden, bed, date))
      const clearDates = new Set(
        [...days.values()]
          .flat()
          .filter(
            (d) => d.coverage >= CLEAR_DAY_COVERAGE && d.sunHours >= CLEAR_DAY_SHARE * d.possibleSunHours,
          )
          .map((d) => d.date),
      )
      const histories = new Map<string, SunHistory>()
      for (const [bed, ofBed] of days) {
        histories.set(bed, { ...historyOf(ofBed, clearDates), sky: await skyOn(garden, bed, date) })
      }
      computed.set(garden.id, { date, histories })
      return histories
    },
    forget(garden) {
      computed.delete(garden)
      for (const key of known.keys()) if (key.startsWith(`${garden}/`)) known.delete(key)
    },
  }
}

/**
 * @param days        of one bed, oldest first
 * @param clearDates  on which some bed of the garden had nearly all the sun that was possible
 */
export function historyOf(
  days: readonly PastDay[],
  clearDates: ReadonlySet<string>,
): Omit<SunHistory, 'sky'> {
  const clearDays: ClearDay[] = days
    .filter((d) => d.coverage >= CLEAR_DAY_COVERAGE && (d.isClearHere || clearDates.has(d.date)))
    .map(({ date, sunHours, openHours, coverage, isClearHere }) => ({
      date,
      sunHours,
      openHours,
      coverage,
      toldBy: isClearHere ? ('this bed' as const) : ('another bed' as const),
    }))
    .reverse()
  const bins = new Set(days.flatMap((d) => d.sunBins))
  return {
    clearDays,
    reachableHours: days.length === 0 ? null : (bins.size * BIN_MS) / 3_600_000,
    days: HISTORY_DAYS,
    budget: sunBudget(days.map((d) => d.sun)),
  }
}

/** 5-minute bins of the UTC day of which a stretch fills at least half. */
function binsOf({ fromMs, toMs }: { fromMs: number; toMs: number }): number[] {
  const bins: number[] = []
  for (let bin = Math.round(fromMs / BIN_MS); bin < Math.round(toMs / BIN_MS); bin++) {
    bins.push(bin % (DAY_MS / BIN_MS))
  }
  return bins
}
