/** The planting form's address with values put in: how a plan, or the page about space, hands on what it found. */
import { isDate } from '../../../shared/local-time.js'

export interface PlantingPrefill {
  /** a crop's id */
  readonly crop?: string | null
  /** a bed's id */
  readonly bed?: string | null
  readonly variety?: string | null
  readonly spacingM?: number | null
  readonly plants?: number | null
  /** YYYY-MM-DD, past or future */
  readonly sownOn?: string | null
  readonly plantedOutOn?: string | null
}

const NAMES = ['crop', 'bed', 'variety', 'spacingM', 'plants', 'sownOn', 'plantedOutOn'] as const

/**
 * @returns the address of the form for a new planting with these values in it; what is null or left out stays as the form
 *          itself begins
 */
export function plantingFormPath(prefill: PlantingPrefill): string {
  const query = new URLSearchParams()
  for (const name of NAMES) {
    const value = prefill[name]
    if (value !== null && value !== undefined && value !== '') query.set(name, String(value))
  }
  const text = query.toString()
  return text === '' ? '/garden' : `/garden?${text}`
}

/**
 * Reads such an address. What is not of the kind its name says is left out: the form is the place to be told of mistakes, and
 * an old or mistyped link should still open it.
 *
 * @returns null where the address asks for nothing
 */
export function prefillFrom(search: string): PlantingPrefill | null {
  const query = new URLSearchParams(search)
  if (!NAMES.some((name) => query.has(name))) return null
  const text = (name: string): string | null => query.get(name)?.slice(0, 80) || null
  const date = (name: string): string | null => {
    const value = query.get(name) ?? ''
    return isDate(value) ? value : null
  }
  const positive = (name: string): number | null => {
    const value = Number(query.get(name) ?? Number.NaN)
    return value > 0 && Number.isFinite(value) ? value : null
  }
  const plants = positive('plants')
  return {
    crop: text('crop'),
    bed: text('bed'),
    variety: text('variety'),
    spacingM: positive('spacingM'),
    plants: plants === null ? null : Math.round(plants),
    sownOn: date('sownOn'),
    plantedOutOn: date('plantedOutOn'),
  }
}
