/** A planting's whole season on one time axis: sun, warmth, degree days, heat and chill, warnings, journal, harvest. */
import { useMemo, useState } from 'preact/hooks'
import type { ReviewPlanting } from '../../../shared/api/review.js'
import { DayFrame } from '../parts/day-frame.js'
import { timeZone } from '../state/garden.js'
import { lengthUnit, tempUnit } from '../state/preferences.js'
import { dayX } from './lanes.js'
import { dayText, harvestSentence, periodText } from './review-words.js'
import { DosesLane, SumLane, SunLane, WarmthLane } from './timeline-figures.js'
import { AXIS, type LaneProps, STAGES, YIELD } from './timeline-layout.js'
import { JournalLane, MonthsLane, StagesLane, WarnedLane, YieldLane } from './timeline-marks.js'

const LEFT = 56
/** A season drawn wider than this says no more; on paper there is less. */
const MOST_PX = 1040

function Lanes({ one, width }: LaneProps) {
  return (
    <>
      <SunLane one={one} width={width} />
      <WarmthLane one={one} width={width} />
      <SumLane one={one} width={width} />
      <DosesLane one={one} width={width} />
      <WarnedLane one={one} width={width} />
      <JournalLane one={one} width={width} />
      <YieldLane one={one} width={width} />
      <MonthsLane one={one} width={width} />
      <StagesLane one={one} width={width} />
    </>
  )
}

function Picture({ one, width }: LaneProps) {
  // the cursor moves over it without its being drawn anew
  return useMemo(
    () => <Lanes one={one} width={width} />,
    [one, width, tempUnit.value, lengthUnit.value, timeZone.value],
  )
}

export function PlantingTimeline({ one, name }: { readonly one: ReviewPlanting; readonly name: string }) {
  const [at, setAt] = useState<number | null>(null)
  const { date } = one.days
  const days = date.length
  const [first, last] = [date[0], date.at(-1)]
  if (first === undefined || last === undefined) return null
  const period = periodText(first, last)
  const rest = `${days} days, ${period}. Point at the picture, or use the arrow keys, to read a day.`
  return (
    <div class="timeline">
      <p class={at === null ? 'readout at-rest' : 'readout'} aria-live="polite">
        {at === null ? rest : dayText(one, at, tempUnit.value, lengthUnit.value)}
      </p>
      <DayFrame
        class="timeline-frame"
        kind="season of days"
        label={`Season of ${name}`}
        days={days}
        left={LEFT}
        at={at}
        restAt={days}
        stride={7}
        most={MOST_PX}
        onRead={setAt}
      >
        {(width) => (
          <svg
            width={width + LEFT}
            height={AXIS}
            viewBox={`${-LEFT} 0 ${width + LEFT} ${AXIS}`}
            role="img"
            aria-label={`${name}, ${period}: sun, air temperature, degree days, heat and chill, warnings, journal and harvest on one time axis. ${harvestSentence(one, lengthUnit.value)}`}
          >
            <Picture one={one} width={width} />
            {at !== null && (
              <line
                x1={dayX({ days, width }, at + 0.5)}
                x2={dayX({ days, width }, at + 0.5)}
                y1={STAGES.top}
                y2={YIELD.bottom}
                class="carpet-cursor"
              />
            )}
          </svg>
        )}
      </DayFrame>
    </div>
  )
}
