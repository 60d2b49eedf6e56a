/**
 * SenML units (RFC 8428 §12.1; secondary ones RFC 8798 §3) of the quantities we know, turned into the unit that
 * is stored, once, here at the edge. Light is not converted to irradiance or the other way.
 */
import { QUANTITIES } from '../../shared/quantities.js'

interface Conversion {
  readonly scale: number
  readonly offset: number
}

const AS_IT_IS: Conversion = { scale: 1, offset: 0 }

/** stored unit → unit sent → how; the stored unit itself needs no row */
const CONVERSIONS: Readonly<Record<string, Readonly<Record<string, Conversion>>>> = {
  // RFC 8428 table 6: K and Cel; 273.15 is exact (BIPM, SI brochure)
  Cel: { K: { scale: 1, offset: -273.15 } },
  // RFC 8428 table 6: "/" is a ratio; %RH is 100 times it
  '%RH': { '/': { scale: 100, offset: 0 } },
  // RFC 8798 table 2: 1 mV = 1/1000 V
  V: { mV: { scale: 1 / 1000, offset: 0 } },
  // RFC 8798 table 2: x dBm = x − 30 dBW
  dBm: { dBW: { scale: 1, offset: 30 } },
  // RFC 8798 has kW but no kW/m2
  'W/m2': {},
  lx: {},
}

/**
 * Value in the unit its quantity is stored in.
 *
 * @returns null when a known quantity comes in a unit that it does not have. A quantity that is not known, and
 *          one that comes without unit, is taken as it is: without unit, the documented one is meant (RFC 8428 §4.5.2
 *          leaves it to the application).
 */
export function toStoredUnit(quantity: string, unit: string | null, value: number): number | null {
  const conversion = conversionFor(quantity, unit)
  if (conversion === AS_IT_IS) return value
  // a scale of 1/1000 is not exact in binary; dividing is
  if (conversion && conversion.scale < 1) return value / Math.round(1 / conversion.scale) + conversion.offset
  return conversion ? value * conversion.scale + conversion.offset : null
}

function conversionFor(quantity: string, unit: string | null): Conversion | undefined {
  const stored = QUANTITIES.get(quantity)?.senmlUnit
  if (stored === undefined || unit === null || unit === stored) return AS_IT_IS
  const known = CONVERSIONS[stored]
  return known && Object.hasOwn(known, unit) ? known[unit] : undefined
}

/** Units a known quantity may come in, for the message of a refusal. */
export function acceptedUnits(quantity: string): string[] {
  const stored = QUANTITIES.get(quantity)?.senmlUnit
  return stored === undefined ? [] : [stored, ...Object.keys(CONVERSIONS[stored] ?? {})]
}
