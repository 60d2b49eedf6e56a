/** How likely the sky was clear at a moment, from where it is known to be open: the same bed around that time, others. */

import { type SkySlots, SLOT_MS, STEP_DEG, STEPS } from './sky-slots.js'
import { SECTORS } from './skyline.js'

/** The sky's evidence reaches this far in time, fading; what is too near may stand behind the same thing. */
const REACH_SLOTS = (180 * 60_000) / SLOT_MS
const FADE_SLOTS = (60 * 60_000) / SLOT_MS
const NEAREST_SLOTS = (20 * 60_000) / SLOT_MS
/** So many slots make one independent look at the sky. */
const SLOTS_PER_LOOK = 4
/** A whole day's sky says a quarter of what as many slots near by say. */
const DAY_WORTH = 0.25

/** A clear sky hides the sun this rarely, a dull one shows it this rarely. */
const LEAST_CHANCE = 0.04
/** When no other bed sees the sun either. */
const DULL_ELSEWHERE = 0.1
/** Sun is seen half as often at 4° as higher up, and hardly below 2° (Lyngby, three months). */
const LOW_SUN_DEG = 1.5
const LOW_SUN_WIDTH_DEG = 5

const FADING = Float64Array.from({ length: REACH_SLOTS + 1 }, (_, away) =>
  away < NEAREST_SLOTS ? 0 : Math.exp(-away / FADE_SLOTS),
)

/**
 * Chance of sun in each slot if nothing stood in its way.
 *
 * @param heights       the skyline as far as known, deg by sector: what is above it counts as open
 * @param sunElsewhere  was the sun out elsewhere in the garden at a time? null: nobody knows
 */
export function clearChances(
  slots: SkySlots,
  heights: Float64Array,
  sunElsewhere?: (timeMs: number) => boolean | null,
): Float64Array {
  const { length: n, slot, day, sector, step, sun, worth } = slots
  const isOpen = new Uint8Array(n)
  let allSun = 1
  let allOpen = 2
  const days = n > 0 ? day[n - 1]! + 1 : 0
  const daySun = new Float64Array(days)
  const dayOpen = new Float64Array(days)
  for (let i = 0; i < n; i++) {
    if ((step[i]! + 0.5) * STEP_DEG <= heights[sector[i]!]!) continue
    isOpen[i] = 1
    daySun[day[i]!]! += worth[i]! * sun[i]!
    dayOpen[day[i]!]! += worth[i]!
    allSun += worth[i]! * sun[i]!
    allOpen += worth[i]!
  }
  const chances = new Float64Array(n)
  let from = 0
  for (let i = 0; i < n; i++) {
    const here = slot[i]!
    while (slot[from]! < here - REACH_SLOTS || day[from] !== day[i]) from++
    let nearSun = 0
    let nearOpen = 0
    for (let j = from; j < n && slot[j]! <= here + REACH_SLOTS && day[j] === day[i]; j++) {
      if (isOpen[j] === 0) continue
      const weight = worth[j]! * FADING[Math.abs(slot[j]! - here)]!
      nearSun += weight * sun[j]!
      nearOpen += weight
    }
    const looks = (DAY_WORTH * dayOpen[day[i]!]!) / SLOTS_PER_LOOK
    const ofDay =
      ((daySun[day[i]!]! / Math.max(0.1, dayOpen[day[i]!]!)) * looks + allSun / allOpen) / (looks + 1)
    let chance = (nearSun / SLOTS_PER_LOOK + ofDay) / (nearOpen / SLOTS_PER_LOOK + 1)
    const elsewhere = sunElsewhere?.((here + 0.5) * SLOT_MS) ?? null
    if (elsewhere === true) chance = 1
    else if (elsewhere === false) chance = Math.min(chance, DULL_ELSEWHERE)
    // near the horizon even a clear sun is often too weak to count
    chance *= Math.min(1, Math.max(0, ((step[i]! + 0.5) * STEP_DEG - LOW_SUN_DEG) / LOW_SUN_WIDTH_DEG))
    chances[i] = Math.min(1 - LEAST_CHANCE, Math.max(LEAST_CHANCE, chance))
  }
  return chances
}

/** A stretch of sky that shows the sun less than this often, compared with the best of the bed's sky, is blocked. */
const SELDOM = 0.25
/** Stretches of 5° height, seen at least four times. */
const CELL_STEPS = 10
const CELL_SLOTS = 4

/**
 * A rough skyline to start from: in each sector the highest stretch that seldom shows the sun. Clouds do not choose a
 * direction day after day, fences do.
 */
export function roughHeights(slots: SkySlots): Float64Array {
  const cells = Math.ceil(STEPS / CELL_STEPS)
  const sun = new Float64Array(SECTORS * cells)
  const seen = new Float64Array(SECTORS * cells)
  for (let i = 0; i < slots.length; i++) {
    const cell = slots.sector[i]! * cells + Math.floor(slots.step[i]! / CELL_STEPS)
    sun[cell]! += slots.worth[i]! * slots.sun[i]!
    seen[cell]! += slots.worth[i]!
  }
  const shares: number[] = []
  for (const [cell, count] of seen.entries()) if (count >= CELL_SLOTS) shares.push(sun[cell]! / count)
  shares.sort((a, b) => a - b)
  const best = shares[Math.floor(shares.length * 0.8)] ?? 0
  const heights = new Float64Array(SECTORS)
  for (const [cell, count] of seen.entries()) {
    if (count < CELL_SLOTS || sun[cell]! / count >= SELDOM * best) continue
    const sector = Math.floor(cell / cells)
    heights[sector] = Math.max(heights[sector]!, ((cell % cells) + 1) * CELL_STEPS * STEP_DEG)
  }
  return heights
}
