/** Hours that readings spent above, or between, temperatures. Only what was measured counts: holes add nothing. */

const HOUR_MS = 3_600_000

/**
 * Hours warmer than a temperature (heat hours, above a crop's ceiling).
 *
 * @param weightsMs  time each reading accounts for, ms (quality/completeness.ts); 0 leaves it out
 */
export function hoursAbove(valueC: Float64Array, weightsMs: Float64Array, aboveC: number): number {
  let ms = 0
  for (let i = 0; i < valueC.length; i++) if (valueC[i]! > aboveC) ms += weightsMs[i]!
  return ms / HOUR_MS
}

/** Hours from one temperature to another, both included (chill, inside a crop's vernalising range). */
export function hoursBetween(
  valueC: Float64Array,
  weightsMs: Float64Array,
  fromC: number,
  toC: number,
): number {
  let ms = 0
  for (let i = 0; i < valueC.length; i++) {
    if (valueC[i]! >= fromC && valueC[i]! <= toC) ms += weightsMs[i]!
  }
  return ms / HOUR_MS
}

/**
 * Heat degree hours: how far above a temperature and for how long, °C·h. Ten hours at 1 °C too warm weigh as
 * much as one hour at 10 °C too warm.
 */
export function degreeHoursAbove(valueC: Float64Array, weightsMs: Float64Array, aboveC: number): number {
  let sum = 0
  for (let i = 0; i < valueC.length; i++) {
    if (valueC[i]! > aboveC) sum += (valueC[i]! - aboveC) * weightsMs[i]!
  }
  return sum / HOUR_MS
}
