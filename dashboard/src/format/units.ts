/**
 * Figures as the grower reads them: temperature in °C or °F, a true minus sign, thousands parted, and never more
 * decimals than the sensor deserves. Inside the page every temperature stays in °C; it is turned here, at the edge.
 */
import { QUANTITIES } from '../../../shared/quantities.js'

export type TempUnit = 'C' | 'F'

export const toFahrenheit = (tempC: number): number => tempC * 1.8 + 32

/** Is this unit a temperature that follows the °C/°F switch? */
export const isTemperature = (unit: string): boolean => unit === '°C' || unit === 'Cel'

/** A value of any unit in the unit shown: only temperatures change. */
export function toShown(value: number, unit: string, tempUnit: TempUnit): number {
  return isTemperature(unit) && tempUnit === 'F' ? toFahrenheit(value) : value
}

/** The unit as shown, e.g. '°F', 'lx', '%RH'. */
export function shownUnit(unit: string, tempUnit: TempUnit): string {
  if (isTemperature(unit)) return tempUnit === 'F' ? '°F' : '°C'
  return unit
}

/** A number in print: fixed decimals, true minus, thousands parted by a thin space from five digits on. */
export function figure(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals)
  const [whole = '', fraction] = text.split('.')
  const parted = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, '\u202f') : whole
  const sign = value < 0 && Number(text) !== 0 ? '\u2212' : ''
  return `${sign}${parted}${fraction === undefined ? '' : `.${fraction}`}`
}

/** Decimals of a quantity; two for one the hub does not know. */
export const decimalsOf = (quantity: string): number => QUANTITIES.get(quantity)?.decimals ?? 2

/** Light of five and more digits to the hundred: no lux sensor knows better. */
export const rounded = (value: number, unit: string): number =>
  unit === 'lx' && Math.abs(value) >= 10_000 ? Math.round(value / 100) * 100 : value

/** A reading with its unit, e.g. '15.4 °C', '38 100 lx'. */
export function showValue(quantity: string, unit: string, value: number, tempUnit: TempUnit): string {
  const text = figure(rounded(toShown(value, unit, tempUnit), unit), decimalsOf(quantity))
  const suffix = shownUnit(unit, tempUnit)
  return suffix === '' ? text : `${text}\u00a0${suffix}`
}

/** A temperature with its unit, e.g. '−3.2 °C'. */
export function showTemperature(tempC: number, tempUnit: TempUnit): string {
  return showValue('air-temp', '°C', tempC, tempUnit)
}

/** A day's range with the unit said once, e.g. '6.1 to 17.9 °C'; null where either end is unknown. */
export function showTemperatureRange(
  minC: number | null,
  maxC: number | null,
  tempUnit: TempUnit,
): string | null {
  if (minC === null || maxC === null) return null
  return `${figure(toShown(minC, '°C', tempUnit), 1)} to ${showTemperature(maxC, tempUnit)}`
}

/** Degree days follow the switch as a difference does: 10 °C·d are 18 °F·d. */
export const shownDegreeDays = (degreeDaysC: number, tempUnit: TempUnit): number =>
  tempUnit === 'F' ? degreeDaysC * 1.8 : degreeDaysC

/** Sums of a season need no tenths. */
export function showDegreeDays(degreeDaysC: number, tempUnit: TempUnit): string {
  const shown = shownDegreeDays(degreeDaysC, tempUnit)
  return `${figure(shown, shown >= 100 ? 0 : 1)}\u00a0${tempUnit === 'F' ? '°F·d' : '°C·d'}`
}

const TEMPERATURE =
  /(?:(^|[\s(])([\u2212-]?)(\d+)(?:\.(\d+))?( to | and | or |–))?(±\s?|give or take )?([\u2212-]?)(\d+)(?:\.(\d+))?([\s\u00a0])°C(·d| warmer| cooler)?/g

/**
 * A sentence of the hub, which speaks in °C, with its temperatures in the unit shown, to as many decimals:
 * 'above 27.0 °C' is 'above 80.6 °F', '15 to 20 °C' is '59 to 68 °F'. What follows '±' or 'give or take' is a difference,
 * and so are '1.2 °C warmer' and degree days.
 */
export function temperaturesInText(text: string, tempUnit: TempUnit): string {
  if (tempUnit === 'C') return text
  return text.replace(
    TEMPERATURE,
    (
      _,
      before = '',
      fromMinus = '',
      from: string | undefined,
      fromPart = '',
      between = '',
      margin: string | undefined,
      minus: string,
      whole: string,
      part = '',
      blank: string,
      rest = '',
    ) => {
      const isDifference = margin !== undefined || rest !== ''
      const shown = (sign: string, digits: string, decimals: string): string => {
        const valueC = Number(`${sign === '' ? '' : '-'}${digits}.${decimals || 0}`)
        const places = margin !== undefined && rest === '' ? Math.max(1, decimals.length) : decimals.length
        return figure(isDifference ? valueC * 1.8 : toFahrenheit(valueC), places)
      }
      const start = from === undefined ? '' : `${before}${shown(fromMinus, from, fromPart)}${between}`
      return `${start}${margin ?? ''}${shown(minus, whole, part)}${blank}°F${rest}`
    },
  )
}

/** What a quantity is called: its label, or its own name with blanks for hyphens. */
export const labelOf = (quantity: string): string =>
  QUANTITIES.get(quantity)?.label ?? quantity.replaceAll('-', ' ')

/** A fraction as a whole percentage, never rounded up to 100. */
export const percent = (part: number): string => `${part < 1 ? Math.floor(part * 100) : 100}\u00a0%`

/** A length, metres without needless zeros: '2.4', '1'. */
export const metres = (m: number): string => String(Math.round(m * 100) / 100)
