import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { computeDayRecord, type DayReadings, DEFAULT_DAY_OPTIONS } from '../../hub/core/days/day-record.js'
import { contextFlags } from '../../hub/core/quality/context-checks.js'
import { NO_READINGS, type ReadingColumns } from '../../hub/core/readings.js'
import { haurwitzWm2 } from '../../hub/core/sun/clear-sky.js'
import { type PlacedContext, placedDaySun } from '../../hub/core/sun/placed-day.js'
import { sunPosition } from '../../hub/core/sun/position.js'
import { createRunningBed } from '../../hub/garden/running-bed.js'
import { localDay } from '../../shared/local-time.js'
import { FLAG } from '../../shared/quality-flags.js'

const GARDEN = {
  id: 'home',
  name: 'Home',
  latitudeDeg: 47.4,
  longitudeDeg: 8.5,
  elevationM: 400,
  timeZone: 'Europe/Zurich',
}
const DAY = localDay('2027-06-03', GARDEN.timeZone)
const CEILING_LX = 54_612
const HOUR_MS = 3_600_000
const ALL_DAY: PlacedContext[] = [
  {
    fromMs: Number.NEGATIVE_INFINITY,
    toMs: Number.POSITIVE_INFINITY,
    context: { gainAt: () => 0.8, horizon: (az) => (az > 200 && az < 300 ? 35 : 4), skyView: 0.9 },
  },
]

interface Sent {
  readonly quantity: string
  readonly timeMs: number
  readonly value: number
  readonly flags: number
}

/** A node's day: light through clouds and up to a ceiling, air and soil, dropouts, holes, impossible values. */
function sentOver(clouds: readonly number[], stepS: number, isClipped: boolean): Sent[] {
  const sent: Sent[] = []
  for (let timeMs = DAY.startMs - 3 * HOUR_MS, n = 0; timeMs < DAY.endMs; timeMs += stepS * 1000, n++) {
    const cloud = clouds[Math.floor((timeMs - DAY.startMs + 4 * HOUR_MS) / 1_200_000) % clouds.length]!
    if (cloud > 0.96) continue
    const clear = haurwitzWm2(sunPosition(timeMs, GARDEN).elevationDeg) * 107 * 0.8
    // whole lux and some noise: a value that stands still for hours is another test's
    const lux = Math.round(clear * (0.15 + cloud) * (1 + 0.003 * Math.sin(n * 12.9)))
    const seen = n % 101 === 0 ? 0 : isClipped ? Math.min(CEILING_LX, lux) : lux
    sent.push({ quantity: 'light', timeMs, value: seen, flags: n % 97 === 0 ? FLAG.range : 0 })
    const airTempC = 15 + 8 * Math.sin((timeMs - DAY.startMs) / (4 * HOUR_MS)) + 0.1 * Math.sin(n)
    sent.push({ quantity: 'air-temp', timeMs, value: n % 89 === 0 ? 45 : airTempC, flags: 0 })
  }
  return sent
}

function columnsOf(sent: readonly Sent[], quantity: string): ReadingColumns {
  const own = sent.filter((s) => s.quantity === quantity)
  const columns = {
    timeMs: Float64Array.from(own, (s) => s.timeMs),
    value: Float64Array.from(own, (s) => s.value),
    flags: Uint16Array.from(own, (s) => s.flags),
  }
  return { ...columns, flags: contextFlags(quantity, columns) }
}

const readingsOf = (sent: readonly Sent[]): DayReadings => ({
  airTemp: columnsOf(sent, 'air-temp'),
  soilTemp: NO_READINGS,
  light: columnsOf(sent, 'light'),
  irradiance: NO_READINGS,
})

function computedAtOnce(sent: readonly Sent[], nowMs: number, placed: readonly PlacedContext[]) {
  const readings = readingsOf(sent)
  const sun = placedDaySun(DAY, readings, GARDEN, nowMs, placed)
  return { sun, day: computeDayRecord(DAY, readings, sun, nowMs, DEFAULT_DAY_OPTIONS) }
}

describe('a running bed', () => {
  it('has, after any reading, the figures of the day computed from all readings at once', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 8, maxLength: 40 }),
        fc.constantFrom(60, 300, 900),
        fc.boolean(),
        fc.double({ min: 0, max: 0.9, noNaN: true }),
        fc.double({ min: 0, max: 0.99, noNaN: true }),
        (clouds, stepS, isClipped, startPart, lookPart) => {
          const sent = sentOver(clouds, stepS, isClipped)
          const started = Math.floor(startPart * sent.length)
          const looks = [started, Math.floor((started + lookPart * (sent.length - started)) / 2), sent.length]
          const running = createRunningBed(DAY, GARDEN, ALL_DAY, readingsOf(sent.slice(0, started)))
          let fed = started
          for (const look of looks.filter((n) => n >= started)) {
            for (; fed < look; fed++) {
              const { quantity, timeMs, value, flags } = sent[fed]!
              expect(running.add(quantity, timeMs, value, flags)).toBe(true)
              // asked all day long, as by a page that is open
              if (fed % 50 === 0) running.figures(timeMs)
            }
            const nowMs = (sent[look - 1]?.timeMs ?? DAY.startMs) + 500
            const now = running.figures(nowMs)
            const atOnce = computedAtOnce(sent.slice(0, look), nowMs, ALL_DAY)
            expect(now.sun.segments).toEqual(atOnce.sun.segments)
            expect(now.sun.sunHours ?? -1).toBeCloseTo(atOnce.sun.sunHours ?? -1, 9)
            const { sunHours: _a, sunCoverage: _b, ...restNow } = now.day
            const { sunHours: _c, sunCoverage: _d, ...restAtOnce } = atOnce.day
            expect(restNow).toEqual(restAtOnce)
          }
        },
      ),
      // looked at before the day has begun, with readings that are too early for it
      { numRuns: 20, examples: [[[0, 0, 0, 0, 0, 0, 0, 0], 60, false, 0, 0.002]] },
    )
  }, 60_000)

  it('takes a reading that it has only once, and refuses one that comes out of order', () => {
    const sent = sentOver([0.5], 300, false)
    const running = createRunningBed(DAY, GARDEN, ALL_DAY, readingsOf(sent))
    const nowMs = DAY.endMs
    const before = running.figures(nowMs)
    const { quantity, timeMs, value, flags } = sent.at(-4)!
    expect(running.add(quantity, timeMs, value + 1, flags)).toBe(true)
    expect(running.figures(nowMs)).toEqual(before)
    expect(running.add(quantity, timeMs + 1, value, flags)).toBe(false)
    expect(running.add('humidity', timeMs + 1, 50, 0)).toBe(true)
  })

  it('judges each part of a day by the node that stood there then', () => {
    const noonMs = (DAY.startMs + DAY.endMs) / 2
    const open = { ...ALL_DAY[0]!, toMs: noonMs, context: { gainAt: () => 0.8 } }
    const walled = {
      fromMs: noonMs,
      toMs: Number.POSITIVE_INFINITY,
      context: { gainAt: () => 0.8, horizon: () => 80 },
    }
    // in the afternoon the wall leaves a fifth of the light
    const sent = sentOver([0.8], 300, false).map((s) =>
      s.quantity === 'light' && s.timeMs >= noonMs ? { ...s, value: s.value / 5 } : s,
    )
    const { sun } = createRunningBed(DAY, GARDEN, [open, walled], readingsOf(sent)).figures(DAY.endMs)
    const hours = (state: string, fromMs: number, toMs: number): number =>
      sun.segments.reduce(
        (sum, s) =>
          s.state === state
            ? sum + Math.max(0, Math.min(toMs, s.toMs) - Math.max(fromMs, s.fromMs)) / HOUR_MS
            : sum,
        0,
      )
    expect(hours('sun', DAY.startMs, noonMs)).toBeGreaterThan(5)
    expect(hours('shade', DAY.startMs, noonMs)).toBeLessThan(0.2)
    expect(hours('sun', noonMs + HOUR_MS, DAY.endMs)).toBeLessThan(0.2)
    expect(hours('shade', noonMs, DAY.endMs)).toBeGreaterThan(6)
    expect(hours('cloud', noonMs, DAY.endMs)).toBeLessThan(1)
    expect(sun.possibleSunHours).toBeGreaterThan(6)
    expect(sun.possibleSunHours).toBeLessThan(9)
  })
})
