/** A bed's sky in the form that it has on the wire. */
import type { BedSkyline, SunOutlook, SunPath } from '../../shared/api/sun.js'
import { isoWithOffset } from '../../shared/local-time.js'
import { skyView } from '../core/sun/skyline.js'
import { LABEL_SOURCE } from '../core/sun/sun-label.js'
import type { OutlookFigures, SkylineFigures, SunPathFigures } from '../garden/skies.js'
import { instantOrNull, timeColumn } from './figures.js'

/** Heights to a tenth of a degree: the sun itself is half a degree wide. */
const tenths = (values: Float64Array): number[] => Array.from(values, (v) => Math.round(v * 10) / 10)

export function bedSkyline(bed: string, figures: SkylineFigures, timeZone: string): BedSkyline {
  const { date, node, learned, skyline, drawing, drawnDeg } = figures
  const isLearned = learned !== null && node !== null
  return {
    bed,
    date,
    learnedFrom: isLearned
      ? {
          node,
          from: isoWithOffset(learned.firstMs, timeZone),
          to: isoWithOffset(learned.lastMs, timeZone),
          readings: learned.readings,
          days: learned.days,
        }
      : null,
    azimuthDeg: tenths(skyline.azimuthDeg),
    elevationDeg: tenths(skyline.elevationDeg),
    lowDeg: tenths(skyline.lowDeg),
    highDeg: tenths(skyline.highDeg),
    uncertaintyDeg: tenths(skyline.uncertaintyDeg),
    known: Array.from(skyline.isKnown, (isKnown) => isKnown === 1),
    skyView: skyView(skyline),
    drawn:
      drawing && drawnDeg
        ? {
            points: drawing.points,
            fences: drawing.fences,
            elevationDeg: Array.from(drawnDeg, (v) => (Number.isNaN(v) ? null : Math.round(v * 10) / 10)),
          }
        : null,
    gain: isLearned
      ? {
          gain: learned.gain.latest,
          uncertainty: learned.gain.uncertainty,
          clearDays: learned.gain.clearDays,
          morningOverAfternoon: learned.gain.morningOverAfternoon,
          changes: learned.gain.changes.map(({ afterMs, beforeMs, from, to }) => ({
            after: isoWithOffset(afterMs, timeZone),
            before: isoWithOffset(beforeMs, timeZone),
            from,
            to,
          })),
        }
      : null,
  }
}

export const outlookOnWire = (bed: string, figures: OutlookFigures): SunOutlook => ({
  bed,
  skyline: figures.skyline,
  days: figures.days.map((day) => ({ ...day })),
  labels: figures.labels.map((label) => ({ ...label })),
  labelHours: {
    fullSun: figures.labelLimits.fullSunHours,
    partSun: figures.labelLimits.partSunHours,
    partShade: figures.labelLimits.partShadeHours,
    source: LABEL_SOURCE,
  },
  possibleSixHours: [...figures.possibleSixHours],
  possibleEightHours: [...figures.possibleEightHours],
  expectedSixHours: [...figures.expectedSixHours],
  expectedEightHours: [...figures.expectedEightHours],
  fallsBelowSixOn: figures.fallsBelowSixOn,
  clearFraction: {
    fraction: [...figures.clearFraction.byMonth],
    basis: [...figures.clearFraction.basis],
    days: [...figures.clearFraction.days],
  },
})

const hundredths = (values: Float64Array): number[] => Array.from(values, (v) => Math.round(v * 100) / 100)

export const sunPathOnWire = (figures: SunPathFigures, timeZone: string): SunPath => ({
  date: figures.date,
  sunrise: instantOrNull(figures.times.sunriseMs, timeZone),
  sunset: instantOrNull(figures.times.sunsetMs, timeZone),
  solarNoon: isoWithOffset(figures.times.solarNoonMs, timeZone),
  time: timeColumn(figures.timeMs),
  azimuthDeg: hundredths(figures.path.azimuthDeg),
  elevationDeg: hundredths(figures.path.elevationDeg),
  possibleSunHours: figures.possibleSunHours,
  lost: figures.lost.map((span) => ({
    from: isoWithOffset(span.fromMs, timeZone),
    to: isoWithOffset(span.toMs, timeZone),
    fromAzimuthDeg: span.fromAzimuthDeg,
    toAzimuthDeg: span.toAzimuthDeg,
  })),
})
