/** Answers about a bed's sky (measured.ts): its skyline, the outlook for any date, the sun's path, beds side by side. */
import { setImmediate } from 'node:timers/promises'
import type { Garden } from '../../shared/api/garden.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import { addDays, daysBetween, localDate, localDay, localDays } from '../../shared/local-time.js'
import { COMPLETE_COVERAGE } from '../core/quality/completeness.js'
import { type ClearFraction, learnClearFraction, type SunnyDay } from '../core/sun/clear-fraction.js'
import { hasSkyline, skylineOf } from '../core/sun/learned-sun.js'
import { lostSun } from '../core/sun/lost-sun.js'
import { sunPath } from '../core/sun/position.js'
import { possibleSunHours } from '../core/sun/possible-sun.js'
import { horizonOf, type Skyline, unknownSkyline } from '../core/sun/skyline.js'
import { LABEL_LIMITS, seasonLabels, sunLabel } from '../core/sun/sun-label.js'
import { type OutlookDay, stretchesReaching, sunOutlook } from '../core/sun/sun-outlook.js'
import { sunTimes } from '../core/sun/sun-times.js'
import { yearSkyline } from '../core/sun/year-skyline.js'
import { drawnSkyline } from './drawn-by-hand.js'
import type { BedMeasurements } from './measured.js'
import { GardenError, type GardenRepository } from './port.js'
import type { BedSkies, ComparedBed, LearnedStretch } from './skies.js'

/** How far back the usual clouds are learned from. */
const CLEAR_FRACTION_DAYS = 400
/** Younger days are not settled, and would be computed anew each time. */
const UNSETTLED_DAYS = 4
const PATH_STEP_MS = 600_000
const OUTLOOK_CHUNK_DAYS = 31
const MONTHS_OF_YEAR = 12
const MONTH_MS = 31 * 86_400_000
const SIX_HOURS = 6
const EIGHT_HOURS = 8

const firstOfMonth = (date: string): string => `${date.slice(0, 7)}-01`

export function createBedSkies(deps: {
  readonly garden: GardenRepository
  readonly measurements: BedMeasurements
  readonly now: () => number
}): BedSkies {
  const { garden: repository, measurements, now } = deps

  const requireGarden = async (id: string): Promise<Garden> => {
    const garden = await repository.getGarden(id)
    if (!garden) throw new GardenError('UNKNOWN_GARDEN', `There is no garden "${id}".`)
    return garden
  }

  const today = (garden: Garden): string => localDate(now(), garden.timeZone)

  /**
   * What the months up to a date have shown of the sky where the bed's sensor stands: each season's sun passes another part
   * of it (core/sun/year-skyline.ts). null: nothing learned or drawn yet.
   */
  const yearSkyOf = async (
    garden: Garden,
    bed: string,
    newest: LearnedStretch | null,
    date: string,
  ): Promise<Skyline | null> => {
    if (!newest || !hasSkyline(newest.learned)) return null
    const skylines = [skylineOf(newest.learned)]
    let month = firstOfMonth(date)
    for (let back = 1; back < MONTHS_OF_YEAR; back++) {
      month = firstOfMonth(addDays(month, -1))
      // before the placement there is nothing; a month without light, or of its last days only, is passed over
      if (localDay(month, garden.timeZone).endMs < newest.fromMs - MONTH_MS) break
      const { stretches } = await measurements.sky(garden.id, bed, month)
      const same = stretches.find((s) => s.placement === newest.placement)
      if (same && same.learned.readings > 0 && hasSkyline(same.learned))
        skylines.push(skylineOf(same.learned))
    }
    return yearSkyline(skylines)
  }

  /** The placement that speaks for the bed on a date; else the last before, else the first. */
  const stretchOn = async (garden: Garden, bed: string, date: string): Promise<LearnedStretch | null> => {
    const ofDate = (await measurements.sky(garden.id, bed, date)).stretches
    // before anything was learned here, what is known today is the best guess
    const stretches =
      ofDate.length > 0 ? ofDate : (await measurements.sky(garden.id, bed, today(garden))).stretches
    const { startMs, endMs } = localDay(date, garden.timeZone)
    const covering = stretches.findLast((s) => s.fromMs < endMs && s.toMs > startMs)
    return covering ?? stretches.findLast((s) => s.fromMs < endMs) ?? stretches[0] ?? null
  }

  /** On every date the bed that saw most of the sky speaks: clouds are the same for all of them. */
  const clearFraction = async (garden: Garden): Promise<ClearFraction> => {
    const to = addDays(today(garden), -UNSETTLED_DAYS)
    const best = new Map<string, DayRecord>()
    const seen = (day: DayRecord): number => day.possibleSunHours * day.sunCoverage
    const firstPlacedMs = (await repository.listPlacements(garden.id)).reduce(
      (ms, p) => Math.min(ms, p.fromMs),
      Number.POSITIVE_INFINITY,
    )
    const age = Number.isFinite(firstPlacedMs)
      ? daysBetween(localDate(firstPlacedMs, garden.timeZone), to)
      : Number.NEGATIVE_INFINITY
    if (age >= 0) {
      const from = addDays(to, -Math.min(age, CLEAR_FRACTION_DAYS - 1))
      for (const bed of await repository.listBeds(garden.id)) {
        const days = await measurements.days(garden.id, bed.id, from, to)
        for (const day of days) {
          if (day.sunHours === null) continue
          const known = best.get(day.date)
          if (!known || seen(day) > seen(known)) best.set(day.date, day)
        }
      }
    }
    const days: SunnyDay[] = [...best.values()]
    const normals = await repository.getClearNormals(garden.id)
    return learnClearFraction(days, normals?.fraction)
  }

  return {
    async skyline(gardenId, bed, asked) {
      const garden = await requireGarden(gardenId)
      const date = asked ?? today(garden)
      const [stretch, drawings] = await Promise.all([
        stretchOn(garden, bed, date),
        repository.drawnSkylines(gardenId),
      ])
      const skyline = await yearSkyOf(garden, bed, stretch, date)
      const drawing = drawings.find((d) => d.bed === bed)?.drawing ?? null
      return {
        date,
        node: stretch !== null && stretch.learned.readings > 0 ? stretch.node : null,
        learned: stretch?.learned ?? null,
        skyline: skyline ?? unknownSkyline(),
        drawing,
        drawnDeg: drawing ? drawnSkyline(drawing) : null,
      }
    },

    async outlook(gardenId, bed, fromDate, toDate) {
      const garden = await requireGarden(gardenId)
      const stretch = await stretchOn(garden, bed, today(garden))
      const skyline = await yearSkyOf(garden, bed, stretch, today(garden))
      const fraction = await clearFraction(garden)
      const allDays = localDays(fromDate, toDate, garden.timeZone)
      const days: OutlookDay[] = []
      for (let i = 0; i < allDays.length; i += OUTLOOK_CHUNK_DAYS) {
        days.push(...sunOutlook(allDays.slice(i, i + OUTLOOK_CHUNK_DAYS), garden, skyline, fraction))
        await setImmediate()
      }
      const expected = (day: OutlookDay): number | null => day.expectedSunHours
      const possibleSixHours = stretchesReaching(days, SIX_HOURS)
      const firstEnd = possibleSixHours[0]?.to ?? null
      return {
        skyline:
          stretch === null || skyline === null
            ? 'none'
            : stretch.learned.readings === 0
              ? 'drawn'
              : stretch.learned.isDrawn
                ? 'learned and drawn'
                : 'learned',
        days,
        labels: seasonLabels(days, garden.latitudeDeg),
        labelLimits: LABEL_LIMITS,
        possibleSixHours,
        possibleEightHours: stretchesReaching(days, EIGHT_HOURS),
        expectedSixHours: stretchesReaching(days, SIX_HOURS, expected),
        expectedEightHours: stretchesReaching(days, EIGHT_HOURS, expected),
        fallsBelowSixOn: firstEnd !== null && firstEnd < toDate ? addDays(firstEnd, 1) : null,
        clearFraction: fraction,
      }
    },

    async path(gardenId, bed, asked) {
      const garden = await requireGarden(gardenId)
      const present = today(garden)
      const date = asked ?? present
      const day = localDay(date, garden.timeZone)
      // a day that was measured is shown with what it was judged with
      const stretch = date <= present ? await stretchOn(garden, bed, date) : null
      const judgedBy = stretch && hasSkyline(stretch.learned) ? skylineOf(stretch.learned) : null
      const skyline =
        judgedBy ?? (await yearSkyOf(garden, bed, await stretchOn(garden, bed, present), present))
      const steps = Math.floor((day.endMs - day.startMs) / PATH_STEP_MS)
      const timeMs = Float64Array.from({ length: steps + 1 }, (_, i) => day.startMs + i * PATH_STEP_MS)
      return {
        date,
        times: sunTimes(day, garden),
        timeMs,
        path: sunPath(timeMs, garden),
        possibleSunHours: possibleSunHours(
          day.startMs,
          day.endMs,
          garden,
          skyline ? horizonOf(skyline.elevationDeg) : undefined,
        ),
        lost: skyline ? lostSun(day, garden, skyline) : [],
      }
    },

    async compare(gardenId, fromDate, toDate) {
      await requireGarden(gardenId)
      const compared: ComparedBed[] = []
      for (const { id, name } of await repository.listBeds(gardenId)) {
        compared.push(comparedBed(id, name, await measurements.days(gardenId, id, fromDate, toDate)))
      }
      return compared
    },
  }
}

function comparedBed(bed: string, name: string, days: readonly DayRecord[]): ComparedBed {
  const measured = days.filter((d) => d.sunHours !== null && d.sunCoverage >= COMPLETE_COVERAGE)
  const sunHours = measured.flatMap((d) => d.sunHours ?? [])
  // before a sensor stood there nothing is known of what stands around the bed: such days would make it look open
  // what a day had was possible: flecks of sun through a crown are more than its skyline lets through
  const possible = (measured.length > 0 ? measured : days).map((d) =>
    Math.max(d.possibleSunHours, d.sunHours ?? 0),
  )
  const mean = (values: readonly number[]): number =>
    values.reduce((sum, value) => sum + value, 0) / values.length
  return {
    bed,
    name,
    days: sunHours.length,
    sunHours: sunHours.length > 0 ? mean(sunHours) : null,
    possibleSunHours: mean(possible),
    mostSunHours: sunHours.length > 0 ? Math.max(...sunHours) : null,
    daysWithSixHours: sunHours.filter((hours) => hours >= SIX_HOURS).length,
    label: sunLabel(mean(possible)),
  }
}
