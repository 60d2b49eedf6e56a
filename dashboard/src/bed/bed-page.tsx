/** One bed over any stretch of time: its temperatures, its light, its sun beneath, and its days in figures. */
import { computed, signal } from '@preact/signals'
import { useEffect, useMemo, useRef } from 'preact/hooks'
import type { BedSun } from '../../../shared/api/measurements.js'
import { QUANTITIES } from '../../../shared/quantities.js'
import { capital } from '../format/sentences.js'
import { labelOf } from '../format/units.js'
import { stepPath } from '../front-door/steps.js'
import { Failure } from '../parts/failure.js'
import { useWidth } from '../parts/use-width.js'
import { bedSunPath } from '../routes.js'
import { mayChange } from '../state/access.js'
import { beds, loadGarden, timeZone, today } from '../state/garden.js'
import { nowMs } from '../state/present.js'
import { Patterns } from '../sun/patterns.js'
import { BarsKey, StateKey } from '../sun/state-key.js'
import { createBedData, RIBBON_DAYS } from './bed-data.js'
import type { ChartLine } from './chart-line.js'
import type { Night } from './chart-paint.js'
import { ChartPanel } from './chart-panel.js'
import { DayTable } from './day-table.js'
import { GrowingHere } from './growing-here.js'
import { PlannedHere } from './planned-here.js'
import { fromQuery, latest, spanOf, toQuery } from './range.js'
import { RangeControls } from './range-controls.js'
import { SunStrip } from './sun-strip.js'
import { PLOT_LEFT, PLOT_RIGHT } from './time-chart.js'

const DAY_S = 86_400
/** Every bed has these charts, readings or not: their absence is worth seeing. */
const ALWAYS = ['air-temp', 'soil-temp', 'light']
const STATES = new Set(['sun', 'cloud', 'shade', 'unknown', 'night'] as const)

/** From each sunset to the next sunrise, as far as the days in view are known. */
export function nightsOf(suns: ReadonlyMap<string, BedSun>): Night[] {
  const nights: Night[] = []
  for (const sun of suns.values()) {
    const fromS = Date.parse(sun.from) / 1000
    const toS = Date.parse(sun.to) / 1000
    if (sun.sunrise === null || sun.sunset === null) {
      if (sun.possibleSunHours <= 0) nights.push({ fromS, toS })
      continue
    }
    const riseS = Date.parse(sun.sunrise) / 1000
    const setS = Date.parse(sun.sunset) / 1000
    nights.push({ fromS, toS: riseS }, { fromS: setS, toS })
  }
  return nights
}

function chartsOf(
  others: readonly string[],
  lineOf: (quantity: string, look: Partial<ChartLine>) => ChartLine,
) {
  return [
    {
      title: 'Air and soil temperature',
      lines: [
        lineOf('air-temp', { label: 'air', ink: 'line-air' }),
        lineOf('soil-temp', { label: 'soil', ink: 'line-soil', dash: [7, 4] }),
      ],
    },
    { title: 'Light', lines: [lineOf('light', { ink: 'line-light' })] },
    ...others.map((quantity) => {
      const label = labelOf(quantity)
      return { title: capital(label), lines: [lineOf(quantity, {})] }
    }),
  ]
}

export function BedPage({ bed }: { readonly bed: string }) {
  const frame = useRef<HTMLDivElement>(null)
  const width = useWidth(frame)
  const view = useMemo(() => {
    const startS = nowMs.peek() / 1000
    const range = signal(fromQuery(new URLSearchParams(location.search), startS) ?? latest(3 * DAY_S, startS))
    const plotWidth = signal(0)
    const quantities = computed(() => {
      const row = today.state.value.value?.beds.find((b) => b.bed === bed)
      const sent = row?.latest.map((l) => l.quantity) ?? []
      return [...ALWAYS, ...sent.filter((q) => !ALWAYS.includes(q))]
    })
    // a list with the same names is the same list, or each live reading would fetch everything anew
    const settled = computed(() => quantities.value.join('\n'))
    const names = computed(() => settled.value.split('\n'))
    return {
      range,
      plotWidth,
      names,
      cursor: signal<number | null>(null),
      data: createBedData(bed, range, names, plotWidth),
    }
  }, [bed])

  useEffect(() => () => view.data.dispose(), [view])
  useEffect(() => {
    view.plotWidth.value = Math.max(0, width - PLOT_LEFT - PLOT_RIGHT)
  }, [view, width])

  const range = view.range.value
  const nowS = nowMs.value / 1000
  const query = toQuery(range)
  useEffect(() => {
    // browsers limit how often the address may change: wait for a gesture to end
    const timer = setTimeout(() => history.replaceState(null, '', `${location.pathname}?${query}`), 400)
    return () => clearTimeout(timer)
  }, [query])

  const { series, days, suns, isLoading, failure } = view.data.figures.value
  const nights = useMemo(() => (range.toS - range.fromS <= 16 * DAY_S ? nightsOf(suns) : []), [suns, range])

  const known = beds.state.value
  const row = today.state.value.value?.beds.find((b) => b.bed === bed)
  const newest = row?.latest ?? []
  const info = known.value?.find((b) => b.id === bed)
  if (known.value !== null && info === undefined)
    return (
      <section>
        <h2>No such bed</h2>
        <p>
          The garden has no bed “{bed}”. <a href="/">Back to today</a>
        </p>
      </section>
    )

  const lineOf = (quantity: string, look: Partial<ChartLine>): ChartLine => ({
    quantity,
    label: QUANTITIES.get(quantity)?.label ?? quantity,
    ink: 'line-other',
    dash: [],
    series: series.get(quantity) ?? null,
    ...look,
  })
  const charts = chartsOf(
    view.names.value.filter((q) => !ALWAYS.includes(q)),
    lineOf,
  )
  const retry = (): void => {
    view.data.refresh()
    void loadGarden()
  }
  const setRange = (next: typeof range): void => {
    view.range.value = next
  }

  return (
    <div class="bed-page" ref={frame}>
      <div class="page-title">
        <h2>{info?.name ?? '\u00a0'}</h2>
        <p class="bed-links">
          <a href={bedSunPath(bed)}>its sun through the year</a>
        </p>
        <BedLinks current={bed} />
      </div>
      {row !== undefined && newest.length === 0 && (
        <p class="invitation">
          Nothing has been measured in this bed yet.
          {mayChange.value && (
            <>
              {' '}
              <a href={stepPath('node')}>Add a node</a>, or <a href="/garden">place one</a> that is there
              already: a time in the past counts too.
            </>
          )}
        </p>
      )}
      <RangeControls range={range} nowS={nowS} onRange={setRange} />
      {failure !== null && <Failure failure={new Error(failure)} onRetry={retry} />}
      <Patterns />
      {charts.slice(0, 2).map((chart) => (
        <ChartPanel
          key={chart.title}
          title={chart.title}
          lines={chart.lines}
          range={view.range}
          nights={nights}
          isLoading={isLoading}
          latest={newest}
          cursor={view.cursor}
        />
      ))}
      <SunStrip range={range} suns={suns} days={days} timeZone={timeZone.value} cursor={view.cursor} />
      {spanOf(range) <= RIBBON_DAYS * DAY_S ? <StateKey states={STATES} /> : <BarsKey />}
      {charts.slice(2).map((chart) => (
        <ChartPanel
          key={chart.title}
          title={chart.title}
          lines={chart.lines}
          range={view.range}
          nights={nights}
          isLoading={isLoading}
          latest={newest}
          cursor={view.cursor}
        />
      ))}
      <GrowingHere plantings={row?.plantings ?? []} />
      <DayTable days={days} isLoading={isLoading} />
      <PlannedHere bed={bed} />
    </div>
  )
}

/** The other beds, for going from one to the next. */
function BedLinks({ current }: { readonly current: string }) {
  const others = (beds.state.value.value ?? []).filter((b) => b.id !== current)
  if (others.length === 0) return null
  return (
    <p class="bed-links">
      other beds:{' '}
      {others.map((b, i) => (
        <span key={b.id}>
          {i > 0 && ', '}
          <a href={`/beds/${encodeURIComponent(b.id)}`}>{b.name}</a>
        </span>
      ))}
    </p>
  )
}
