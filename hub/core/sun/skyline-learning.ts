/**
 * Learns a bed's skyline from its sun states.
 *
 * Where the sun was seen, nothing stands. Where it was missing although the sky was clear, something does. Whether the
 * sky was clear is known from the same bed an hour before or after, where its sky is already known to be open, and
 * from other beds at the same minute (clear-chance.ts). Every sector of the compass weighs all heights against each
 * other by these chances (a likelihood over heights), newer evidence counting more, since trees change with the
 * season.
 */
import { clearChances, roughHeights } from './clear-chance.js'
import type { DrawnSkyline } from './drawn-skyline.js'
import { SLOT_MS, STEP_DEG, STEPS, seenSectors, skySlots } from './sky-slots.js'
import { SECTORS, type Skyline, sectorMiddles } from './skyline.js'
import type { SunSeries } from './sun-series.js'

export interface SkylineOptions {
  /** evidence this long before the newest counts 1/e */
  readonly memoryDays?: number
  /** what the grower drew; the sun corrects it where it shows otherwise */
  readonly drawn?: DrawnSkyline
  /** was the sun out elsewhere in the garden at a time? null: nobody knows */
  readonly sunElsewhere?: (timeMs: number) => boolean | null
}

/** A month and a half: longer than a spell of dull weather, shorter than the growth of leaves in spring. */
const MEMORY_DAYS = 45
const SLOTS_PER_DAY = 86_400_000 / SLOT_MS

/** Chance of taking it for sun where something stands: gaps in a crown, a bright cloud. */
const SUN_THROUGH = 0.04
/** Slots of five minutes in a row tell much the same: two of them count as one. */
const SLOT_WORTH = 0.5
/** Days in a row share their weather: a few of them tell less than their number. */
const SHARED_WEATHER_DAYS = 4
/** Neighbouring sectors often share what stands there. */
const NEIGHBOUR_WORTH = 0.3
/** Which part of the sky is open and when it was clear depend on each other: a few rounds settle it. */
const ROUNDS = 5

/** With no evidence, low skylines are likelier than high ones: mean of 12°, a garden fence at three times its height. */
const PRIOR_MEAN_DEG = 12
/** … but a house wall may stand anywhere: this much chance, relative to the level horizon's, at every height. */
const PRIOR_FLOOR = 0.1
/** A sector that hid the sun up to here, and never showed its top, is guessed this much higher: the usual height's median. */
const HIDDEN_FROM_DEG = 5
const HIGHER_STILL_DEG = PRIOR_MEAN_DEG * Math.LN2
/** How well growers draw: a fence paced out and a height guessed. */
const DRAWN_SD_DEG = 4

/** Within a sector, and within the sun's own width, heights differ by this much. */
const WITHIN_SECTOR_DEG = 1
/** A height counts as known when nine chances in ten lie within this. */
const KNOWN_WITHIN_DEG = 10

/**
 * @param state  index in SUN_STATES, by reading of the series
 */
export function learnSkyline(series: SunSeries, state: Uint8Array, options: SkylineOptions = {}): Skyline {
  const slots = skySlots(series, state)
  const seen = seenSectors(slots)
  const newest = slots.slot[slots.length - 1] ?? 0
  const days = slots.length > 0 ? slots.day[slots.length - 1]! + 1 : 0
  const slotWorth = (SLOT_WORTH * days) / (days + SHARED_WEATHER_DAYS)
  const memorySlots = (options.memoryDays ?? MEMORY_DAYS) * SLOTS_PER_DAY
  let heights = roughHeights(slots)
  let skyline = weigh(new Float64Array(SECTORS * STEPS), seen, options.drawn)
  for (let round = 0; round < ROUNDS && slots.length > 0; round++) {
    const clear = clearChances(slots, heights, options.sunElsewhere)
    const support = new Float64Array(SECTORS * STEPS)
    for (let i = 0; i < slots.length; i++) {
      const q = clear[i]!
      const sun = slots.sun[i]!
      const open = sun * Math.log(q) + (1 - sun) * Math.log(1 - q)
      const blocked = sun * Math.log(SUN_THROUGH) + (1 - sun) * Math.log(1 - SUN_THROUGH)
      const weight = slotWorth * slots.worth[i]! * Math.exp((slots.slot[i]! - newest) / memorySlots)
      support[slots.sector[i]! * STEPS + slots.step[i]!]! += weight * (blocked - open)
    }
    skyline = weigh(support, seen, options.drawn)
    heights = skyline.elevationDeg
  }
  return skyline
}

/** Weighs all heights of each sector: most likely height, band and uncertainty. */
function weigh(support: Float64Array, seen: Uint8Array, drawn: DrawnSkyline | undefined): Skyline {
  const elevationDeg = new Float64Array(SECTORS)
  const lowDeg = new Float64Array(SECTORS)
  const highDeg = new Float64Array(SECTORS)
  const uncertaintyDeg = new Float64Array(SECTORS)
  const atLeastDeg = new Float64Array(SECTORS)
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
    elevationDeg[sector] = likely.most
    atLeastDeg[sector] = possible.quarter
    // within a sector, and within the sun's own width, heights differ
    lowDeg[sector] = Math.max(0, low - WITHIN_SECTOR_DEG)
    highDeg[sector] = Math.min(90, high + WITHIN_SECTOR_DEG)
    uncertaintyDeg[sector] = possible.sd
    const isSeen = seen[sector] === 1 || !Number.isNaN(drawnDeg)
    isKnown[sector] = isSeen && high - low <= KNOWN_WITHIN_DEG ? 1 : 0
    if (!isSeen) {
      lowDeg[sector] = 0
      highDeg[sector] = 90
      uncertaintyDeg[sector] = 30
    }
  }
  const skyline = {
    azimuthDeg: sectorMiddles(),
    elevationDeg,
    atLeastDeg,
    lowDeg,
    highDeg,
    uncertaintyDeg,
    isKnown,
  }
  fillUnknown(skyline)
  return skyline
}

interface Spread {
  readonly low: number
  readonly most: number
  readonly quarter: number
  readonly high: number
  readonly sd: number
}

/** Most likely height, 5 %, 25 % and 95 % heights, and standard deviation of evidence and prior together (both logarithms of chances). */
function spread(evidence: Float64Array, prior: (heightDeg: number) => number): Spread {
  const chance = evidence.map((e, step) => e + prior(step * STEP_DEG))
  let best = Number.NEGATIVE_INFINITY
  let most = 0
  for (const [step, c] of chance.entries()) {
    if (c <= best) continue
    best = c
    most = step * STEP_DEG
  }
  let total = 0
  for (let step = 0; step <= STEPS; step++) total += chance[step] = Math.exp(chance[step]! - best)
  let cumulative = 0
  let mean = 0
  let square = 0
  let low = -1
  let quarter = -1
  let high = -1
  for (let step = 0; step <= STEPS; step++) {
    const part = chance[step]! / total
    const height = step * STEP_DEG
    cumulative += part
    mean += part * height
    square += part * height * height
    if (low < 0 && cumulative >= 0.05) low = height
    if (quarter < 0 && cumulative >= 0.25) quarter = height
    if (high < 0 && cumulative >= 0.95) high = height
  }
  return { most, low, quarter, high, sd: Math.sqrt(Math.max(STEP_DEG ** 2, square - mean * mean)) }
}

/** Roughly known is enough to guess a neighbour by. */
const GUESS_WITHIN_DEG = 20

/** Where the sun did not show the height, neighbours that are known are the best guess, within what is possible. */
function fillUnknown({ elevationDeg, lowDeg, highDeg }: Skyline): void {
  const isKnown = lowDeg.map((low, sector) => (highDeg[sector]! - low <= GUESS_WITHIN_DEG ? 1 : 0))
  if (!isKnown.includes(1)) return
  for (let sector = 0; sector < SECTORS; sector++) {
    if (isKnown[sector] === 1) continue
    let leftBy = 1
    while (isKnown[(sector - leftBy + 2 * SECTORS) % SECTORS] === 0) leftBy++
    let rightBy = 1
    while (isKnown[(sector + rightBy) % SECTORS] === 0) rightBy++
    const left = elevationDeg[(sector - leftBy + 2 * SECTORS) % SECTORS]!
    const right = elevationDeg[(sector + rightBy) % SECTORS]!
    const guess = (left * rightBy + right * leftBy) / (leftBy + rightBy)
    // what hid the sun as high as it came as a rule stands higher still
    const least = lowDeg[sector]! > HIDDEN_FROM_DEG ? lowDeg[sector]! + HIGHER_STILL_DEG : lowDeg[sector]!
    elevationDeg[sector] = Math.min(highDeg[sector]!, Math.max(least, guess))
  }
}
