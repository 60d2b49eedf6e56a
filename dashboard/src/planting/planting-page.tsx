/** One planting: how far it is and when it will be ready, the warmth it had and will have, what threatens it. */

import { useEffect, useMemo } from 'preact/hooks'
import type { BedForecast } from '../../../shared/api/forecast.js'
import type { PlantingReport } from '../../../shared/api/progress.js'
import { ApiFailure } from '../api/client.js'
import { capital } from '../format/sentences.js'
import { percent, showDegreeDays } from '../format/units.js'
import { Failure } from '../parts/failure.js'
import { bedPath } from '../routes.js'
import { mayChange } from '../state/access.js'
import { bedName, warnings as openWarnings } from '../state/garden.js'
import { gardenChanges } from '../state/live-garden.js'
import { tempUnit } from '../state/preferences.js'
import { toldHere } from '../state/told-here.js'
import { CropNumbers } from './crop-numbers.js'
import { DayChartPanel } from './day-chart-panel.js'
import { Doses } from './dose-line.js'
import { envelopeFigures, forecastDays, readEnvelope } from './envelope-figures.js'
import { EnvelopeKey } from './envelope-key.js'
import { ForecastSource, ForecastTable } from './forecast-section.js'
import { growthFigures, readGrowth } from './growth-figures.js'
import { GrowthDays, StageTable } from './growth-tables.js'
import { plantingData } from './planting-data.js'
import { PlantingWarnings } from './planting-warnings.js'
import { datesOf, leadSentence, plantingName, tempText } from './planting-words.js'
import { SeenSection } from './seen-section.js'

/** A forecast and a report grow old: asked anew so often, ms. */
const REFRESH_MS = 5 * 60_000
/** Measured days beside the forecast: on a phone four weeks, else ten. */
const PHONE_PX = 560
const DAYS_ON_PHONE = 28
const DAYS_SHOWN = 70

function comfortSentence({ comfort, doses }: PlantingReport): string {
  const unit = tempUnit.value
  const heat = doses.heat === null ? '' : ` Hours above ${tempText(doses.heat.aboveC, unit)} count as heat.`
  if (comfort === null) return heat.trim()
  return `It grows best at means of ${tempText(comfort.bestFromC, unit)} to ${tempText(comfort.bestToC, unit)}, and grows at all from ${tempText(comfort.minMeanC, unit)} to ${tempText(comfort.maxMeanC, unit)}.${heat}`
}

function GrowthCurve({ report }: { readonly report: PlantingReport }) {
  const unit = tempUnit.value
  const { lead, rest } = leadSentence(report)
  const sum = report.degreeDaysC === null ? 'not known' : showDegreeDays(report.degreeDaysC, unit)
  return (
    <DayChartPanel
      title="Degree days"
      summary={`Degree days: ${sum} so far. ${lead}${rest}`}
      figures={() => growthFigures(report, unit)}
      of={[report, unit]}
      read={(date) => readGrowth(report, date, unit)}
    >
      <p class="chart-words">
        {sum} so far{report.since === null ? '' : `; readings cover ${percent(report.coverage)} of the time`}.{' '}
        {report.projection.words}
        {report.projection.basis === 'recent pace' && mayChange.value && (
          <>
            {' '}
            <a href="/garden">Type in the normals</a>
          </>
        )}
      </p>
      <details>
        <summary>Its stages in figures</summary>
        <StageTable report={report} />
      </details>
    </DayChartPanel>
  )
}

interface EnvelopeProps {
  readonly report: PlantingReport
  readonly forecast: BedForecast | null
}

function Envelope({ report, forecast }: EnvelopeProps) {
  const unit = tempUnit.value
  const next = forecastDays(report, forecast).find((day) => day.leadDays === 1)
  const tomorrow =
    next === undefined
      ? ''
      : ` Forecast for tomorrow: ${tempText(next.airTempMinC.middleC, unit)} to ${tempText(next.airTempMaxC.middleC, unit)}.`
  return (
    <DayChartPanel
      title="Air temperature, day by day"
      summary={`Lowest and highest air temperature of each day. ${comfortSentence(report)}${tomorrow}`}
      figures={(width) =>
        envelopeFigures(report, forecast, unit, width < PHONE_PX ? DAYS_ON_PHONE : DAYS_SHOWN)
      }
      of={[report, forecast, unit]}
      read={(date) => readEnvelope(report, forecast, date, unit)}
    >
      <EnvelopeKey report={report} hasForecast={forecastDays(report, forecast).length > 0} />
      <p class="chart-words">{comfortSentence(report)}</p>
    </DayChartPanel>
  )
}

function Notes({ report }: { readonly report: PlantingReport }) {
  const filled =
    report.filledC >= 1
      ? [`${showDegreeDays(report.filledC, tempUnit.value)} of the sum were filled in over short holes.`]
      : []
  const open =
    report.openDays > 0
      ? [
          `${report.openDays} ${report.openDays === 1 ? 'day is' : 'days are'} missing for want of readings: the sum is at least this.`,
        ]
      : []
  const all = [...report.notes, ...open, ...filled]
  if (all.length === 0) return null
  return (
    <ul class="notes">
      {all.map((note) => (
        <li key={note}>{toldHere(note)}</li>
      ))}
    </ul>
  )
}

export function PlantingPage({ planting: id }: { readonly planting: string }) {
  const data = useMemo(() => plantingData(id), [id])
  const changes = gardenChanges.value
  const open = openWarnings.state.value.value

  useEffect(() => {
    void data.reload()
    const timer = setInterval(() => {
      if (document.visibilityState === 'visible') void data.reload()
    }, REFRESH_MS)
    return () => clearInterval(timer)
  }, [data, changes])
  // a warning raised, changed or cleared by the live line belongs to this page's history too
  useEffect(() => {
    if (data.growth.state.peek().value !== null) void data.warnings.reload()
  }, [data, open])

  const { value, failure } = data.growth.state.value
  if (value === null && failure instanceof ApiFailure && failure.status === 404)
    return (
      <section>
        <h2>No such planting</h2>
        <p>
          The garden has no such planting; it may have been removed. <a href="/">Back to today</a>
        </p>
      </section>
    )
  if (value === null && failure !== null)
    return <Failure failure={failure} onRetry={() => void data.reload()} />
  const forecast = data.forecast.state.value
  const crop = data.crop.state.value
  const warnings = data.warnings.state.value
  const journal = data.journal.state.value
  // set whole: a part that came later would push the ones below it about
  const isReady =
    value !== null &&
    (forecast.value !== null || forecast.failure !== null) &&
    (crop.value !== null || crop.failure !== null || !crop.isLoading) &&
    (warnings.value !== null || warnings.failure !== null) &&
    (journal.value !== null || journal.failure !== null)
  if (!isReady) return <p class="waiting">Reckoning up the planting …</p>

  const { planting, report } = value
  const spoken = forecast.value?.beds.find((one) => one.bed === planting.bed) ?? null
  const ahead = forecastDays(report, spoken)
  const { lead, rest } = leadSentence(report)
  const name = plantingName(report.cropName, planting.variety)
  const reload = (): Promise<void> => data.reload()
  return (
    <div class="planting-page">
      <div class="page-title">
        <h2>{name}</h2>
        <p class="bed-links on-paper">
          {planting.plants} {planting.plants === 1 ? 'plant' : 'plants'} in{' '}
          <a href={bedPath(planting.bed)}>{bedName(planting.bed)}</a>, {datesOf(planting)}
        </p>
      </div>
      {failure !== null && <Failure failure={failure} onRetry={() => void reload()} />}
      <p class="say">
        <b>{lead}</b>
        {rest} <span class="aside">{toldHere(capital(report.basis))}.</span>
      </p>
      {report.emergence !== null && <p>{toldHere(report.emergence.words)}</p>}
      <Notes report={report} />
      <PlantingWarnings
        planting={id}
        warnings={warnings.value ?? []}
        mutes={data.mutes.state.value.value}
        onChanged={reload}
      />
      {warnings.failure !== null && (
        <Failure failure={warnings.failure} onRetry={() => void data.warnings.reload()} />
      )}
      <SeenSection
        planting={id}
        forms={crop.value?.forms ?? 'head'}
        isPlantedOut={planting.plantedOutOn !== null && planting.plantedOutOn <= report.today}
        today={report.today}
        journal={journal.value ?? []}
        onChanged={reload}
      />
      {journal.failure !== null && (
        <Failure failure={journal.failure} onRetry={() => void data.journal.reload()} />
      )}
      {report.days.date.length > 0 && (
        <>
          <GrowthCurve report={report} />
          <Envelope report={report} forecast={spoken} />
        </>
      )}
      {forecast.value !== null && planting.finishedOn === null && (
        <>
          <ForecastSource forecast={forecast.value} bed={planting.bed} />
          <ForecastTable days={ahead} />
        </>
      )}
      {forecast.failure !== null && (
        <Failure failure={forecast.failure} onRetry={() => void data.forecast.reload()} />
      )}
      {report.days.date.length > 0 && <GrowthDays report={report} />}
      <Doses report={report} />
      {crop.value !== null && <CropNumbers key={crop.value.id} crop={crop.value} onChanged={reload} />}
    </div>
  )
}
