/** Small multiples: each planting, bed or year in a plot of its own, on the same scales, with all the others faint behind it. */
import { useMemo, useState } from 'preact/hooks'
import type { SeasonReview } from '../../../shared/api/review.js'
import { capital } from '../format/sentences.js'
import type { TempUnit } from '../format/units.js'
import { Switch } from '../parts/switch.js'
import { plantingName } from '../planting/planting-words.js'
import { tempUnit } from '../state/preferences.js'
import {
  type Along,
  type Among,
  alignedCurves,
  bedRun,
  type Measure,
  plantingRun,
  type Run,
  yearRuns,
} from './alignment.js'
import { extentOf } from './lanes.js'
import { RunsTable } from './runs-table.js'
import { monthStarts, Plot, pathOf, type Scale } from './small-plot.js'

const MEASURES: readonly { readonly value: Measure; readonly step: number }[] = [
  { value: 'sun', step: 2 },
  { value: 'warmth', step: 5 },
  { value: 'degree-days', step: 200 },
  { value: 'heat', step: 20 },
]

/** What is drawn, with its unit: the plots' axes have figures only. */
const measureWords = (measure: Measure, unit: TempUnit): string =>
  ({
    sun: 'sun a day over a week, h',
    warmth: `mean temperature of a week, °${unit}`,
    'degree-days': `degree days added up, °${unit}·d`,
    heat: 'heat added up, h',
  })[measure]

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
  const { curves, scale, behind, months } = useMemo(() => {
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
    return {
      curves,
      scale,
      behind: curves.map((curve) => pathOf(curve, scale)).join(''),
      months: shownAlong === 'calendar' ? monthStarts(scale) : [],
    }
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
              months={months}
            />
          ))}
        </div>
      )}
      {runs.length > 0 && <RunsTable runs={runs} review={review} among={among} />}
    </section>
  )
}
