/** How this reader likes figures: °C or °F, metres or feet, a 24- or 12-hour clock. Kept by the browser, first guess by its locale. */
import { type Signal, signal } from '@preact/signals'
import type { LengthUnit } from '../format/lengths.js'
import type { ClockStyle } from '../format/local-clock.js'
import type { TempUnit } from '../format/units.js'

/** Regions that read weather in Fahrenheit (Unicode CLDR, temperature unit preference). */
const FAHRENHEIT_REGIONS = new Set(['US', 'PR', 'VI', 'GU', 'BS', 'BZ', 'KY', 'PW', 'FM', 'MH', 'LR'])

/** Regions that measure in feet and pounds (Unicode CLDR, measurement system US). */
const FEET_REGIONS = new Set(['US', 'PR', 'VI', 'GU', 'AS', 'MP', 'LR'])

function kept(key: string): string | null {
  try {
    return localStorage.getItem(key)
  } catch {
    // storage may be forbidden (private windows): then nothing is remembered, and all else works
    return null
  }
}

function keep(key: string, value: string): void {
  try {
    localStorage.setItem(key, value)
  } catch {
    // as above
  }
}

function guessUnit(): TempUnit {
  const region = new Intl.Locale(navigator.language).region
  return region !== undefined && FAHRENHEIT_REGIONS.has(region) ? 'F' : 'C'
}

function guessLength(): LengthUnit {
  const region = new Intl.Locale(navigator.language).region
  return region !== undefined && FEET_REGIONS.has(region) ? 'ft' : 'm'
}

function guessClock(): ClockStyle {
  const isTwelve = new Intl.DateTimeFormat(navigator.language, { hour: 'numeric' }).resolvedOptions().hour12
  return isTwelve === true ? '12' : '24'
}

const keptUnit = kept('hearting.temperature')
const keptClock = kept('hearting.clock')
const keptLength = kept('hearting.length')

export const tempUnit: Signal<TempUnit> = signal(
  keptUnit === 'C' || keptUnit === 'F' ? keptUnit : guessUnit(),
)
export const lengthUnit: Signal<LengthUnit> = signal(
  keptLength === 'm' || keptLength === 'ft' ? keptLength : guessLength(),
)
export const clockStyle: Signal<ClockStyle> = signal(
  keptClock === '24' || keptClock === '12' ? keptClock : guessClock(),
)

export function chooseTempUnit(unit: TempUnit): void {
  tempUnit.value = unit
  keep('hearting.temperature', unit)
}

export function chooseLengthUnit(unit: LengthUnit): void {
  lengthUnit.value = unit
  keep('hearting.length', unit)
}

export function chooseClock(style: ClockStyle): void {
  clockStyle.value = style
  keep('hearting.clock', style)
}
