/**
 * What weeks of a light sensor's own light say of it (core/sun/sensor-faults.ts), as findings: dirt or a leaf on the
 * dome, a sensor that leans, one that is covered, a clock that is off. Part of the rule sensor-fault. Pure.
 */

import type { Place, ReadingColumns } from '../core/readings.js'
import { NO_READINGS } from '../core/readings.js'
import { bedLight } from '../core/sun/bed-light.js'
import type { SensorFault } from '../core/sun/sensor-faults.js'
import { sunSeries } from '../core/sun/sun-series.js'
import { capital } from '../core/words.js'
import type { Finding, NodeView, RuleContext } from './rule.js'
import { hours, lengthOfTime, moment } from './wording.js'

type LightFinding = Pick<Finding, 'severity' | 'headline' | 'why' | 'advice'> & { readonly name: string }

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
/** A change that the grower has not acted on for so long is how the sensor is now. */
const CHANGE_NEWS_MS = 21 * DAY_MS
/** A gain that comes back to within this of an earlier one was cleaned. */
const BACK = 0.1
/** Less light than this, relative to a clear sky's, for hours: something lies on the sensor (core/sun/sun-states.ts). */
const COVERED_RATIO = 0.015
const COVERED_FROM_DEG = 10
const COVERED_MS = 3 * HOUR_MS

/** @returns findings with their short names, which tell causes of one sensor apart */
export function lightFindings(view: NodeView, context: RuleContext): LightFinding[] {
  const who = `the light sensor of ${view.node.name} (${view.bed.name})`
  const found: LightFinding[] = []
  const covered = coveredFor(view.recent, context)
  if (covered !== null) {
    found.push({
      name: 'light-covered',
      severity: 'Moderate',
      headline: `Something covers ${who}`,
      why: `For ${hours(covered.ms / HOUR_MS)} of daylight, up to ${moment(covered.lastMs, context.garden.timeZone)}, it saw less than a hundredth of a clear sky’s light: darker than any thunderstorm. These hours are left out of sun hours.`,
      advice: 'See whether it lies face down, under snow, a pot or a leaf, and set it level and free again.',
    })
  }
  for (const fault of view.light?.faults ?? []) {
    const finding = learnedFinding(fault, view, who, context)
    if (finding) found.push(finding)
  }
  return found
}

function learnedFinding(
  fault: SensorFault,
  view: NodeView,
  who: string,
  { nowMs, garden }: RuleContext,
): LightFinding | null {
  switch (fault.kind) {
    case 'gain-changed': {
      const changes = view.light?.gain.changes ?? []
      const isLast = changes.at(-1)?.beforeMs === fault.beforeMs
      const isBack = changes.some(
        (c) => c.beforeMs < fault.beforeMs && Math.abs(c.from / fault.to - 1) < BACK,
      )
      if (!isLast || isBack || nowMs - fault.beforeMs > CHANGE_NEWS_MS) return null
      const percent = Math.round(Math.abs(fault.to / fault.from - 1) * 100)
      const isLess = fault.to < fault.from
      return {
        name: 'light-gain',
        severity: 'Minor',
        headline: `${capital(who)} reads ${percent} % ${isLess ? 'less' : 'more'} than before`,
        why: `Under the clear skies since ${moment(fault.beforeMs, garden.timeZone)} it shows ${percent} % ${isLess ? 'less' : 'more'} light than under those up to ${moment(fault.afterMs, garden.timeZone)}. Sun hours allow for it; plant light does not.`,
        advice: isLess
          ? 'Wipe the dome, take off what lies on it, and see whether it still lies level.'
          : 'See whether it still lies level, and whether its dome is still on. If you have cleaned it, all is well.',
      }
    }
    case 'leaning': {
      const percent = Math.round(Math.abs(fault.morningOverAfternoon - 1) * 100)
      const isMorning = fault.morningOverAfternoon > 1
      return {
        name: 'light-leaning',
        severity: 'Minor',
        headline: `${capital(who)} seems to lean`,
        why: `On clear days it shows ${percent} % ${isMorning ? 'more' : 'less'} light before noon than after it, where a level sensor shows the same.`,
        advice: `It leans towards the ${isMorning ? 'east' : 'west'}: set it level, with a spirit level across its top.`,
      }
    }
    case 'clock-off': {
      const length = lengthOfTime(Math.abs(fault.offsetMinutes) * 60_000)
      return {
        name: 'clock-offset',
        severity: 'Moderate',
        headline: `The clock of ${view.node.name} (${view.bed.name}) is ${fault.offsetMinutes > 0 ? 'ahead' : 'behind'} by about ${length}`,
        why: `Dawn and dusk in its light come ${length} ${fault.offsetMinutes > 0 ? 'late' : 'early'} by its own clock, day after day. Its sun and shade are looked for in the wrong place.`,
        advice:
          'Let the node count time in UTC, without summer time, and set its clock from the network (NTP); or leave times out of what it sends.',
      }
    }
    // the first is told sooner from the last day's light, the second by the rule for ceilings
    case 'covered':
    case 'ceiling-low':
      return null
  }
}

/** For how long of daylight the sensor has been dark, if it still is at its newest daylight reading; null: it is not. */
function coveredFor(
  recent: ReadonlyMap<string, ReadingColumns>,
  { garden }: RuleContext,
): { readonly ms: number; readonly lastMs: number } | null {
  const place: Place = garden
  const series = sunSeries(
    bedLight({
      light: recent.get('light') ?? NO_READINGS,
      irradiance: recent.get('irradiance') ?? NO_READINGS,
    }),
    place,
  )
  let ms = 0
  let lastMs: number | null = null
  for (let i = series.timeMs.length - 1; i >= 0; i--) {
    if (series.elevationDeg[i]! < COVERED_FROM_DEG) continue
    if (series.clearRatio[i]! >= COVERED_RATIO) break
    lastMs ??= series.timeMs[i]!
    ms += series.weightMs[i]!
  }
  return lastMs !== null && ms >= COVERED_MS ? { ms, lastMs } : null
}
