/** A crop's year: its windows in words, the picture, the week that is read, and what to do with it. */
import { useState } from 'preact/hooks'
import type { GardenCrop } from '../../../shared/api/crops.js'
import type { Plan, PlanWay, PlanWindow } from '../../../shared/api/plan.js'
import { capital } from '../format/sentences.js'
import { temperaturesInText } from '../format/units.js'
import { plantingFormPath } from '../garden/planting-prefill.js'
import { Switch } from '../parts/switch.js'
import { mayChange } from '../state/access.js'
import { tempUnit } from '../state/preferences.js'
import { BedChoice } from './bed-choice.js'
import type { Asked } from './plan-data.js'
import { PlanPatterns } from './plan-patterns.js'
import {
  riskSentence,
  trustSentence,
  usualWay,
  WAY_WORDS,
  weekSentence,
  windowSentence,
  windowTitle,
  windowToShow,
} from './plan-words.js'
import { SoilPart } from './soil-part.js'
import { WeekTable } from './week-table.js'
import { YearPicture } from './year-picture.js'

const WAYS: readonly PlanWay[] = ['under cover', 'direct']

interface CropYearProps {
  readonly plan: Plan
  readonly asked: Asked
  readonly crop: GardenCrop
  readonly bed: string | null
  readonly today: string
}

/** The week of the best window still ahead; else the best week of all. */
function firstWeek(plan: Plan, way: PlanWay, today: string): number {
  const weeks = plan.weeks.filter((week) => week.way === way)
  const window = windowToShow(plan.windows, way, today)
  const found = weeks.findIndex((week) => week.sowOn === window?.best.sowOn)
  if (found >= 0) return found
  return weeks.reduce((best, week, i) => (week.score > (weeks[best]?.score ?? 0) ? i : best), 0)
}

function Windows({
  plan,
  way,
  today,
}: {
  readonly plan: Plan
  readonly way: PlanWay
  readonly today: string
}) {
  const windows = plan.windows.filter((window) => window.way === way)
  if (windows.length === 0) {
    const others = plan.windows.length > 0
    return (
      <p class="say plan-windows">
        No week of the year suits {plan.cropName} here, {WAY_WORDS[way]}: heat, cold or frost stand against
        it. {others ? 'The other way does better.' : 'Another crop or an earlier kind may do better.'}
      </p>
    )
  }
  const withRisks = (window: PlanWindow): string =>
    `${windowSentence(window, plan, today, tempUnit.value)} ${riskSentence(window.best, plan)}`
  return (
    <div class="plan-windows">
      {windows.map((window) => (
        <p key={`${window.season} ${window.best.sowOn}`} class="say">
          <b>{windowTitle(window)}.</b> {withRisks(window)}
        </p>
      ))}
    </div>
  )
}

export function CropYear({ plan, asked, crop, bed, today }: CropYearProps) {
  const [way, setWay] = useState<PlanWay>(() => usualWay(plan))
  const [read, setRead] = useState<number | null>(null)
  const weeks = plan.weeks.filter((week) => week.way === way)
  const at = Math.min(weeks.length - 1, read ?? firstWeek(plan, way, today))
  const week = weeks[at]
  return (
    <>
      <PlanPatterns />
      <Switch
        legend="Plants"
        options={WAYS.map((value) => ({ value, label: WAY_WORDS[value] }))}
        chosen={way}
        onChoose={(chosen) => {
          setWay(chosen)
          setRead(null)
        }}
      />
      <p class="print-only">{capital(WAY_WORDS[way])}.</p>
      <Windows plan={plan} way={way} today={today} />
      <section class="plan-part" aria-labelledby="plan-year-heading">
        <h3 id="plan-year-heading">Its year</h3>
        {week !== undefined && (
          <div class="plan-read">
            <p class="readout" aria-live="polite">
              {weekSentence(week, plan)} {riskSentence(week, plan)}
            </p>
            {mayChange.value && (
              <p>
                <a
                  class="plan-plant"
                  href={plantingFormPath({
                    crop: plan.crop,
                    bed,
                    sownOn: week.sowOn,
                    plantedOutOn: week.plantOutOn,
                  })}
                >
                  Plant it
                </a>{' '}
                <span class="aside">
                  opens the planting form with this week’s dates; nothing is kept until you save.
                </span>
              </p>
            )}
          </div>
        )}
        <YearPicture plan={plan} way={way} weeks={weeks} at={at} onRead={setRead} />
        <WeekTable plan={plan} weeks={weeks} />
      </section>
      {week !== undefined && <BedChoice asked={asked} way={way} week={week} bed={bed} />}
      {plan.soil !== null && <SoilPart soil={plan.soil} cropName={plan.cropName} />}
      <section class="plan-part" aria-labelledby="plan-trust-heading">
        <h3 id="plan-trust-heading">How far to trust it</h3>
        <p>{trustSentence(crop.figures)}</p>
        <p>
          Raised under cover it is planted out after about {plan.coverDays} days (
          {temperaturesInText(plan.coverNote, tempUnit.value)}). The order of weeks weighs the temperature
          while it forms against heat, cold and frost by first guesses of ours; it foretells no yields.
        </p>
      </section>
    </>
  )
}
