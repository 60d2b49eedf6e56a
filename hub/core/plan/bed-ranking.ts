/** Which bed: ranked by the sun to expect while heads form, by warmth, and by what grew there in the last years. */
import { daysBetween } from '../../../shared/local-time.js'
import type { Crop } from '../crops/crop.js'
import { meanFit } from './mean-fit.js'
import { familyOf } from './plant-family.js'

export interface FormerPlanting {
  readonly crop: Pick<Crop, 'name' | 'botanical'>
  /** when it came out, or the day asked about where it still stands */
  readonly until: string
  readonly isStanding: boolean
}

export interface BedOffer {
  readonly bed: string
  readonly name: string
  /** mean over the heading days, clouds counted (sun/sun-outlook.ts); null: nothing known of the sky */
  readonly expectedSunHours: number | null
  /** the same under a cloudless sky; null: skyline not known */
  readonly possibleSunHours: number | null
  /** how much warmer than the climate of the plan this bed measures, °C; null: not measured */
  readonly warmerByC: number | null
  readonly former: readonly FormerPlanting[]
}

export interface RankedBed {
  readonly bed: string
  readonly name: string
  /** 0 to 1, for the order only */
  readonly score: number
  /** sentences for the page, what speaks most first */
  readonly reasons: readonly string[]
  /** the newest planting of the same family within the years of rotation; null: none */
  readonly sameFamily: { readonly cropName: string; readonly until: string } | null
}

/** Full sun: six hours and more; below three nothing heads. Common practice. */
const FULL_SUN_HOURS = 6
const LEAST_SUN_HOURS = 3
/** Part of the cloudless hours that an unknown sky is taken to let through, for the order of beds only: about a half. */
const USUAL_CLEAR_PART = 0.55
/**
 * Years to keep a family away: "where you have not grown cabbage … for the last four years" (Univ. Minnesota Extension,
 * Growing cabbage in home gardens); other advisers say three.
 */
export const ROTATION_YEARS = 4
/** Clubroot spores wait longer than a grower can; the year after is the worst. First guesses, for the order of beds. */
const SAME_FAMILY_AT_ONCE = 0.5
const DAYS_A_YEAR = 365.25

/**
 * Ranks beds for a crop, the best first; of equals in the order given.
 *
 * @param headingMeanC  usual mean temperature while heads form (SowingWeek.headingMeanC); null: leave warmth out
 * @param plantingOn    day of planting, from which former plantings are counted back
 */
export function rankBeds(
  crop: Crop,
  headingMeanC: number | null,
  plantingOn: string,
  offers: readonly BedOffer[],
): RankedBed[] {
  return offers
    .map((offer): RankedBed => {
      const sun = sunPart(offer)
      const warmth = warmthPart(crop, headingMeanC, offer)
      const rotation = rotationPart(crop, plantingOn, offer)
      return {
        bed: offer.bed,
        name: offer.name,
        score: sun.part * warmth.part * rotation.part,
        reasons: [rotation, sun, warmth].flatMap(({ words }) => words ?? []),
        sameFamily: rotation.same,
      }
    })
    .sort((a, b) => b.score - a.score)
}

interface Part {
  readonly part: number
  readonly words: string | null
}

function sunPart({ expectedSunHours, possibleSunHours }: BedOffer): Part {
  const hours = expectedSunHours ?? (possibleSunHours === null ? null : possibleSunHours * USUAL_CLEAR_PART)
  if (hours === null) return { part: 0.5, words: 'Its sun is not known yet.' }
  // a cloudy place has few hours in every bed: what counts is what the bed could get
  const reach = possibleSunHours ?? hours
  const part = Math.max(0.05, Math.min(1, (reach - LEAST_SUN_HOURS) / (FULL_SUN_HOURS - LEAST_SUN_HOURS)))
  const clear = possibleSunHours === null ? '' : `${possibleSunHours.toFixed(1)} h of sun on a clear day`
  const expected = expectedSunHours === null ? '' : `${expectedSunHours.toFixed(1)} h to expect`
  const figures = [clear, expected].filter((text) => text !== '').join(', ')
  return {
    // beds that all reach full sun are still told apart by what they get
    part: part * (1 - 0.2 / (1 + hours)),
    words: `While it forms: ${figures}${reach < FULL_SUN_HOURS ? `, short of ${FULL_SUN_HOURS}` : ''}.`,
  }
}

function warmthPart(crop: Crop, headingMeanC: number | null, { warmerByC }: BedOffer): Part {
  if (headingMeanC === null || warmerByC === null) return { part: 1, words: null }
  const usual = meanFit(crop, headingMeanC)
  const here = meanFit(crop, headingMeanC + warmerByC)
  const words =
    Math.abs(warmerByC) < 0.5
      ? null
      : `Measured ${Math.abs(warmerByC).toFixed(1)} °C ${warmerByC > 0 ? 'warmer' : 'cooler'} than the rest: ${here >= usual ? 'good for this crop then' : 'no help for this crop then'}.`
  return { part: Math.max(0.05, here), words }
}

function rotationPart(
  crop: Crop,
  plantingOn: string,
  { former }: BedOffer,
): Part & { same: RankedBed['sameFamily'] } {
  const family = familyOf(crop)
  if (family === null) return { part: 1, words: null, same: null }
  const newest = former
    .filter((one) => familyOf(one.crop)?.botanical === family.botanical)
    .map((one) => ({ ...one, years: daysBetween(one.until, plantingOn) / DAYS_A_YEAR }))
    .filter(({ years }) => years < ROTATION_YEARS)
    .reduce<(FormerPlanting & { years: number }) | null>(
      (a, b) => (a === null || b.until > a.until ? b : a),
      null,
    )
  if (newest === null) return { part: 1, words: null, same: null }
  const part = SAME_FAMILY_AT_ONCE + (1 - SAME_FAMILY_AT_ONCE) * Math.max(0, newest.years / ROTATION_YEARS)
  return {
    part,
    words: `The ${family.name} ${newest.isStanding ? 'still stands here' : `grew here until ${newest.until}`} (${newest.crop.name.toLowerCase()}): ${ROTATION_YEARS} years between keep ${family.trouble} down.`,
    same: { cropName: newest.crop.name, until: newest.until },
  }
}
