/**
 * A planting's season so far: its days, what the grower saw of it, the stages both mean, and what it has taken of heat
 * and chill. Pure; the progress, the report and the warnings of a planting are made from it.
 */
import type { Planting } from '../../shared/api/garden.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import type { Observation, Seen } from '../../shared/api/progress.js'
import { type ColdDose, coldDose } from '../core/crops/cold-bolting.js'
import type { Crop, Start } from '../core/crops/crop.js'
import type { Dose, PlantDay } from '../core/crops/dose.js'
import { type EmergenceProgress, emergenceProgress } from '../core/crops/emergence.js'
import type { KnownCrop } from '../core/crops/garden-crops.js'
import { heatBoltingDose } from '../core/crops/heat-bolting.js'
import { heatDose } from '../core/crops/heat-dose.js'
import { withObserved } from '../core/crops/observed-stages.js'
import { plantDays } from '../core/crops/plant-days.js'
import { countedFrom, type Stage, type StageMark, stageMarks } from '../core/crops/stages.js'
import type { SeasonDegreeDays } from '../core/heat/season-degree-days.js'
import type { AllGone } from '../core/journal/journal-rules.js'
import { COMPLETE_COVERAGE } from '../core/quality/completeness.js'

export interface Doses {
  /** null: no such limit for this crop */
  readonly heat: Dose | null
  readonly chill: ColdDose | null
  /** warm, long days */
  readonly warmDays: Dose | null
}

export interface PlantingSeason {
  readonly planting: Planting
  /** null: neither the library nor the grower knows the crop */
  readonly known: KnownCrop | null
  /** null: neither sown nor planted out */
  readonly counted: { readonly start: Start; readonly date: string } | null
  readonly today: { readonly date: string; readonly elapsed: number }
  /** one a day from the start on, to today or to when it was finished */
  readonly records: readonly DayRecord[]
  readonly days: readonly PlantDay[]
  readonly sums: SeasonDegreeDays
  /** null: nothing was measured */
  readonly degreeDaysC: number | null
  /** part of the time that readings account for; a filled day counts as not measured */
  readonly coverage: number
  /** set right by what the grower saw, and by the soil's warmth; empty without crop or dates */
  readonly marks: readonly StageMark[]
  /** where it stands; null without crop or dates */
  readonly stage: StageMark | null
  readonly observations: readonly Observation[]
  /** null: some of it stands */
  readonly gone: AllGone | null
  readonly doses: Doses
  /** of what was sown in place; null: planted out, or too little of the soil is known */
  readonly emergence: EmergenceProgress | null
}

export interface SeasonInput {
  readonly planting: Planting
  readonly known: KnownCrop | null
  /** over progressDates (planting-progress.ts), with the crop's thresholds, without holes; today's may be the last */
  readonly records: readonly DayRecord[]
  readonly observations: readonly Observation[]
  /** by the journal the last of it was cut or lost */
  readonly gone?: AllGone | null
  /** the date, and the part of it that has passed, 0 to 1 */
  readonly today: { readonly date: string; readonly elapsed: number }
  /** sunrise to sunset, by date */
  readonly dayLengthHours: (date: string) => number
}

const STAGE_SEEN: Readonly<Record<Seen, Stage | null>> = {
  emerged: 'emerged',
  'first-leaves': 'leafing',
  'heads-started': 'heading',
  firm: 'ready',
  split: 'finished',
  // before its time: it says nothing of how much warmth the other stages take
  bolted: null,
}

export function plantingSeason(input: SeasonInput): PlantingSeason {
  const { planting, known, records, observations, today, gone = null } = input
  const counted = countedFrom(planting)
  const isRunning = records.at(-1)?.date === today.date && today.elapsed < 1
  const { days, season: sums } = plantDays(records, isRunning, input.dayLengthHours)
  const isMeasured = records.some((day) => day.degreeDaysC !== null)
  const degreeDaysC = isMeasured ? sums.sumC.at(-1)! : null
  const common = {
    planting,
    known,
    counted,
    today,
    records,
    days,
    sums,
    degreeDaysC,
    coverage: coverageOf(records, today),
    observations,
    gone,
  }
  if (!known || !counted) {
    return { ...common, marks: [], stage: null, doses: NO_DOSES, emergence: null }
  }
  const { crop } = known
  const { start } = counted
  const emergence = start === 'sown' ? emergenceOf(crop, records) : null
  const sumOn = (date: string): number => sumAtEndOf(date, days)
  const seen = observations.flatMap(({ seen: what, on }) => {
    const stage = STAGE_SEEN[what]
    return stage === null ? [] : [{ stage, degreeDaysC: sumOn(on) }]
  })
  // how soon seedlings come up says nothing of how quick the kind is: that only moves the first stages
  const late = seen.filter(({ stage }) => stage !== 'emerged' && stage !== 'leafing')
  const guessed = withObserved(stageMarks(crop, start), late)
  const marks = withFirstStages(guessed, firstStages(guessed, seen, emergence, degreeDaysC ?? 0, sumOn))
  return {
    ...common,
    marks,
    stage: standing(planting, marks, degreeDaysC ?? 0, observations, gone),
    doses: {
      heat: heatDose(crop, start, days, marks),
      chill: coldDose(crop, start, days),
      warmDays: heatBoltingDose(crop, start, days),
    },
    emergence,
  }
}

const NO_DOSES: Doses = { heat: null, chill: null, warmDays: null }

/** Degree days by the end of a date; before the first day none, after the last all. */
function sumAtEndOf(date: string, days: readonly PlantDay[]): number {
  return days.findLast((day) => day.date <= date)?.degreeDaysC ?? 0
}

function standing(
  { finishedOn }: Planting,
  marks: readonly StageMark[],
  degreeDaysC: number,
  observations: readonly Observation[],
  gone: AllGone | null,
): StageMark {
  const last = marks.at(-1)!
  if (finishedOn !== null) return { ...last, name: 'finished', bbch: '99' }
  if (gone !== null) return { ...last, name: gone.wasCut ? 'all cut' : 'all lost', bbch: '99' }
  if (observations.some(({ seen }) => seen === 'bolted')) return { ...last, name: 'bolted' }
  return marks.findLast((mark) => mark.degreeDaysC <= degreeDaysC) ?? marks[0]!
}

/** Null where the soil was measured on too few of the days to say. */
function emergenceOf(crop: Crop, records: readonly DayRecord[]): EmergenceProgress | null {
  if (records.length === 0 || crop.germination.points.length === 0) return null
  const progress = emergenceProgress(
    crop,
    records.map(({ date, soilTempMeanC }) => ({ date, soilMeanC: soilTempMeanC })),
  )
  // days after emergence do not matter any more
  const until = records.findIndex(({ date }) => date === progress.emergedOn)
  const days = until < 0 ? records.length : until + 1
  const measured = records.slice(0, days).filter((day) => day.soilTempMeanC !== null).length
  return measured < COMPLETE_COVERAGE * days ? null : progress
}

interface FirstStages {
  /** °C·d; null: as guessed */
  readonly emergedC: number | null
  readonly leafingC: number | null
}

/** When seedlings were up and had their first leaf: as seen, or else as the soil's warmth has it. */
function firstStages(
  marks: readonly StageMark[],
  seen: readonly { readonly stage: Stage; readonly degreeDaysC: number }[],
  emergence: EmergenceProgress | null,
  degreeDaysC: number,
  sumOn: (date: string) => number,
): FirstStages {
  const guessC = (stage: Stage): number => marks.find((mark) => mark.stage === stage)?.degreeDaysC ?? 0
  const seenC = (stage: Stage): number | null => {
    const sums = seen.filter((one) => one.stage === stage).map((one) => one.degreeDaysC)
    return sums.length === 0 ? null : Math.min(...sums)
  }
  const toLeafC = guessC('leafing') - guessC('emerged')
  const leafingC = seenC('leafing')
  const upC = seenC('emerged') ?? (leafingC === null ? upBySoil(guessC('emerged')) : null)
  return {
    emergedC: upC ?? (leafingC === null ? null : Math.min(guessC('emerged'), leafingC)),
    leafingC: leafingC ?? (upC === null ? null : upC + toLeafC),
  }

  function upBySoil(toEmergedC: number): number | null {
    if (emergence === null) return null
    const { part, emergedOn } = emergence
    return emergedOn === null ? degreeDaysC + Math.max(1, (1 - part) * toEmergedC) : sumOn(emergedOn)
  }
}

/** Later stages stay where they are, as long as they come later. */
function withFirstStages(marks: readonly StageMark[], { emergedC, leafingC }: FirstStages): StageMark[] {
  let floorC = 0
  return marks.map((mark) => {
    const setC = mark.stage === 'emerged' ? emergedC : mark.stage === 'leafing' ? leafingC : null
    // a plant set out is leafing from the first day
    floorC = Math.max(floorC, mark.degreeDaysC === 0 ? 0 : (setC ?? mark.degreeDaysC))
    return { ...mark, degreeDaysC: floorC }
  })
}

/** Part of the time that readings account for. */
function coverageOf(days: readonly DayRecord[], today: { date: string; elapsed: number }): number {
  let measured = 0
  let passed = 0
  for (const day of days) {
    const share = day.date === today.date ? today.elapsed : 1
    passed += share
    if (day.degreeDaysC !== null) measured += day.airCoverage * share
  }
  return passed > 0 ? Math.min(1, measured / passed) : 0
}
