/** Temperatures and degree days that several crops share, and the rule by which packet days become degree days. */
import { derived, fromPractice, published, type Sourced, type StageDegreeDays, type Start } from './crop.js'

/**
 * One base for all crops here. Published bases for cool-season vegetables scatter from 0 to 7 °C (SWAT+ plant table:
 * cabbage 1, broccoli 4, cauliflower 5, spinach 4, celery 4, pea 5, lettuce 7, radish 7; Tan et al. 2000, Sci. Hort. 84:227:
 * broccoli 0; Wurr & Fellows: crisp lettuce 0). 40 °F is what growers' degree-day tables use, sits in the middle, and lets a
 * bed's day records serve every crop in it. Targets on the same base are learned from the grower's own harvests.
 */
export const BASE_C = fromPractice(
  4.4,
  '40 °F, the base of growers’ tables for cool-season crops; published bases run from 0 to 7 °C',
)
export const UPPER_C = fromPractice(
  26.7,
  '80 °F with horizontal cut-off; above it cool-season crops grow no faster',
)

const KNOTT =
  'Knott’s Handbook for Vegetable Growers, 4th ed. 1997, monthly mean temperatures for best growth'
/** 60 to 65 °F */
export const KNOTT_BEST = { from: published(15.6, KNOTT), to: published(18.3, KNOTT) }
/** hardier group: 40 to 75 °F */
export const KNOTT_MIN_HARDY = published(4.4, KNOTT)
/** less hardy group: 45 to 75 °F */
export const KNOTT_MIN_TENDER = published(7.2, KNOTT)
export const KNOTT_MAX = published(23.9, KNOTT)

/** Middle of the best range: the weather in which packet days hold. */
const PACKET_MEAN_C = 17
const PER_PACKET_DAY = PACKET_MEAN_C - BASE_C.value

const GUESS = 'first guess, to be tuned from your own harvests'

/**
 * Degree days to each stage from packet days: a packet's days are taken to pass at 17 °C, the middle of the best range, so
 * each is worth 12.6 °C·d. No degree-day totals by variety were found in print for most of these crops.
 *
 * @param days.toReady    packet days from `start`
 * @param days.heading    part of that time, 0 to 1, at which what is eaten begins to form; null: leaves only
 * @param days.keeps      further part for which it stands in good order once ready
 * @param days.raising    days from sowing to planting out; 0 where sown in place
 * @param emergence       °C·d from sowing to emergence
 */
export function degreeDaysFromPacket(
  start: Start,
  days: { toReady: number; heading: number | null; keeps: number; raising: number },
  emergence: Sourced,
): StageDegreeDays {
  const from = start === 'sown' ? 'sowing' : 'planting out'
  const warmth = (packetDays: number): number => Math.round(packetDays * PER_PACKET_DAY)
  return {
    toEmerged: emergence,
    toPlantingOut: derived(
      warmth(days.raising),
      days.raising === 0 ? 'sown in place' : `${days.raising} days of raising at 17 °C; ${GUESS}`,
    ),
    toHeading:
      days.heading === null
        ? null
        : derived(
            warmth(days.toReady * days.heading),
            `${Math.round(days.heading * 100)} % of the way from ${from} to ready; ${GUESS}`,
          ),
    toReady: derived(warmth(days.toReady), `${days.toReady} packet days at 17 °C over 4.4 °C; ${GUESS}`),
    toFinished: derived(
      warmth(days.toReady * (1 + days.keeps)),
      `stands for another ${Math.round(days.keeps * 100)} % of its time; ${GUESS}`,
    ),
  }
}

/** °C·d from sowing to emergence, from a germination table's days at 15 °C. */
export const emergenceFrom = (daysAt15C: number, table: string): Sourced =>
  derived(
    Math.round(daysAt15C * (15 - BASE_C.value)),
    `${daysAt15C} days at 15 °C (${table}) over 4.4 °C; ${GUESS}`,
  )
