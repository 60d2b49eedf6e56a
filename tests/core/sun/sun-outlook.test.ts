import { describe, expect, it } from 'vitest'
import type { Place } from '../../../hub/core/readings.js'
import { clearFractionOn, learnClearFraction } from '../../../hub/core/sun/clear-fraction.js'
import { drawnFromFence } from '../../../hub/core/sun/drawn-skyline.js'
import { lostSun, sunBudget, whyShort } from '../../../hub/core/sun/lost-sun.js'
import { possibleSun, possibleSunHours } from '../../../hub/core/sun/possible-sun.js'
import { type Skyline, sectorMiddles, unknownSkyline } from '../../../hub/core/sun/skyline.js'
import { seasonLabels, seasonOf, sunLabel } from '../../../hub/core/sun/sun-label.js'
import { stretchesReaching, sunOutlook } from '../../../hub/core/sun/sun-outlook.js'
import { compassPoint } from '../../../shared/compass.js'
import { localDay, localDays } from '../../../shared/local-time.js'

const PLACE: Place = { latitudeDeg: 50, longitudeDeg: 0, elevationM: 0 }
const ZONE = 'Europe/London'
const YEAR = localDays('2026-01-01', '2026-12-31', ZONE)

function known(elevationDeg: Float64Array): Skyline {
  const n = elevationDeg.length
  return {
    azimuthDeg: sectorMiddles(),
    elevationDeg,
    atLeastDeg: elevationDeg,
    lowDeg: elevationDeg.map((e) => Math.max(0, e - 1)),
    highDeg: elevationDeg.map((e) => e + 1),
    uncertaintyDeg: new Float64Array(n).fill(0.5),
    isKnown: new Uint8Array(n).fill(1),
  }
}

/** A fence twice as high as far, towards the south: 63° at its nearest. */
const southFence = known(
  drawnFromFence({ heightM: 2, distanceM: 1, directionDeg: 180 }).map((e) => (Number.isNaN(e) ? 0 : e)),
)

describe('possible sun hours', () => {
  it('of an open place are the time with the sun above 3°', () => {
    // at an equinox the sun rises 15° × cos 50° an hour near the horizon: 3° take 19 min at each end
    const day = localDay('2026-03-20', ZONE)
    const hours = possibleSunHours(day.startMs, day.endMs, PLACE)
    expect(Math.abs(hours - (12.03 - (2 * 3) / (15 * Math.cos((50 * Math.PI) / 180))))).toBeLessThan(0.05)
  })

  it('add up, however a day is cut', () => {
    const day = localDay('2026-07-01', ZONE)
    const [possible] = possibleSun(day.startMs, day.endMs, PLACE, [(azimuth) => (azimuth > 200 ? 30 : 0)])
    const cut = day.startMs + 52_345_678
    const sum = possible!.hoursBetween(day.startMs, cut) + possible!.hoursBetween(cut, day.endMs)
    expect(sum).toBeCloseTo(possible!.hoursBetween(day.startMs, day.endMs), 9)
  })

  it('never grow where the skyline does', () => {
    const day = localDay('2026-05-01', ZONE)
    let before = Number.POSITIVE_INFINITY
    for (const height of [0, 3, 10, 20, 40, 60, 90]) {
      const hours = possibleSunHours(day.startMs, day.endMs, PLACE, () => height)
      expect(hours).toBeLessThanOrEqual(before)
      before = hours
    }
    expect(before).toBe(0)
  })
})

describe('the outlook of a year', () => {
  it('has long days in June and short ones in December, and the other way round south of the equator', () => {
    const outlook = sunOutlook(YEAR, PLACE, null, null)
    const on = (date: string) => outlook.find((day) => day.date === date)!.possibleSunHours
    expect(on('2026-06-21')).toBeGreaterThan(15)
    expect(on('2026-12-21')).toBeLessThan(7.7)
    const south = sunOutlook(
      [localDay('2026-06-21', 'Pacific/Auckland'), localDay('2026-12-21', 'Pacific/Auckland')],
      { latitudeDeg: -40, longitudeDeg: 175, elevationM: 0 },
      null,
      null,
    )
    expect(south[1]!.possibleSunHours).toBeGreaterThan(south[0]!.possibleSunHours + 4)
  })

  it('sees a south fence take the winter sun and leave the summer’s mornings and evenings', () => {
    const outlook = sunOutlook(YEAR, PLACE, southFence, null)
    const on = (date: string) => outlook.find((day) => day.date === date)!
    expect(on('2026-12-21').possibleSunHours).toBe(0)
    expect(on('2026-06-21').possibleSunHours).toBeGreaterThan(6)
    const [stretch, ...more] = stretchesReaching(outlook, 6)
    expect(more).toEqual([])
    expect(stretch!.from > '2026-04-01' && stretch!.from < '2026-06-21').toBe(true)
    expect(stretch!.to > '2026-06-21' && stretch!.to < '2026-09-10').toBe(true)
  })

  it('has a band that holds the likely figure, from nothing to everything where nothing is known', () => {
    for (const day of sunOutlook(YEAR, PLACE, southFence, null)) {
      expect(day.possibleLow).toBeLessThanOrEqual(day.possibleSunHours)
      expect(day.possibleHigh).toBeGreaterThanOrEqual(day.possibleSunHours)
    }
    const open = sunOutlook(YEAR, PLACE, null, null)
    for (const [i, day] of sunOutlook(YEAR, PLACE, unknownSkyline(), null).entries()) {
      expect(day.possibleLow).toBe(0)
      expect(day.possibleHigh).toBeCloseTo(open[i]!.possibleSunHours, 9)
    }
  })

  it('expects what the sky usually leaves of it, and says null where nothing is known of the sky', () => {
    const fraction = learnClearFraction([], new Array(12).fill(0.4))
    const [day] = sunOutlook([localDay('2026-06-21', ZONE)], PLACE, null, fraction)
    expect(day!.expectedSunHours).toBeCloseTo(0.4 * day!.possibleSunHours, 9)
    const [unsure] = sunOutlook([localDay('2026-06-21', ZONE)], PLACE, null, learnClearFraction([]))
    expect(unsure!.expectedSunHours).toBeNull()
  })
})

describe('the clear part of the sky by month', () => {
  const june = Array.from({ length: 30 }, (_, i) => ({
    date: `2026-06-${String(i + 1).padStart(2, '0')}`,
    sunHours: 6,
    possibleSunHours: 12,
    sunCoverage: 1,
  }))

  it('is what was measured, leaning a little on normals', () => {
    const fraction = learnClearFraction(june, new Array(12).fill(0.3))
    expect(fraction.byMonth[5]!).toBeCloseTo((0.5 * 30 + 0.3 * 10) / 40, 9)
    expect(fraction.basis[5]).toBe('measured')
    expect(fraction.basis[0]).toBe('normals')
    expect(fraction.days[5]).toBe(30)
  })

  it('is borrowed from other months where nothing better is known, and says so', () => {
    const fraction = learnClearFraction(june)
    expect(fraction.byMonth[0]!).toBeCloseTo(0.5, 9)
    expect(fraction.basis[0]).toBe('other months')
  })

  it('makes up for the part of a day that was not seen, and leaves out days hardly seen', () => {
    const half = june.map((day) => ({ ...day, sunHours: 3, sunCoverage: 0.5 }))
    expect(learnClearFraction(half).byMonth[5]!).toBeCloseTo(0.5, 9)
    const hardly = june.map((day) => ({ ...day, sunHours: 0, sunCoverage: 0.2 }))
    expect(learnClearFraction(hardly).byMonth[5]).toBeNull()
  })

  it('runs smoothly from month to month', () => {
    const normals = Array.from({ length: 12 }, (_, month) => (month === 5 ? 0.6 : 0.3))
    const fraction = learnClearFraction([], normals)
    expect(clearFractionOn(fraction, '2026-06-15')!).toBeCloseTo(0.6, 1)
    const june30 = clearFractionOn(fraction, '2026-06-30')!
    const july1 = clearFractionOn(fraction, '2026-07-01')!
    expect(Math.abs(june30 - july1)).toBeLessThan(0.02)
  })
})

describe('labels', () => {
  it.each([
    [8, 'full sun'],
    [6, 'full sun'],
    [5.9, 'part sun'],
    [4, 'part sun'],
    [3, 'part shade'],
    [1.9, 'full shade'],
  ])('%f hours are %s', (hours, label) => {
    expect(sunLabel(hours)).toBe(label)
  })

  it('differ by season: a bed behind a south fence is not the same in winter', () => {
    const labels = seasonLabels(sunOutlook(YEAR, PLACE, southFence, null), PLACE.latitudeDeg)
    const of = (season: string) => labels.find((label) => label.season === season)!.label
    expect(of('winter')).toBe('full shade')
    expect(of('summer')).toBe('full sun')
  })

  it('say where the skyline leaves them open', () => {
    const [winter] = seasonLabels(sunOutlook(YEAR, PLACE, unknownSkyline(), null), 50)
    expect(winter!.atWorst).toBe('full shade')
    expect(winter!.atBest).toBe('full sun')
  })

  it('turn the seasons round south of the equator', () => {
    expect(seasonOf('2026-01-15', 50)).toBe('winter')
    expect(seasonOf('2026-01-15', -35)).toBe('summer')
    expect(seasonOf('2026-04-15', -35)).toBe('autumn')
  })
})

describe('where the sun is lost', () => {
  it('is told by time and direction', () => {
    const west = known(
      drawnFromFence({ heightM: 2, distanceM: 1, directionDeg: 270 }).map((e) => (Number.isNaN(e) ? 0 : e)),
    )
    const day = localDay('2026-06-01', ZONE)
    const spans = lostSun(day, PLACE, west)
    expect(spans).toHaveLength(1)
    const [span] = spans
    expect(span!.fromAzimuthDeg).toBeGreaterThan(180)
    expect(span!.toAzimuthDeg).toBeGreaterThan(290)
    expect(new Date(span!.fromMs).toISOString().slice(11, 13)).toBe('13')
    expect(compassPoint(span!.fromAzimuthDeg)).toBe('south-west')
  })

  it('is nowhere in the open', () => {
    expect(lostSun(localDay('2026-06-01', ZONE), PLACE, known(new Float64Array(120)))).toEqual([])
  })

  it.each([
    [0, 'north'],
    [359, 'north'],
    [247.5, 'west-south-west'],
    [112, 'east-south-east'],
  ])('names %f° %s', (azimuth, name) => {
    expect(compassPoint(azimuth)).toBe(name)
  })

  it('blames the weather where a clear sky would have done, and the place where it would not', () => {
    const budget = { sunHours: 3, cloudHours: 6, shadeHours: 1, unknownHours: 0, days: 5 }
    expect(whyShort(budget, 9, 6)).toBe('weather')
    expect(whyShort(budget, 4, 6)).toBe('place')
    expect(whyShort({ ...budget, sunHours: 7 }, 9, 6)).toBe('enough')
  })

  it('has no budget without light readings', () => {
    expect(sunBudget([])).toBeNull()
  })
})
