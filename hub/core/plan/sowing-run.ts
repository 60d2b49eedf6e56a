/** One sowing in one way a year may go: when it comes up, is planted, heads and is ready, and what befalls it on the way. */
import { coldDose } from '../crops/cold-bolting.js'
import type { Crop, Start } from '../crops/crop.js'
import type { Dose, PlantDay } from '../crops/dose.js'
import { heatBoltingDose } from '../crops/heat-bolting.js'
import { heatDose } from '../crops/heat-dose.js'
import { type StageMark, stageMarks } from '../crops/stages.js'
import type { CropWeather } from './crop-weather.js'
import { meanFit } from './mean-fit.js'
import { daysUnderCover, emergenceUnderCover } from './under-cover.js'
import { inSlots } from './year-slots.js'

/** under cover: raised elsewhere and planted out; direct: sown where it grows */
export type SowingWay = 'under cover' | 'direct'

/** Days since sowing; null: not within the year that is looked at. */
export interface SowingRun {
  readonly emerged: number | null
  /** null for direct sowing */
  readonly plantedOut: number | null
  /** what is eaten begins to form; for crops of which only leaves are eaten, the second half of their growth */
  readonly heading: number | null
  readonly ready: number | null
  /** days that it stands in the bed beyond what the seed packet counts; below 0: quicker; null: never ready */
  readonly overdueDays: number | null
  /** past its best, or killed by frost once ready */
  readonly finished: number | null
  /** mean fitness of the heading days' temperature for the crop, 0 to 1 (mean-fit.ts); null: never heads */
  readonly headingFit: number | null
  /** part of the heading days in the crop's best range, by the month around them */
  readonly headingBestPart: number | null
  readonly headingMeanC: number | null
  /** to the day it is ready; null: the crop does not mind */
  readonly heat: Dose | null
  readonly cold: Dose | null
  readonly heatBolting: Dose | null
  /** young plants met a frost that kills them */
  readonly isYoungFrosted: boolean
  /** a frost that kills even hardened plants came before they were ready */
  readonly isKilled: boolean
}

/** Longer than this after sowing nobody waits. */
const LONGEST_DAYS = 400
/** A plant is young so long after planting out or emergence: hardened off and rooted in two weeks. Common practice. */
const YOUNG_DAYS = 14
/** Part of the way to heading before which no crop of heat-dose.ts minds heat (curds: from 0.85). */
const HEAT_MATTERS_FROM = 0.8
/** Seed that is not up by then is lost: eaten or rotten. Common practice. */
const LOST_SEED_DAYS = 45

export interface SowingPlan {
  readonly crop: Crop
  readonly way: SowingWay
  readonly marks: readonly StageMark[]
  readonly coverDays: number
  readonly coverEmergence: number | null
  /** sunrise to sunset by place in the year, h */
  readonly dayLengthHours: Float64Array
}

/** What is the same for every week and every year. */
export function sowingPlan(crop: Crop, way: SowingWay, dayLengthHours: Float64Array): SowingPlan {
  return {
    crop,
    way,
    marks: stageMarks(crop, startOf(way)),
    coverDays: daysUnderCover(crop).value,
    coverEmergence: emergenceUnderCover(crop),
    dayLengthHours,
  }
}

const startOf = (way: SowingWay): Start => (way === 'direct' ? 'sown' : 'planted-out')

/**
 * Follows a sowing until it is past its best.
 *
 * Degree days of a direct sowing begin at emergence by the soil, with the warmth that the crop's stages count up to there:
 * cold soil delays everything after it.
 */
export function runSowing(plan: SowingPlan, weather: CropWeather, sowSlot: number): SowingRun {
  const { crop, way, marks } = plan
  const start = startOf(way)
  const emerged = way === 'direct' ? emergence(weather, sowSlot) : plan.coverEmergence
  if (way === 'direct' && emerged === null) return neverUp()
  const from = way === 'direct' ? emerged! : plan.coverDays
  let sumC = way === 'direct' ? crop.degreeDays.toEmerged.value : 0
  const at = new Map(marks.map((mark) => [mark.stage, mark.degreeDaysC]))
  const readyC = at.get('ready')!
  const headingC = at.get('heading') ?? (at.get('leafing')! + readyC) / 2
  const finishedC = at.get('finished')!
  const tenderC = crop.degreeDays.toPlantingOut.value

  const days: PlantDay[] = []
  let heading: number | null = null
  let ready: number | null = null
  let finished: number | null = null
  let isYoungFrosted = false
  let isKilled = false
  const head = { days: 0, fit: 0, best: 0, meanC: 0 }
  for (let since = from; since <= LONGEST_DAYS && finished === null; since++) {
    const slot = inSlots(sowSlot + since)
    const minC = weather.minC[slot]!
    sumC += weather.degreeDaysC[slot]!
    if (ready === null) {
      // a seedling stays tender until it is as big as a plant set out
      const isYoung = since < from + YOUNG_DAYS || (way === 'direct' && sumC < tenderC)
      if (isYoung && minC < crop.frost.youngC.value) isYoungFrosted = true
      if (minC < crop.frost.killC.value) isKilled = true
      days.push({
        date: '',
        isThin: false,
        minC,
        maxC: weather.maxC[slot]!,
        meanC: weather.meanC[slot]!,
        heatHours: weather.heatHours[slot]!,
        degreeDaysC: sumC,
        dayLengthHours: plan.dayLengthHours[slot]!,
      })
    }
    if (heading === null && sumC >= headingC) heading = since
    if (heading !== null && ready === null) {
      const monthC = weather.monthMeanC[slot]!
      head.days++
      head.meanC += monthC
      head.fit += meanFit(crop, monthC)
      if (monthC >= crop.bestMeanC.from.value && monthC <= crop.bestMeanC.to.value) head.best++
    }
    if (ready === null && sumC >= readyC) ready = since
    const isFrozen = ready !== null && minC < crop.frost.killC.value
    if (sumC >= finishedC || isFrozen) finished = since
  }
  const perDay = (sum: number): number | null => (head.days === 0 ? null : sum / head.days)
  return {
    emerged,
    plantedOut: way === 'direct' ? null : from,
    heading,
    ready,
    overdueDays: ready === null ? null : ready - (way === 'direct' ? 0 : from) - packetDaysInBed(plan),
    finished,
    headingFit: perDay(head.fit),
    headingBestPart: perDay(head.best),
    headingMeanC: perDay(head.meanC),
    // heat counts from a little before heading on: earlier days need not be looked at
    heat: heatDose(
      crop,
      start,
      days.filter(({ degreeDaysC }) => degreeDaysC >= headingC * HEAT_MATTERS_FROM),
      marks,
    ),
    cold: coldDose(crop, start, days),
    heatBolting: heatBoltingDose(crop, start, days),
    isYoungFrosted,
    isKilled,
  }
}

/** A packet counts from planting out where that is usual: sown in place the raising comes on top, and the other way round. */
function packetDaysInBed({ crop, way, coverDays }: SowingPlan): number {
  const usual = crop.packetDays.value
  if (way === 'direct') return usual + (crop.usualStart === 'planted-out' ? coverDays : 0)
  // a plant of leaves that is set out nearly grown is still given a week
  return crop.usualStart === 'planted-out' ? usual : Math.max(7, usual - coverDays)
}

function emergence(weather: CropWeather, sowSlot: number): number | null {
  let part = 0
  for (let since = 0; since <= LOST_SEED_DAYS; since++) {
    part += weather.emergencePart[inSlots(sowSlot + since)]!
    // sums of thirds and fifths end a hair short of 1
    if (part >= 1 - 1e-9) return since + 1
  }
  return null
}

const neverUp = (): SowingRun => ({
  emerged: null,
  plantedOut: null,
  heading: null,
  ready: null,
  overdueDays: null,
  finished: null,
  headingFit: null,
  headingBestPart: null,
  headingMeanC: null,
  heat: null,
  cold: null,
  heatBolting: null,
  isYoungFrosted: false,
  isKilled: false,
})
