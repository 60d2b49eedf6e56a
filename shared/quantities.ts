/**
 * The one table of what a node can measure: unit, plausible range, decimals, label. A node may send any other
 * quantity too; it is stored and charted as it comes, with no range check.
 */
export interface QuantityInfo {
  readonly id: string
  readonly label: string
  /** unit as shown */
  readonly unit: string
  /** SenML unit of the stored value (RFC 8428 §12.1, RFC 8798) */
  readonly senmlUnit: string
  readonly decimals: number
  /** outside: flagged `range`. Common practice for automatic stations (after WMO-No. 8), widened for beds. */
  readonly minPlausible: number
  readonly maxPlausible: number
  /** a chart shows at least this range */
  readonly softMin: number
  readonly softMax: number
  /** longest time one reading may stand for when nothing else is known, ms (see core/quality/completeness.ts) */
  readonly maxHoldMs: number
}

const MINUTE_MS = 60_000

const table: QuantityInfo[] = [
  {
    id: 'air-temp',
    label: 'air temperature',
    unit: '°C',
    senmlUnit: 'Cel',
    decimals: 1,
    minPlausible: -50,
    maxPlausible: 60,
    softMin: 0,
    softMax: 25,
    maxHoldMs: 90 * MINUTE_MS,
  },
  {
    id: 'soil-temp',
    label: 'soil temperature',
    unit: '°C',
    senmlUnit: 'Cel',
    decimals: 1,
    minPlausible: -30,
    maxPlausible: 50,
    softMin: 0,
    softMax: 25,
    maxHoldMs: 90 * MINUTE_MS,
  },
  {
    id: 'light',
    label: 'light',
    unit: 'lx',
    senmlUnit: 'lx',
    decimals: 0,
    minPlausible: 0,
    maxPlausible: 200_000,
    softMin: 0,
    softMax: 100_000,
    maxHoldMs: 35 * MINUTE_MS,
  },
  // pyranometers read a few W/m² below zero at night (QCRad lower limit −4; some offsets reach −10)
  {
    id: 'irradiance',
    label: 'irradiance',
    unit: 'W/m²',
    senmlUnit: 'W/m2',
    decimals: 0,
    minPlausible: -10,
    maxPlausible: 1_600,
    softMin: 0,
    softMax: 1_000,
    maxHoldMs: 35 * MINUTE_MS,
  },
  {
    id: 'humidity',
    label: 'air humidity',
    unit: '%RH',
    senmlUnit: '%RH',
    decimals: 0,
    minPlausible: 0,
    maxPlausible: 105,
    softMin: 0,
    softMax: 100,
    maxHoldMs: 90 * MINUTE_MS,
  },
  {
    id: 'battery',
    label: 'battery',
    unit: 'V',
    senmlUnit: 'V',
    decimals: 2,
    minPlausible: 0,
    maxPlausible: 30,
    softMin: 3,
    softMax: 4.5,
    maxHoldMs: 24 * 60 * MINUTE_MS,
  },
  {
    id: 'signal',
    label: 'radio signal',
    unit: 'dBm',
    senmlUnit: 'dBm',
    decimals: 0,
    minPlausible: -150,
    maxPlausible: 30,
    softMin: -100,
    softMax: -40,
    maxHoldMs: 24 * 60 * MINUTE_MS,
  },
]

export const QUANTITIES: ReadonlyMap<string, QuantityInfo> = new Map(table.map((q) => [q.id, q]))

/** Longest time one reading of a quantity may stand for, ms. */
export const maxHoldMs = (quantity: string): number => QUANTITIES.get(quantity)?.maxHoldMs ?? 90 * MINUTE_MS
