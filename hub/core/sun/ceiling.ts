/**
 * Sun or bright cloud behind a sensor's ceiling. A ceiling of 54,612 lx (the common default of cheap sensors) lies under
 * the mark between sun and cloud once the sun stands above some 45°, so a reading there cannot tell by itself.
 * Its neighbours can, as a rule: the edge of a cloud takes the sun away within a minute or two, while a bright
 * cover of cloud wanders to the ceiling and back.
 */
import type { SunSeries } from './sun-series.js'

/**
 * An edge is soft when the reading beyond it stands at least this near the ceiling, and only then is it heard when
 * the ceiling lies this far under the mark. Chosen on three months at Lyngby clipped at 42,000, 54,612 and
 * 78,000 lx.
 */
const SOFT = 0.9
const DEEP = 0.1
/** Readings farther apart belong to different runs. */
const LONGEST_GAP_MS = 35 * 60_000

/**
 * Verdict for every reading at the ceiling whose own value lies under the mark: 1 sun, 0 cloud.
 *
 * @param excess     ratio to a clear sky minus the mark, by reading
 * @param reachMs    edges of the run farther away have no say: so long a plateau is a clear sky's
 */
export function sunBehindCeiling(series: SunSeries, excess: Float64Array, reachMs: number): Uint8Array {
  const { timeMs, irradianceWm2, isCeiling } = series
  const n = timeMs.length
  const isSun = new Uint8Array(n)
  const isSoft = (inside: number, outside: number): boolean =>
    excess[inside]! < -DEEP &&
    outside >= 0 &&
    outside < n &&
    Math.abs(timeMs[outside]! - timeMs[inside]!) <= LONGEST_GAP_MS &&
    irradianceWm2[outside]! >= SOFT * irradianceWm2[inside]!
  for (let from = 0; from < n; ) {
    if (isCeiling[from] === 0) {
      from++
      continue
    }
    let to = from
    while (to + 1 < n && isCeiling[to + 1] === 1 && timeMs[to + 1]! - timeMs[to]! <= LONGEST_GAP_MS) to++
    const isSoftBefore = isSoft(from, from - 1)
    const isSoftAfter = isSoft(to, to + 1)
    for (let i = from; i <= to; i++) {
      const softBefore = isSoftBefore && timeMs[i]! - timeMs[from]! <= reachMs
      const softAfter = isSoftAfter && timeMs[to]! - timeMs[i]! <= reachMs
      isSun[i] = softBefore && softAfter ? 0 : 1
    }
    from = to + 1
  }
  return isSun
}
