/** Small multiples: each planting, bed or year in a plot of its own, on the same scales, with all the others faint behind it. */
import { useMemo, useState } from 'preact/hooks'
import type { SeasonReview } from '../../../shared/api/review.js'
import { addDays } from '../../../shared/local-time.js'
import { hoursInWords } from '../format/durations.js'
import { dayMonth, monthName } from '../format/local-clock.js'
import { capital } from '../format/sentences.js'
import {
  figure,
  showDegreeDays,
  shownDegreeDays,
  showTemperature,
  type TempUnit,
  toShown,
} from '../format/units.js'
import { weightWords } from '../journal/journal-words.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { Switch } from '../parts/switch.js'
import { plantingName } from '../planting/planting-words.js'
import { lengthUnit, tempUnit } from '../state/preferences.js'
import {
  type Along,
  alignedCurves,
  bedRun,
  type Curve,
  type Measure,
  plantingRun,
  type Run,
  yearRuns,
} from './alignment.js'
import { extentOf } from './lanes.js'
import { meanOf } from './review-words.js'

type Among = 'plantings' | 'beds' | 'years'

const WIDTH = 224
const HEIGHT = 120
const LEFT = 34
const AXIS = 20

const MEASURES: readonly { readonly value: Measure; readonly step: number }[] = [
  { value: 'sun', step: 2 },
  { value: 'warmth', step: 5 },
  { value: 'degree-days', step: 200 },
  { value: 'heat', step: 20 },
]

/** What is drawn, with its unit: the plots' axes have figures only. */
const measureWords = (measure: Measure, unit: TempUnit): string =>
  ({
    sun: 'sun, h a day, the week around',
    warmth: `mean temperature, °${unit}, the week around`,
    'degree-days': `degree days added up, °${unit}·d`,
    heat: 'heat added up, h',
  })[measure]

interface Scale {
  readonly x: { readonly low: number; readonly high: number }
  readonly y: { readonly low: number; readonly high: number }
}

const xOf = ({ x }: Scale, value: number): number => ((value - x.low) / (x.high - x.low)) * WIDTH
const yOf = ({ y }: Scale, value: number): number => HEIGHT - ((value - y.low) / (y.high - y.low)) * HEIGHT

function pathOf({ x, y }: Curve, scale: Scale): string {
  let path = ''
  let isOpen = false
  // along degree days many days of frost fall onto one spot; along a year a point a pixel is enough
  let last = Number.NEGATIVE_INFINITY
  y.forEach((value, i) => {
    const at = xOf(scale, x[i] ?? 0)
    if (value === null) {
      isOpen = false
      return
    }
    if (isOpen && at - last < 0.7 && i < y.length - 1) return
    path += `${isOpen ? 'L' : 'M'}${at.toFixed(1)} ${yOf(scale, value).toFixed(1)}`
    isOpen = true
    last = at
  })
  return path
}

function shownFigure(value: number, measure: Measure, unit: TempUnit): string {
  if (measure === 'warmth') return figure(toShown(value, '°C', unit), 0)
  if (measure === 'degree-days') return figure(shownDegreeDays(value, unit), 0)
  return figure(value, 0)
}

interface PlotProps {
  readonly curve: Curve
  readonly behind: string
  readonly scale: Scale
  readonly measure: Measure
  readonly along: Along
}

/** Day of the year to its date in a year without a leap day. */
const dateOfDay = (day: number): string => addDays('2027-01-01', Math.round(day) - 1)

function Plot({ curve, behind, scale, measure, along }: PlotProps) {
  const unit = tempUnit.value
  const ends = [scale.y.low, scale.y.high]
  const known = curve.y.filter((value) => value !== null)
  const months =
    along === 'calendar'
      ? Array.from(
          { length: Math.ceil(scale.x.high - scale.x.low) },
          (_, i) => Math.ceil(scale.x.low) + i,
        ).filter((day) => dateOfDay(day).endsWith('-01'))
      : []
  const every = Math.max(1, Math.ceil(months.length / 6))
  return (
    <figure class="small-plot">
      <figcaption>{curve.name}</figcaption>
      <svg
        width={WIDTH + LEFT}
        height={HEIGHT + AXIS + 8}
        viewBox={`${-LEFT} -8 ${WIDTH + LEFT} ${HEIGHT + AXIS + 8}`}
        role="img"
        aria-label={
          known.length === 0
            ? `${curve.name}: not measured`
            : `${curve.name}: from ${shownFigure(Math.min(...known), measure, unit)} to ${shownFigure(Math.max(...known), measure, unit)}`
        }
      >
        {ends.map((value) => (
          <g key={value}>
            <line x1={0} x2={WIDTH} y1={yOf(scale, value)} y2={yOf(scale, value)} class="lane-rule" />
            <text x={-5} y={yOf(scale, value) + 4} text-anchor="end" class="tick">
              {shownFigure(value, measure, unit)}
            </text>
          </g>
        ))}
        <path d={behind} class="small-behind" />
        <path d={pathOf(curve, scale)} class="small-line" />
        {known.length === 0 && (
          <text x={WIDTH / 2} y={HEIGHT / 2} text-anchor="middle" class="tick">
            not measured
          </text>
        )}
        {months.map(
          (day, i) =>
            i % every === 0 &&
            xOf(scale, day) < WIDTH - 20 && (
              <g key={day}>
                <line
                  x1={xOf(scale, day)}
                  x2={xOf(scale, day)}
                  y1={HEIGHT}
                  y2={HEIGHT + 4}
                  stroke="var(--rule-strong)"
                />
                <text x={xOf(scale, day) + 2} y={HEIGHT + 16} class="tick">
                  {monthName(dateOfDay(day), true)}
                </text>
              </g>
            ),
        )}
        {along === 'degree-days' &&
          [scale.x.low, scale.x.high].map((sumC, i) => (
            <text
              key={sumC}
              x={i === 0 ? 0 : WIDTH}
              y={HEIGHT + 16}
              text-anchor={i === 0 ? 'start' : 'end'}
              class="tick"
            >
              {i === 0 ? '0' : showDegreeDays(sumC, unit)}
            </text>
          ))}
      </svg>
    </figure>
  )
}

function RunsTable({
  runs,
  review,
  among,
}: {
  readonly runs: readonly Run[]
  readonly review: SeasonReview
  readonly among: Among
}) {
  const unit = tempUnit.value
  const harvestOf = (id: string): string => {
    const harvest = review.plantings.find(({ planting }) => planting === id)?.harvest
    if (harvest === undefined || harvest.weightKg === null) return '–'
    return weightWords(harvest.weightKg, lengthUnit.value)
  }
  return (
    <ScrollTable label="Compared in figures">
      <table class="runs-table">
        <caption>In figures</caption>
        <thead>
          <tr>
            <th scope="col">{among === 'plantings' ? 'planting' : among === 'beds' ? 'bed' : 'year'}</th>
            <th scope="col">from</th>
            <th scope="col">days</th>
            <th scope="col">sun a day</th>
            <th scope="col">mean</th>
            <th scope="col">degree days</th>
            {among === 'plantings' && <th scope="col">heat</th>}
            {among === 'plantings' && <th scope="col">cut</th>}
          </tr>
        </thead>
        <tbody>
          {runs.map((run) => {
            const sun = meanOf(run.sunHours)
            const meanC = meanOf(run.meanC)
            const heat = run.heatHours?.reduce<number>((sum, hours) => sum + (hours ?? 0), 0)
            return (
              <tr key={run.id}>
                <th scope="row">{run.name}</th>
                <td>{dayMonth(run.date[0] ?? '')}</td>
                <td>{run.date.length}</td>
                <td>{sun === null ? '–' : hoursInWords(sun)}</td>
                <td>{meanC === null ? '–' : showTemperature(meanC, unit)}</td>
                <td>{meanC === null ? '–' : showDegreeDays(run.sumC.at(-1) ?? 0, unit)}</td>
                {among === 'plantings' && (
                  <td>{heat === undefined || meanC === null ? '–' : hoursInWords(heat)}</td>
                )}
                {among === 'plantings' && <td>{harvestOf(run.id)}</td>}
              </tr>
            )
          })}
        </tbody>
      </table>
    </ScrollTable>
  )
}

/** '‘Lantern’ in the long bed, 2027': told apart by what differs. */
const runName = (one: SeasonReview['plantings'][number]): string =>
  `${plantingName(one.cropName, one.variety)}, ${one.bedName} ${(one.days.date[0] ?? '').slice(0, 4)}`.trim()

function runsAmong(review: SeasonReview, among: Among, bed: string): Run[] {
  if (among === 'plantings') {
    return review.plantings
      .filter(({ days }) => days.date.length > 1)
      .map((one) => plantingRun(one, runName(one)))
  }
  if (among === 'beds') return review.beds.flatMap((one) => bedRun(one, review.from, review.to) ?? [])
  const chosen = review.beds.find((one) => one.bed === bed)
  return chosen === undefined ? [] : yearRuns(chosen, review.from, review.to)
}

export function ComparisonPlots({ review }: { readonly review: SeasonReview }) {
  const measuredBeds = review.beds.filter(({ days }) => days.date.length > 1)
  const [among, setAmong] = useState<Among>(review.plantings.length > 1 ? 'plantings' : 'beds')
  const [along, setAlong] = useState<Along>('calendar')
  const [measure, setMeasure] = useState<Measure>('warmth')
  const [bed, setBed] = useState(measuredBeds[0]?.bed ?? '')
  const runs = useMemo(() => runsAmong(review, among, bed), [review, among, bed])
  const shownAlong = measure === 'degree-days' ? 'calendar' : along
  const { curves, scale, behind } = useMemo(() => {
    const curves = alignedCurves(runs, measure, shownAlong)
    const step = MEASURES.find(({ value }) => value === measure)?.step ?? 1
    const y = extentOf(
      curves.map((curve) => curve.y),
      step,
    )
    const scale: Scale = {
      x: extentOf(
        curves.map((curve) => curve.x),
        shownAlong === 'calendar' ? 1 : 50,
      ),
      y: measure === 'warmth' ? y : { ...y, low: 0 },
    }
    return { curves, scale, behind: curves.map((curve) => pathOf(curve, scale)).join('') }
  }, [runs, measure, shownAlong])
  return (
    <section class="review-part comparisons">
      <h3>Side by side</h3>
      <div class="comparison-choices">
        <Switch<Among>
          legend="Compare"
          options={[
            { value: 'plantings', label: 'plantings' },
            { value: 'beds', label: 'beds' },
            { value: 'years', label: 'years of a bed' },
          ]}
          chosen={among}
          onChoose={setAmong}
        />
        {among === 'years' && (
          <label>
            of{' '}
            <select value={bed} onChange={(event) => setBed(event.currentTarget.value)}>
              {measuredBeds.map((one) => (
                <option key={one.bed} value={one.bed}>
                  {one.name}
                </option>
              ))}
            </select>
          </label>
        )}
        <label>
          by their{' '}
          <select
            value={measure}
            onChange={(event) =>
              setMeasure(MEASURES.find(({ value }) => value === event.currentTarget.value)?.value ?? 'warmth')
            }
          >
            {MEASURES.map(({ value }) => (
              <option key={value} value={value} disabled={value === 'heat' && among !== 'plantings'}>
                {measureWords(value, tempUnit.value)}
              </option>
            ))}
          </select>
        </label>
        <Switch<Along>
          legend="Along"
          options={[
            { value: 'calendar', label: 'the calendar' },
            { value: 'degree-days', label: 'degree days' },
          ]}
          chosen={shownAlong}
          onChoose={setAlong}
        />
      </div>
      <p class="hint">
        {capital(measureWords(measure, tempUnit.value))}, along{' '}
        {shownAlong === 'calendar' ? 'the calendar' : 'degree days'}; faint: the others.
      </p>
      {measure === 'degree-days' && along === 'degree-days' && (
        <p class="hint">Degree days along degree days are a straight line: these are along the calendar.</p>
      )}
      {curves.length === 0 ? (
        <p class="none">
          Nothing to compare: this is not counted here, or nothing was measured in this time.
        </p>
      ) : (
        <div class="small-plots">
          {curves.map((curve) => (
            <Plot
              key={curve.id}
              curve={curve}
              behind={behind}
              scale={scale}
              measure={measure}
              along={shownAlong}
            />
          ))}
        </div>
      )}
      {runs.length > 0 && <RunsTable runs={runs} review={review} among={among} />}
    </section>
  )
}
