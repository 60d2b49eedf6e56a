/** Measured public forecasts with the truth that followed, run through the correction in the order of time. */
import {
  type CorrectedPoint,
  corrected,
  newCorrection,
  withForecast,
  withTruth,
} from '../../../../hub/core/forecast/public-correction.js'
import { loadTidy, loadTruth } from '../../../support/reference-data.js'

export interface IssuedPoint {
  readonly issuedAtMs: number
  readonly validAtMs: number
  readonly forecastC: number
  /** NaN: not measured */
  readonly truthC: number
}

export interface VerifiedPoint extends IssuedPoint {
  readonly corrected: CorrectedPoint
}

/** Every forecast corrected with what was known when it was issued. */
export function correctAll(points: readonly IssuedPoint[]): VerifiedPoint[] {
  const events = points.flatMap((point) => [
    { atMs: point.validAtMs, order: 0, point },
    { atMs: point.issuedAtMs, order: 1, point },
  ])
  events.sort((a, b) => a.atMs - b.atMs || a.order - b.order)
  let state = newCorrection()
  const verified: VerifiedPoint[] = []
  for (const { order, point } of events) {
    if (order === 0) {
      if (Number.isFinite(point.truthC)) state = withTruth(state, point.validAtMs, point.truthC)
      continue
    }
    const asked = [{ validAtMs: point.validAtMs, airTempC: point.forecastC }]
    verified.push({ ...point, corrected: corrected(state, point.issuedAtMs, asked)[0]! })
    state = withForecast(state, point.issuedAtMs, asked)
  }
  return verified
}

export const ECMWF_FILES = {
  '24 h': 'ecmwf-forecast/magdeburg-24h.tidy.csv',
  '48 h': 'ecmwf-forecast/magdeburg48-48h.tidy.csv',
} as const

export const ECMWF_COLUMNS = {
  'high resolution': 'hres_c',
  control: 'ctrl_c',
  'ensemble mean': 'ens_mean_c',
} as const

/** ECMWF forecasts for 12 UTC at Magdeburg, 2002–2014. */
export async function ecmwfPoints(
  lead: keyof typeof ECMWF_FILES,
  kind: keyof typeof ECMWF_COLUMNS,
): Promise<IssuedPoint[]> {
  const rows = await loadTruth(ECMWF_FILES[lead])
  return rows.flatMap((row) => {
    const forecastC = Number(row[ECMWF_COLUMNS[kind]] || 'none')
    if (!Number.isFinite(forecastC)) return []
    return [
      {
        issuedAtMs: Date.parse(row.issued_utc!),
        validAtMs: Date.parse(row.valid_utc!),
        forecastC,
        truthC: Number(row.obs_air_temp_c || 'none'),
      },
    ]
  })
}

/**
 * Four weeks of a town's forecast against a solar house's own air sensor, Valencia 2012, hourly. The file does not say
 * when each value was issued; a day ahead is assumed.
 */
export async function valenciaPoints(): Promise<IssuedPoint[]> {
  const { timeMs, columns } = await loadTidy('sml2010-15min/sml2010-1.tidy.csv.gz')
  const points: IssuedPoint[] = []
  for (const [i, validAtMs] of timeMs.entries()) {
    if (validAtMs % 3_600_000 !== 0) continue
    const forecastC = columns.forecast_air_temp_c![i]!
    if (!Number.isFinite(forecastC)) continue
    points.push({
      issuedAtMs: validAtMs - 24 * 3_600_000,
      validAtMs,
      forecastC,
      truthC: columns.air_temp_c![i]!,
    })
  }
  return points
}
