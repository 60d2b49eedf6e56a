/** The running days of all beds: made from the store, then fed with what comes in, and made anew now and then. */
import type { Garden } from '../../shared/api/garden.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import type { LocalDay } from '../../shared/local-time.js'
import { FLAG } from '../../shared/quality-flags.js'
import type { DaySun } from '../core/sun/day-sun.js'
import type { Reading } from '../store/port.js'
import { DAY_QUANTITIES } from './day-influence.js'
import type { BedMeasurements } from './measured.js'
import type { GardenRepository } from './port.js'
import { createRunningBed, type RunningBed } from './running-bed.js'

/** What needs a longer look than the running day takes (a sensor that stands still for hours) shows after this. */
const FRESH_MS = 10 * 60_000

export interface RunningBeds {
  /** A bed's sun and record of the day that nowMs falls on. */
  figures(
    garden: Garden,
    bed: string,
    day: LocalDay,
    nowMs: number,
  ): Promise<{ readonly sun: DaySun; readonly day: DayRecord }>
  /** Readings were stored. */
  readingsStored(readings: readonly Reading[]): void
  /** Garden data changed. */
  gardenChanged(garden: string): void
}

interface Followed {
  readonly garden: string
  readonly date: string
  readonly madeAtMs: number
  /** the one node that stands in the bed; null: none */
  readonly node: string | null
  /** null: more than one node stands in the bed, and who speaks may change with any reading */
  readonly bed: Promise<RunningBed | null>
  /** once made; before, what comes in waits */
  made: RunningBed | null
  waiting: Reading[]
}

export function createRunningBeds(deps: {
  readonly garden: GardenRepository
  readonly measurements: BedMeasurements
}): RunningBeds {
  const { garden: repository, measurements } = deps
  const followed = new Map<string, Followed>()

  const make = async (garden: Garden, bed: string, day: LocalDay): Promise<RunningBed> => {
    const { placed } = await measurements.sky(garden.id, bed, day.date)
    const [airTemp, soilTemp, light, irradiance] = await Promise.all(
      DAY_QUANTITIES.map(({ quantity, windowMs }) =>
        measurements.readRange(garden.id, bed, quantity, day.startMs - windowMs, day.endMs + windowMs),
      ),
    )
    return createRunningBed(day, garden, placed, {
      airTemp: airTemp!,
      soilTemp: soilTemp!,
      light: light!,
      irradiance: irradiance!,
    })
  }

  const follow = async (garden: Garden, bed: string, day: LocalDay, nowMs: number): Promise<Followed> => {
    const key = `${garden.id}/${bed}`
    const standing = (await repository.listPlacements(garden.id, bed)).filter(
      (p) => p.fromMs <= nowMs && (p.toMs === null || p.toMs > nowMs),
    )
    const entry: Followed = {
      garden: garden.id,
      date: day.date,
      madeAtMs: nowMs,
      node: standing[0]?.node ?? null,
      bed: standing.length > 1 ? Promise.resolve(null) : make(garden, bed, day),
      made: null,
      waiting: [],
    }
    followed.set(key, entry)
    entry.bed.then(
      (made) => {
        entry.made = made
        const { waiting } = entry
        entry.waiting = []
        if (made && !waiting.every((reading) => feed(made, reading))) drop(key, entry)
      },
      // told to who asked, and not kept for the next
      () => drop(key, entry),
    )
    return entry
  }

  const drop = (key: string, entry: Followed): void => {
    if (followed.get(key) === entry) followed.delete(key)
  }

  return {
    async figures(garden, bed, day, nowMs) {
      const known = followed.get(`${garden.id}/${bed}`)
      const isGood = known && known.date === day.date && Math.abs(nowMs - known.madeAtMs) < FRESH_MS
      const entry = isGood ? known : await follow(garden, bed, day, nowMs)
      const running = await entry.bed
      if (running) return running.figures(nowMs)
      const [sun, records] = await Promise.all([
        measurements.sun(garden.id, bed, day.date),
        measurements.days(garden.id, bed, day.date, day.date),
      ])
      return { sun, day: records[0]! }
    },

    readingsStored(readings) {
      for (const [key, entry] of followed) {
        for (const reading of readings) {
          if (reading.garden !== entry.garden || reading.node !== entry.node) continue
          if (entry.made === null) entry.waiting.push(reading)
          else if (!feed(entry.made, reading)) {
            drop(key, entry)
            break
          }
        }
      }
    },

    gardenChanged(garden) {
      for (const [key, entry] of followed) if (entry.garden === garden) followed.delete(key)
    },
  }
}

/** A time that a wrong clock made up would hide all readings after it; such readings count in no figure. */
const feed = (bed: RunningBed, { quantity, timeMs, value, flags }: Reading): boolean =>
  (flags & FLAG.clock) !== 0 || bed.add(quantity, timeMs, value, flags)
