/**
 * What a reading shows by itself, the moment it arrives: outside what is possible, a driver's word for "no
 * reading", a clock that is wrong, a light sensor at its ceiling. These flags are stored with the reading.
 * What needs neighbours is in context-checks.ts.
 */
import { FLAG } from '../../../shared/quality-flags.js'
import { QUANTITIES } from '../../../shared/quantities.js'

/** A node's clock may run this far ahead before its readings are doubted. Common practice. */
export const FUTURE_TOLERANCE_MS = 10 * 60_000

/**
 * Values that temperature drivers give instead of a reading.
 * 85.0 °C: power-on content of the DS18B20's scratchpad (Maxim DS18B20 data sheet, table "Temperature/Data
 * Relationship"). −127 °C: what common one-wire drivers return for a probe that does not answer.
 * Both also lie outside what air and soil can be, so nothing real is lost.
 */
const TEMPERATURE_SENTINELS_C = [85, -127]
/** Kelvin on the wire and single-precision floats leave a trace; sensors resolve no finer than 0.01 °C. */
const SENTINEL_TOLERANCE_C = 0.005
const TEMPERATURES = new Set(['air-temp', 'soil-temp'])

/**
 * Full-scale values of common light sensors, lx. A reading there says "at least this much".
 * - BH1750 (ROHM data sheet, 16 bit): 65535 / 1.2 × 69 / MTreg; 54,612.5 at the default MTreg 69,
 *   121,556.9 at MTreg 31; half the default in high-resolution mode 2
 * - 65,535: the bare 16-bit count, sent as lux by nodes that do not scale it
 * - VEML7700 (Vishay application note, gain 1/8, 25 ms): 65535 × 1.8432 = 120,796; × 2.1504 = 140,926 after
 *   the 2020s revision of the resolution table (from memory)
 * - OPT3001 (TI data sheet): 83,865.6
 * Any other ceiling shows as a plateau and is found from its neighbours (context-checks.ts).
 */
const LIGHT_CEILINGS_LX = [
  65_535 / 2.4,
  65_535 / 1.2,
  65_535,
  83_865.6,
  65_535 * 1.8432,
  ((65_535 / 1.2) * 69) / 31,
  65_535 * 2.1504,
]
/** Drivers give the value as it is, or rounded or cut to whole lux; another fraction is a reading like any other. */
const isAt = (ceilingLx: number, valueLx: number): boolean =>
  Math.abs(valueLx - ceilingLx) <= 0.06 || (Number.isInteger(valueLx) && Math.abs(valueLx - ceilingLx) < 1)

/**
 * Years in which the clocks of microcontrollers begin when nobody has set them: 1970 (Unix time), 2000 (common
 * real-time clock chips after a flat battery, and MicroPython's epoch). Common practice, no source. A node that sends such
 * times has not learned the time; weather measured in those very years is rarely brought in.
 */
const UNSET_CLOCK_YEARS = [1970, 2000]
const UNSET_CLOCK_SPANS_MS = UNSET_CLOCK_YEARS.map(
  (year) => [Date.UTC(year, 0), Date.UTC(year + 1, 0)] as const,
)
const isUnsetClock = (timeMs: number): boolean =>
  UNSET_CLOCK_SPANS_MS.some(([fromMs, toMs]) => timeMs >= fromMs && timeMs < toMs)

/**
 * Flags of one reading from its own value and times.
 *
 * @param value         in the quantity's own unit, finite
 * @param timeMs        when it was measured, by the node's clock
 * @param receivedAtMs  when the hub got it
 * @param horizonMs     oldest age that a backlog may have; Infinity: any
 * @throws RangeError   if value or a time is not finite (a pack that says so is refused before)
 */
export function arrivalFlags(
  quantity: string,
  value: number,
  timeMs: number,
  receivedAtMs: number,
  horizonMs: number,
): number {
  if (!Number.isFinite(value)) throw new RangeError(`value of ${quantity} is not finite: ${value}`)
  if (!Number.isFinite(timeMs)) throw new RangeError(`time of ${quantity} is not finite: ${timeMs}`)

  let flags = 0
  if (
    timeMs > receivedAtMs + FUTURE_TOLERANCE_MS ||
    timeMs < receivedAtMs - horizonMs ||
    isUnsetClock(timeMs)
  ) {
    flags |= FLAG.clock
  }

  // "no reading" is not a temperature, so it is not judged as one
  if (TEMPERATURES.has(quantity) && isTemperatureSentinel(value)) return flags | FLAG.sentinel

  const info = QUANTITIES.get(quantity)
  if (info && (value < info.minPlausible || value > info.maxPlausible)) flags |= FLAG.range
  if (quantity === 'light' && isLightCeiling(value)) flags |= FLAG.ceiling
  return flags
}

const isTemperatureSentinel = (valueC: number): boolean =>
  TEMPERATURE_SENTINELS_C.some((sentinel) => Math.abs(valueC - sentinel) <= SENTINEL_TOLERANCE_C)

const isLightCeiling = (valueLx: number): boolean =>
  LIGHT_CEILINGS_LX.some((ceilingLx) => isAt(ceilingLx, valueLx))
