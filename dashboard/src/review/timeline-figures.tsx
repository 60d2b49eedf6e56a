/** The lanes of a season that hold figures: sun, warmth, degree days, heat and chill. */
import { figure, shownDegreeDays, toShown } from '../format/units.js'
import { tempUnit } from '../state/preferences.js'
import { bandPath, barsPath, extentOf, type Lane, laneY, linePath, stepsPath } from './lanes.js'
import { DOSES, type LaneProps, laneOf, NARROW_PX, SUM, SUN, WARMTH } from './timeline-layout.js'

const MOST_SUN = 16

function Label({ edges, words }: { readonly edges: { readonly top: number }; readonly words: string }) {
  return (
    <text x={4} y={edges.top + 10} class="tick haloed lane-name">
      {words}
    </text>
  )
}

function Ticks({
  lane,
  values,
  text,
}: {
  readonly lane: Lane
  readonly values: readonly number[]
  text(value: number): string
}) {
  return (
    <>
      {values.map((value) => (
        <g key={value}>
          <line x1={0} x2={lane.width} y1={laneY(lane, value)} y2={laneY(lane, value)} class="lane-rule" />
          <text x={-6} y={laneY(lane, value) + 4} text-anchor="end" class="tick">
            {text(value)}
          </text>
        </g>
      ))}
    </>
  )
}

export function SunLane(props: LaneProps) {
  const lane = laneOf(props, SUN, 0, MOST_SUN)
  const { days } = props.one
  return (
    <>
      <Ticks lane={lane} values={[0, 6, 12]} text={String} />
      <path d={barsPath(lane, days.sunHours)} class="lane-sun" />
      <path d={stepsPath(lane, days.possibleSunHours)} class="lane-possible" />
      <Label
        edges={SUN}
        words={props.width < NARROW_PX ? 'sun, h; line: possible' : 'sun, h a day; the line: possible'}
      />
    </>
  )
}

function airWords(unit: string, hasLimit: boolean, isNarrow: boolean): string {
  if (isNarrow) return `air, °${unit}${hasLimit ? '; dashed: heat limit' : ''}`
  return `air, °${unit}: lowest to highest, mean${hasLimit ? '; dashed: its heat limit' : ''}`
}

export function WarmthLane(props: LaneProps) {
  const { days, heatAboveC } = props.one
  const unit = tempUnit.value
  const { low, high } = extentOf([days.minC, days.maxC], 10)
  const lane = laneOf(props, WARMTH, low, high)
  const marks = Array.from({ length: (high - low) / 10 + 1 }, (_, i) => low + 10 * i)
  return (
    <>
      <Ticks lane={lane} values={marks} text={(valueC) => figure(toShown(valueC, '°C', unit), 0)} />
      <path d={bandPath(lane, days.minC, days.maxC)} class="lane-band" />
      <path d={linePath(lane, days.meanC)} class="lane-mean" />
      {heatAboveC !== null && heatAboveC <= high && (
        <line
          x1={0}
          x2={lane.width}
          y1={laneY(lane, heatAboveC)}
          y2={laneY(lane, heatAboveC)}
          class="lane-limit"
        />
      )}
      <Label edges={WARMTH} words={airWords(unit, heatAboveC !== null, props.width < NARROW_PX)} />
    </>
  )
}

export function SumLane(props: LaneProps) {
  const { days } = props.one
  const unit = tempUnit.value
  const { high } = extentOf([days.degreeDaysC], 100)
  const lane = laneOf(props, SUM, 0, high)
  const shown = (valueC: number): string => figure(shownDegreeDays(valueC, unit), 0)
  return (
    <>
      <Ticks lane={lane} values={[0, high]} text={shown} />
      <path d={linePath(lane, days.degreeDaysC)} class="lane-sum" />
      <Label edges={SUM} words={`degree days, °${unit}·d`} />
    </>
  )
}

export function DosesLane(props: LaneProps) {
  const { days } = props.one
  const { high } = extentOf([days.heatHours, days.chillHours], 6)
  const lane = laneOf(props, { top: DOSES.top, bottom: (DOSES.top + DOSES.bottom) / 2 }, 0, high)
  const below: Lane = { ...lane, top: DOSES.bottom, bottom: (DOSES.top + DOSES.bottom) / 2 }
  return (
    <>
      <line x1={0} x2={lane.width} y1={lane.bottom} y2={lane.bottom} class="lane-rule" />
      <text x={-6} y={DOSES.top + 9} text-anchor="end" class="tick">
        {high}
      </text>
      <text x={-6} y={DOSES.bottom + 2} text-anchor="end" class="tick">
        {high}
      </text>
      <path d={barsPath(lane, days.heatHours)} class="lane-heat" />
      <path d={barsPath(below, days.chillHours)} class="lane-chill" />
      <Label
        edges={DOSES}
        words={props.width < NARROW_PX ? 'h: heat up, chill down' : 'h a day: heat upwards, chill downwards'}
      />
    </>
  )
}
