/**
 * The course of a day's temperature as each daily method imagines it. Every method is one curve; all that
 * degree days need of a curve is the area it has above a temperature and the part of the day it spends there.
 * Any unit of temperature will do, so long as it is one.
 *
 * Formulas: Zalom, Goodell, Wilson, Barnett & Bentley 1983, Degree-days: the calculation and use of heat units
 * in pest management, Univ. California DANR Leaflet 21373, tables 3 to 6; the sine curve after Baskerville &
 * Emin 1969, Ecology 50:514.
 */
export interface DayCurve {
  /** area between the curve and this temperature, where the curve is above it; degrees × days, ≥ 0 */
  areaAbove(temp: number): number
  /** part of the day at or above this temperature, 0 to 1 */
  fractionAbove(temp: number): number
}

/** The whole day at one temperature: the mean of minimum and maximum. */
export function meanCurve(min: number, max: number): DayCurve {
  const mean = (min + max) / 2
  return {
    areaAbove: (temp) => Math.max(0, mean - temp),
    fractionAbove: (temp) => (mean >= temp ? 1 : 0),
  }
}

/** Half the day at the minimum, half at the maximum: what clamping both before taking the mean amounts to. */
export function squareCurve(min: number, max: number): DayCurve {
  return {
    areaAbove: (temp) => (Math.max(0, min - temp) + Math.max(0, max - temp)) / 2,
    fractionAbove: (temp) => ((min >= temp ? 1 : 0) + (max >= temp ? 1 : 0)) / 2,
  }
}

/** Straight up from minimum to maximum and straight down again. */
export function triangleCurve(min: number, max: number): DayCurve {
  const range = max - min
  return {
    areaAbove: (temp) => {
      if (temp <= min) return (min + max) / 2 - temp
      if (temp >= max) return 0
      return (max - temp) ** 2 / (2 * range)
    },
    fractionAbove: (temp) => {
      if (temp <= min) return 1
      if (temp >= max) return 0
      return (max - temp) / range
    },
  }
}

/** One full sine wave between minimum and maximum. */
export function sineCurve(min: number, max: number): DayCurve {
  const mean = (min + max) / 2
  const amplitude = (max - min) / 2
  return {
    areaAbove: (temp) => {
      if (temp <= min) return mean - temp
      if (temp >= max) return 0
      const angle = Math.asin((temp - mean) / amplitude)
      return ((mean - temp) * (Math.PI / 2 - angle) + amplitude * Math.cos(angle)) / Math.PI
    },
    fractionAbove: (temp) => {
      if (temp <= min) return 1
      if (temp >= max) return 0
      return 0.5 - Math.asin((temp - mean) / amplitude) / Math.PI
    },
  }
}

/** Two half days, as the double methods have them: up from this morning's minimum, down to tomorrow's. */
export function halvesCurve(first: DayCurve, second: DayCurve): DayCurve {
  return {
    areaAbove: (temp) => (first.areaAbove(temp) + second.areaAbove(temp)) / 2,
    fractionAbove: (temp) => (first.fractionAbove(temp) + second.fractionAbove(temp)) / 2,
  }
}

/**
 * The curve that was measured: readings, each for the time it accounts for. The mean over the time covered
 * stands for the whole day.
 *
 * @param weights  time of each reading in any unit (quality/completeness.ts), 0: leave it out
 * @returns null where no time is covered
 */
export function measuredCurve(value: Float64Array, weights: Float64Array): DayCurve | null {
  let total = 0
  for (const weight of weights) total += weight
  if (total === 0) return null
  return {
    areaAbove: (temp) => {
      let area = 0
      for (let i = 0; i < value.length; i++) {
        if (value[i]! > temp) area += (value[i]! - temp) * weights[i]!
      }
      return area / total
    },
    fractionAbove: (temp) => {
      let time = 0
      for (let i = 0; i < value.length; i++) if (value[i]! >= temp) time += weights[i]!
      return time / total
    },
  }
}
