/**
 * Learns a bed's skyline from its sun states.
 *
 * Where the sun was seen, nothing stands. Where it was missing although the sky was clear, something does. Whether the
 * sky was clear is known from the same bed an hour before or after, where its sky is already known to be open, and
 * from other beds at the same minute. Every sector of the compass weighs all heights against each other by
 * these chances (a likelihood over heights), newer evidence counting more, since trees change with the season.
 */

import type { DrawnSkyline } from './drawn-skyline.js'
import { SECTORS, type Skyline, sectorMiddles, sectorOf } from './skyline.js'
import type { SunSeries } from './sun-series.js'
import { CLOUD, SHADE, SUN } from './sun-states.js'

export interface SkylineEvidence {
  readonly series: SunSeries
  /** index in SUN_STATES, by reading */
  readonly state: Uint8Array
}

export interface SkylineOptions {
  /** evidence this long before the newest counts 1/e */
  readonly memoryDays?: number
  /** what the grower drew; the sun corrects it where it shows otherwise */
  readonly drawn?: DrawnSkyline
  /** was the sun out elsewhere in the garden at a time? null: nobody knows */
  readonly sunElsewhere?: (timeMs: number) => boolean | null
}

const MINUTE_MS = 60_000
const DAY_MS = 86_400_000
const SLOT_MS = 5 * MINUTE_MS

/** A month and a half: longer than a spell of dull weather, shorter than the growth of leaves in spring. */
const MEMORY_DAYS = 45

/** Heights are weighed in steps of half a degree, the sun's own width. */
const STEP_DEG = 0.5
const STEPS = 90 / STEP_DEG

/** Chance of taking it for sun where something stands: gaps in a crown, a bright cloud. */
const SUN_THROUGH = 0.04
/** A clear sky hides the sun this rarely, a dull one shows it this rarely. */
const LEAST_CHANCE = 0.04
/** Slots of five minutes in a row tell much the same: two of them count as one. */
const SLOT_WORTH = 0.5
/** Neighbouring sectors often share what stands there. */
const NEIGHBOUR_WORTH = 0.3

/** With no evidence, low skylines are likelier than high ones: mean of 12°, a garden fence at three times its height. */
const PRIOR_MEAN_DEG = 12
/** … but a house wall may stand anywhere: this much chance, relative to the level horizon's, at every height. */
const PRIOR_FLOOR = 0.1
/** How well growers draw: a fence paced out and a height guessed. */
const DRAWN_SD_DEG = 4

/** A height counts as known when nine chances in ten lie within this. */
const KNOWN_WITHIN_DEG = 10

interface Slot {
  readonly timeMs: number
  readonly day: number
  readonly sector: number
  readonly step: number
  /** part of the slot with sun, 0 to 1 */
  readonly sun: number
}

export function learnSkyline(evidence: SkylineEvidence, options: SkylineOptions = {}): Skyline {
  const slots = slotsOf(evidence)
  const newestMs = slots.at(-1)?.timeMs ?? 0
  const memoryMs = (options.memoryDays ?? MEMORY_DAYS) * DAY_MS
  const weights = Float64Array.from(slots, (s) => SLOT_WORTH * Math.exp((s.timeMs - newestMs) / memoryMs))
  let heights = firstGuess(slots)
  let skyline = weigh(new Float64Array(SECTORS * STEPS), seenSectors(slots), options.drawn)
  // which part of the sky is open and when it was clear depend on each other: a few rounds settle it
  for (let round = 0; round < 5; round++) {
    const clear = clearChances(slots, heights, options.sunElsewhere)
    const support = new Float64Array(SECTORS * STEPS)
    for (const [i, slot] of slots.entries()) {
      const q = clear[i]!
      const open = slot.sun * Math.log(q) + (1 - slot.sun) * Math.log(1 - q)
      const blocked = slot.sun * Math.log(SUN_THROUGH) + (1 - slot.sun) * Math.log(1 - SUN_THROUGH)
      support[slot.sector * STEPS + slot.step]! += weights[i]! * (blocked - open)
    }
    skyline = weigh(support, seenSectors(slots), options.drawn)
    heights = skyline.elevationDeg.slice()
  }
  return skyline
}

/** Five-minute slots of daylight with their part of sun. */
function slotsOf({ series, state }: SkylineEvidence): Slot[] {
  const slots: Slot[] = []
  const { timeMs, elevationDeg, azimuthDeg } = series
  for (let i = 0; i < state.length; ) {
    if (state[i] !== SUN && state[i] !== CLOUD && state[i] !== SHADE) {
      i++
      continue
    }
    const slot = Math.floor(timeMs[i]! / SLOT_MS)
    const sector = sectorOf(azimuthDeg[i]!)
    let count = 0
    let sunny = 0
    let elevation = 0
    for (; i < state.length && Math.floor(timeMs[i]! / SLOT_MS) === slot; i++) {
      if (state[i] !== SUN && state[i] !== CLOUD && state[i] !== SHADE) break
      if (sectorOf(azimuthDeg[i]!) !== sector) break
      count++
      if (state[i] === SUN) sunny++
      elevation += elevationDeg[i]!
    }
    const mean = elevation / count
    if (mean < 2) continue
    slots.push({
      timeMs: (slot + 0.5) * SLOT_MS,
      // the night parts days, whatever the time zone: a step of six hours between slots
      day:
        slots.length === 0
          ? 0
          : slots.at(-1)!.day + ((slot + 0.5) * SLOT_MS - slots.at(-1)!.timeMs > DAY_MS / 8 ? 1 : 0),
      sector,
      step: Math.min(STEPS - 1, Math.floor(mean / STEP_DEG)),
      sun: sunny / count,
    })
  }
  return slots
}

/** A stretch of sky that shows the sun less than this often, compared with the best of the bed's sky, is blocked. */
const SELDOM = 0.25
const CELL_STEPS = 10

/**
 * A rough skyline to start from: going up in each sector as long as the sun is seldom seen. Clouds do not choose
 * a direction day after day, fences do.
 */
function firstGuess(slots: readonly Slot[]): Float64Array {
  const cells = Math.ceil(STEPS / CELL_STEPS)
  const sun = new Float64Array(SECTORS * cells)
  const seen = new Float64Array(SECTORS * cells)
  for (const { sector, step, sun: part } of slots) {
    const cell = sector * cells + Math.floor(step / CELL_STEPS)
    sun[cell]! += part
    seen[cell]! += 1
  }
  const shares = [...seen.keys()].filter((c) => seen[c]! >= 4).map((c) => sun[c]! / seen[c]!)
  shares.sort((a, b) => a - b)
  const best = shares[Math.floor(shares.length * 0.8)] ?? 0
  const heights = new Float64Array(SECTORS)
  for (let sector = 0; sector < SECTORS; sector++) {
    for (let c = 0; c < cells; c++) {
      const cell = sector * cells + c
      if (seen[cell]! >= 4 && sun[cell]! / seen[cell]! < SELDOM * best)
        heights[sector] = (c + 1) * CELL_STEPS * STEP_DEG
    }
  }
  return heights
}

function seenSectors(slots: readonly Slot[]): Uint8Array {
  const seen = new Uint8Array(SECTORS)
  for (const slot of slots) seen[slot.sector] = 1
  return seen
}

/** The sky's evidence reaches this far in time, fading; what is too near may stand behind the same thing. */
const REACH_MS = 180 * MINUTE_MS
const FADE_MS = 60 * MINUTE_MS
const TOO_NEAR_MS = 20 * MINUTE_MS
/** Sun is seen half as often at 4° as higher up, and hardly below 2° (Lyngby, three months). */
const LOW_SUN_DEG = 1.5
const LOW_SUN_WIDTH_DEG = 5
/** So many slots make one independent look at the sky. */
const SLOTS_PER_LOOK = 4

/** Chance of sun in each slot if nothing stood in its way. */
function clearChances(
  slots: readonly Slot[],
  heights: Float64Array,
  sunElsewhere: ((timeMs: number) => boolean | null) | undefined,
): Float64Array {
  const n = slots.length
  const isOpen = Uint8Array.from(slots, (s) => ((s.step + 0.5) * STEP_DEG > heights[s.sector]! ? 1 : 0))
  let allSun = 1
  let allOpen = 2
  const daySun = new Map<number, { sun: number; open: number }>()
  for (let i = 0; i < n; i++) {
    if (isOpen[i] === 0) continue
    const { day, sun } = slots[i]!
    const sum = daySun.get(day) ?? { sun: 0, open: 0 }
    sum.sun += sun
    sum.open += 1
    daySun.set(day, sum)
    allSun += sun
    allOpen += 1
  }
  const chances = new Float64Array(n)
  let from = 0
  for (let i = 0; i < n; i++) {
    const slot = slots[i]!
    const elsewhere = sunElsewhere?.(slot.timeMs) ?? null
    while (slots[from]!.timeMs < slot.timeMs - REACH_MS) from++
    let sun = 0
    let open = 0
    for (let j = from; j < n && slots[j]!.timeMs <= slot.timeMs + REACH_MS; j++) {
      if (isOpen[j] === 0 || slots[j]!.day !== slot.day) continue
      const awayMs = Math.abs(slots[j]!.timeMs - slot.timeMs)
      if (awayMs < TOO_NEAR_MS) continue
      const weight = Math.exp(-awayMs / FADE_MS)
      sun += weight * slots[j]!.sun
      open += weight
    }
    const day = daySun.get(slot.day) ?? { sun: 0, open: 0 }
    const looks = day.open / SLOTS_PER_LOOK / 4
    const ofDay = ((day.sun / Math.max(1, day.open)) * looks + allSun / allOpen) / (looks + 1)
    let chance = (sun / SLOTS_PER_LOOK + ofDay) / (open / SLOTS_PER_LOOK + 1)
    if (elsewhere === true) chance = 1
    else if (elsewhere === false) chance = Math.min(chance, 0.1)
    // near the horizon even a clear sun is often too weak to count
    chance *= Math.min(1, Math.max(0, ((slot.step + 0.5) * STEP_DEG - LOW_SUN_DEG) / LOW_SUN_WIDTH_DEG))
    chances[i] = Math.min(1 - LEAST_CHANCE, Math.max(LEAST_CHANCE, chance))
  }
  return chances
}

/** Weighs all heights of each sector: most likely height, band and uncertainty. */
function weigh(support: Float64Array, seen: Uint8Array, drawn: DrawnSkyline | undefined): Skyline {
  const elevationDeg = new Float64Array(SECTORS)
  const lowDeg = new Float64Array(SECTORS)
  const highDeg = new Float64Array(SECTORS)
  const uncertaintyDeg = new Float64Array(SECTORS)
  const isKnown = new Uint8Array(SECTORS)
  const evidence = new Float64Array(STEPS + 1)
  for (let sector = 0; sector < SECTORS; sector++) {
    const left = (sector + SECTORS - 1) % SECTORS
    const right = (sector + 1) % SECTORS
    const drawnDeg = drawn?.[sector] ?? Number.NaN
    let sum = 0
    for (let step = 0; step <= STEPS; step++) {
      evidence[step] = sum
      if (step === STEPS) break
      sum +=
        support[sector * STEPS + step]! +
        NEIGHBOUR_WORTH * (support[left * STEPS + step]! + support[right * STEPS + step]!)
    }
    const likely = spread(evidence, (height) =>
      Number.isNaN(drawnDeg)
        ? -height / PRIOR_MEAN_DEG
        : -((height - drawnDeg) ** 2) / (2 * DRAWN_SD_DEG ** 2),
    )
    // the best guess leans on what is usual, the band must not
    const possible = Number.isNaN(drawnDeg)
      ? spread(evidence, (height) => Math.log(Math.exp(-height / PRIOR_MEAN_DEG) + PRIOR_FLOOR))
      : likely
    const { low, high } = possible
    elevationDeg[sector] = likely.middle
    lowDeg[sector] = low
    highDeg[sector] = high
    uncertaintyDeg[sector] = possible.sd
    const isSeen = seen[sector] === 1 || !Number.isNaN(drawnDeg)
    isKnown[sector] = isSeen && high - low <= KNOWN_WITHIN_DEG ? 1 : 0
    if (!isSeen) {
      lowDeg[sector] = 0
      highDeg[sector] = 90
      uncertaintyDeg[sector] = 30
    }
  }
  const skyline = { azimuthDeg: sectorMiddles(), elevationDeg, lowDeg, highDeg, uncertaintyDeg, isKnown }
  fillUnknown(skyline)
  return skyline
}

interface Spread {
  readonly low: number
  readonly middle: number
  readonly high: number
  readonly sd: number
}

/** 5 %, 50 % and 95 % heights and standard deviation of evidence and prior together (both logarithms of chances). */
function spread(evidence: Float64Array, prior: (heightDeg: number) => number): Spread {
  const chance = evidence.map((e, step) => e + prior(step * STEP_DEG))
  let best = Number.NEGATIVE_INFINITY
  for (const c of chance) best = Math.max(best, c)
  let total = 0
  for (let step = 0; step <= STEPS; step++) total += chance[step] = Math.exp(chance[step]! - best)
  let cumulative = 0
  let mean = 0
  let square = 0
  let low = -1
  let middle = -1
  let high = -1
  for (let step = 0; step <= STEPS; step++) {
    const part = chance[step]! / total
    const height = step * STEP_DEG
    cumulative += part
    mean += part * height
    square += part * height * height
    if (low < 0 && cumulative >= 0.05) low = height
    if (middle < 0 && cumulative >= 0.5) middle = height
    if (high < 0 && cumulative >= 0.95) high = height
  }
  return { low, middle, high, sd: Math.sqrt(Math.max(STEP_DEG ** 2, square - mean * mean)) }
}

/** Where the sun did not show the height, neighbours that are known are the best guess, within what is possible. */
function fillUnknown({ elevationDeg, lowDeg, highDeg, isKnown }: Skyline): void {
  const known = [...isKnown.keys()].filter((sector) => isKnown[sector] === 1)
  if (known.length === 0) return
  for (let sector = 0; sector < SECTORS; sector++) {
    if (isKnown[sector] === 1) continue
    let leftBy = 1
    while (isKnown[(sector - leftBy + 2 * SECTORS) % SECTORS] === 0) leftBy++
    let rightBy = 1
    while (isKnown[(sector + rightBy) % SECTORS] === 0) rightBy++
    const left = elevationDeg[(sector - leftBy + 2 * SECTORS) % SECTORS]!
    const right = elevationDeg[(sector + rightBy) % SECTORS]!
    const guess = (left * rightBy + right * leftBy) / (leftBy + rightBy)
    elevationDeg[sector] = Math.min(highDeg[sector]!, Math.max(lowDeg[sector]!, guess))
  }
}
