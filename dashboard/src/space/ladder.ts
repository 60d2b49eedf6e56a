/** Spacings to set side by side: round figures of the reader's tape about the one chosen. */
import { INCH_M, type LengthUnit } from '../format/lengths.js'

const CENTIMETRES = [2, 3, 4, 5, 7.5, 10, 12.5, 15, 20, 25, 30, 35, 40, 45, 50, 60, 75, 90, 120, 150]
const INCHES = [1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 24, 30, 36, 48, 60]
const AT_EACH_SIDE = 3
/** The hub lays out no more plants than these. */
const MOST_PLANTS = 20_000

/** @returns metres, ascending; the nearest figure to the usual spacing in the midst */
export function spacingLadder(usualM: number, areaM2: number, unit: LengthUnit): number[] {
  const steps =
    unit === 'm' ? CENTIMETRES.map((cm) => cm / 100) : INCHES.map((inches) => (inches * 254) / 10_000)
  const nearest = steps.reduce(
    (best, m, i) => (Math.abs(m - usualM) < Math.abs(steps[best]! - usualM) ? i : best),
    0,
  )
  return steps
    .slice(Math.max(0, nearest - AT_EACH_SIDE), nearest + AT_EACH_SIDE + 1)
    .filter((m) => areaM2 / m ** 2 <= MOST_PLANTS)
}

/** One step closer or wider on the tape, m: a centimetre or an inch, half of that below 15 cm. */
export function nextSpacingM(spacingM: number, towards: 1 | -1, unit: LengthUnit): number {
  const whole = unit === 'm' ? 0.01 : INCH_M
  const step = spacingM < 0.15 ? whole / 2 : whole
  // onto the tape's marks first
  const marks = spacingM / step
  const next = towards === 1 ? Math.floor(marks + 1e-6) + 1 : Math.ceil(marks - 1e-6) - 1
  return Math.round(Math.min(5, Math.max(step, next * step)) * 1e6) / 1e6
}
