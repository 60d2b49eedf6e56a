/** A garden as rules see it, built up by a test: quiet unless the test says otherwise. */

import { doseAgainst } from '../../hub/core/crops/dose.js'
import { findCrop } from '../../hub/core/crops/library.js'
import { stageMarks } from '../../hub/core/crops/stages.js'
import { COMPLETE_COVERAGE } from '../../hub/core/quality/completeness.js'
import { NO_READINGS, type ReadingColumns } from '../../hub/core/readings.js'
import type { BedView, NodeView, PlantingView, RuleContext } from '../../hub/warnings/rule.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import { addDays, localDate } from '../../shared/local-time.js'

export const MINUTE_MS = 60_000
export const HOUR_MS = 60 * MINUTE_MS
/** 12:00 in the garden */
export const NOW_MS = Date.parse('2027-06-15T10:00:00Z')

/** @param parts  `open`: causes of warnings that have been measured; `expected`: of such as are only expected */
export function contextOf(
  parts: Partial<RuleContext> & { open?: readonly string[]; expected?: readonly string[] } = {},
): RuleContext {
  const { open = [], expected = [], ...rest } = parts
  const nowMs = parts.nowMs ?? NOW_MS
  return {
    garden: {
      id: 'home',
      name: 'Home',
      latitudeDeg: 55.7,
      longitudeDeg: 12.5,
      elevationM: 20,
      timeZone: 'Europe/Copenhagen',
    },
    nowMs,
    date: localDate(nowMs, 'Europe/Copenhagen'),
    beds: [],
    nodes: [],
    isOpen: (cause, as) => open.includes(cause) || (as === undefined && expected.includes(cause)),
    ...rest,
  }
}

export function bedView(parts: Partial<BedView> = {}): BedView {
  return {
    bed: { id: 'south', name: 'South bed', kind: 'raised', lengthM: 2, widthM: 1, depthM: 0.3 },
    plantings: [],
    days: [],
    airTemp: NO_READINGS,
    night: { sunsetMs: null, sunriseMs: null },
    ahead: null,
    sowings: [],
    sunHistory: { clearDays: [], reachableHours: null, days: 21, budget: null, sky: null },
    ...parts,
  }
}

export function plantingView(
  crop: string,
  parts: Partial<PlantingView> & { stage?: string } = {},
): PlantingView {
  const { stage = 'leafing', ...rest } = parts
  const known = findCrop(crop) ?? null
  const mark = known ? stageMarks(known, 'planted-out').find((m) => m.stage === stage) : undefined
  return {
    planting: {
      id: `p-${crop}`,
      bed: 'south',
      crop,
      variety: null,
      sownOn: null,
      plantedOutOn: '2027-04-10',
      plants: 9,
      spacingM: 0.4,
      finishedOn: null,
    },
    progress: {
      planting: `p-${crop}`,
      cropName: known?.name ?? crop,
      degreeDaysC: mark?.degreeDaysC ?? 0,
      coverage: 1,
      since: '2027-04-10',
      stage,
      stageName: mark?.name ?? stage,
      bbch: mark?.bbch ?? '',
      basis: 'first guess from degree days',
      stages: [],
    },
    crop: known,
    name: known?.name.toLowerCase() ?? crop,
    headingDays: [],
    toHeadingC: null,
    doses: {
      heat:
        known?.heat && rest.headingDays
          ? doseAgainst(
              rest.headingDays.reduce((sum, day) => sum + (day.heatHours ?? 0), 0),
              'h',
              known.heat.watchHours,
              known.heat.likelyHours,
              rest.headingDays.filter((day) => day.heatHours === null || day.airCoverage < COMPLETE_COVERAGE)
                .length,
            )
          : null,
      chill: null,
      warmDays: null,
    },
    dayLengthHours: 17.5,
    ...rest,
  }
}

export function nodeView(parts: Partial<NodeView> = {}): NodeView {
  return {
    node: { id: 'n1', name: 'First node' },
    bed: bedView().bed,
    placedSinceMs: NOW_MS - 100 * 24 * HOUR_MS,
    lastMs: NOW_MS - MINUTE_MS,
    lastReceivedMs: NOW_MS - MINUTE_MS,
    listeningSinceMs: NOW_MS - 24 * HOUR_MS,
    spacingMs: MINUTE_MS,
    recent: new Map(),
    light: null,
    wrongClock: null,
    ...parts,
  }
}

/** Day records that end on a date, one a maximum, with the rest as on a mild day. */
export function daysEnding(
  lastDate: string,
  maximaC: readonly (number | null)[],
  rest: Partial<DayRecord> = {},
): DayRecord[] {
  return maximaC.map((airTempMaxC, i) => ({
    date: addDays(lastDate, i + 1 - maximaC.length),
    sunHours: 8,
    possibleSunHours: 16,
    sunCoverage: 1,
    dliMolM2: 40,
    airTempMinC: 12,
    airTempMaxC,
    airTempMeanC: 18,
    airCoverage: 1,
    soilTempMinC: 14,
    soilTempMaxC: 18,
    soilTempMeanC: 16,
    soilCoverage: 1,
    degreeDaysC: 12,
    heatHours: 0,
    chillHours: 0,
    provisional: false,
    ...rest,
  }))
}

/** Readings up to `lastMs`, the last value last. */
export function columns(
  lastMs: number,
  spacingMs: number,
  values: readonly number[],
  flags: (i: number) => number = () => 0,
): ReadingColumns {
  const n = values.length
  return {
    timeMs: Float64Array.from(values, (_, i) => lastMs - (n - 1 - i) * spacingMs),
    value: Float64Array.from(values),
    flags: Uint16Array.from(values, (_, i) => flags(i)),
  }
}
