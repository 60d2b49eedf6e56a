/**
 * Stages of a planting from degree days, with plain names and BBCH codes (Meier ed. 2001, BBCH Monograph; leafy vegetables
 * forming heads, other brassicas, root vegetables and pea share the codes used here; wording ours).
 */
import type { Crop, Start } from './crop.js'

export type Stage = 'sown' | 'emerged' | 'leafing' | 'heading' | 'ready' | 'finished'

export interface StageMark {
  readonly stage: Stage
  /** plain words, by what the crop forms */
  readonly name: string
  /** BBCH code, or the span of codes that the stage covers */
  readonly bbch: string
  /** °C·d since the start of counting at which the stage begins */
  readonly degreeDaysC: number
}

export interface PlantingDates {
  readonly sownOn: string | null
  readonly plantedOutOn: string | null
  readonly finishedOn: string | null
}

/** What counting starts from: planting out where there was one, else sowing; null: neither date is known. */
export function countedFrom(dates: PlantingDates): { start: Start; date: string } | null {
  if (dates.plantedOutOn !== null) return { start: 'planted-out', date: dates.plantedOutOn }
  if (dates.sownOn !== null) return { start: 'sown', date: dates.sownOn }
  return null
}

/**
 * The stages that lie before a planting, in order, ascending in degree days since its start.
 *
 * A plant set out is leafing from the first day. A crop usually planted out but sown in place needs, on top, what a
 * transplant brings with it; one usually sown but planted out has that much less to go.
 */
export function stageMarks(crop: Crop, start: Start): StageMark[] {
  const { toEmerged, toPlantingOut, toHeading, toReady, toFinished } = crop.degreeDays
  const raisedC = toPlantingOut.value > 0 ? toPlantingOut.value : RAISED_IF_PLANTED_C
  const shiftC = start === crop.usualStart ? 0 : start === 'sown' ? raisedC : -raisedC
  const marks: StageMark[] = []
  const add = (stage: Stage, degreeDaysC: number): void => {
    // a plant set out late may have passed a mark already
    const last = marks.at(-1)?.degreeDaysC ?? 0
    marks.push({
      stage,
      name: stageName(crop, stage),
      bbch: BBCH[crop.forms === 'pods' ? 'pods' : 'other'][stage],
      degreeDaysC: Math.max(last, degreeDaysC),
    })
  }
  if (start === 'sown') {
    add('sown', 0)
    add('emerged', toEmerged.value)
    // the first true leaf takes about as long again as emergence
    add('leafing', toEmerged.value * 2)
  } else {
    add('leafing', 0)
  }
  if (toHeading !== null) add('heading', toHeading.value + shiftC)
  add('ready', toReady.value + shiftC)
  add('finished', toFinished.value + shiftC)
  return marks
}

/** Leafy crops sown in place, when they are raised indoors after all: three weeks at 17 °C over 4.4 °C. */
const RAISED_IF_PLANTED_C = 265

/**
 * The stage a planting has reached. With a finishing date it is finished; by degree days alone it can only be past its best.
 *
 * @param degreeDaysC  since countedFrom(dates); null: no readings yet, so only the dates speak
 * @returns null where neither sowing nor planting out is dated
 * @throws RangeError  if degreeDaysC is negative or not finite
 */
export function stageOf(crop: Crop, degreeDaysC: number | null, dates: PlantingDates): StageMark | null {
  if (degreeDaysC !== null && !(degreeDaysC >= 0 && Number.isFinite(degreeDaysC))) {
    throw new RangeError(`degree days must be 0 or more, got ${degreeDaysC}`)
  }
  const counted = countedFrom(dates)
  if (counted === null) return null
  const marks = stageMarks(crop, counted.start)
  if (dates.finishedOn !== null) return { ...marks.at(-1)!, name: 'finished', bbch: '99' }
  return marks.findLast((mark) => mark.degreeDaysC <= (degreeDaysC ?? 0))!
}

/** Past its best: a head's shoot lengthens (51, from memory), a pod ripens (81). Cleared from the bed: 99. */
const BBCH: Record<'pods' | 'other', Record<Stage, string>> = {
  other: { sown: '00', emerged: '09', leafing: '10-19', heading: '41-48', ready: '49', finished: '51' },
  pods: { sown: '00', emerged: '09', leafing: '10-39', heading: '60-78', ready: '79', finished: '81' },
}

const FORMING: Record<Crop['forms'], string> = {
  head: 'head forming',
  curd: 'curd forming',
  sprouts: 'sprouts forming',
  stem: 'stem swelling',
  pods: 'flowering and podding',
  root: 'root swelling',
  stalks: 'stalks thickening',
  leaves: 'leaves filling out',
}

const STAGE_NAMES: Record<Exclude<Stage, 'heading'>, string> = {
  sown: 'sown',
  emerged: 'seedlings up',
  leafing: 'growing leaves',
  ready: 'ready to cut',
  finished: 'past its best',
}

/** Plain words for a stage of a crop. */
export function stageName(crop: Crop, stage: Stage): string {
  if (stage === 'heading') return FORMING[crop.forms]
  if (stage === 'ready' && (crop.forms === 'pods' || crop.forms === 'sprouts')) return 'ready to pick'
  if (stage === 'ready' && crop.forms === 'root') return 'ready to pull'
  return STAGE_NAMES[stage]
}
