/** One chart with its title, its reading cursor in words, and the figures behind it as a table. */
import type { Signal } from '@preact/signals'
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { LatestValue } from '../../../shared/api/measurements.js'
import { isGood } from '../../../shared/quality-flags.js'
import { figure, shownUnit, toShown } from '../format/units.js'
import { useWidth } from '../parts/use-width.js'
import { timeZone } from '../state/garden.js'
import { clockStyle, tempUnit } from '../state/preferences.js'
import { nowMs } from '../state/present.js'
import { RAW_SPAN_S } from './bed-data.js'
import { lineOf, type Marked, markedReadings } from './chart-columns.js'
import { keyAction } from './chart-keys.js'
import type { ChartLine } from './chart-line.js'
import type { Night } from './chart-paint.js'
import { chartSummary, isEmpty } from './chart-summary.js'
import { FigureTable } from './figure-table.js'
import { attachGestures } from './gestures.js'
import { onPaletteChange, readPalette } from './palette.js'
import { pan, spanOf, type TimeRange, zoom } from './range.js'
import { readoutOf, restText } from './readout.js'
import { createTimeChart, type TimeChart } from './time-chart.js'
import { valueRange } from './value-range.js'

interface ChartPanelProps {
  readonly title: string
  readonly lines: readonly ChartLine[]
  /** of all charts of the page; gestures move it faster than the page is drawn, so it is read where it is needed */
  readonly range: Signal<TimeRange>
  readonly nights: readonly Night[]
  readonly isLoading: boolean
  /** newest readings of the bed */
  readonly latest: readonly LatestValue[]
  /** where the reading cursor stands, for all charts of the page */
  readonly cursor: Signal<number | null>
}

const PHONE_PX = 560

const unitOf = (lines: readonly ChartLine[]): string =>
  lines.find((l) => l.series !== null)?.series?.unit ?? ''

export function ChartPanel(props: ChartPanelProps) {
  const { title, lines, nights } = props
  const range = props.range.value
  const host = useRef<HTMLDivElement>(null)
  const panel = useRef<HTMLDivElement>(null)
  const chart = useRef<TimeChart | null>(null)
  const width = useWidth(host)
  const height = width < PHONE_PX ? 230 : 260
  const cursorS = props.cursor.value
  const [isByKey, setByKey] = useState(false)
  const [palette, setPalette] = useState(readPalette)

  const unit = unitOf(lines)
  const quantity = lines[0]?.quantity ?? ''
  const temp = tempUnit.value
  const clock = clockStyle.value
  const zone = timeZone.value
  const allSeries = lines.map((l) => l.series)

  // `lines` is a new array on every render; the series in it are what the drawing depends on
  const drawn = useMemo(() => {
    const empty = { time: [], min: [], mean: [], max: [] }
    return {
      lines: lines.map((l) =>
        l.series === null ? empty : lineOf(l.series, (v) => toShown(v, l.series?.unit ?? '', temp)),
      ),
      marked: lines.flatMap((l) =>
        l.series === null ? [] : markedReadings(l.series, (v) => toShown(v, l.series?.unit ?? '', temp)),
      ),
    }
  }, [...allSeries, temp])

  const state = {
    fromS: range.fromS,
    toS: range.toS,
    lines: drawn.lines,
    marked: drawn.marked,
    nights,
    timeZone: zone,
    clockStyle: clock,
  }

  // the chart outlives renders: it reads the units through this
  const current = useRef({ temp, unit })
  current.current = { temp, unit }

  function move(change: (shown: TimeRange, presentS: number) => TimeRange): void {
    props.range.value = change(props.range.peek(), nowMs.peek() / 1000)
  }

  useEffect(() => onPaletteChange(() => setPalette(readPalette())), [])

  const isReady = width > 0
  useEffect(() => {
    if (!isReady || host.current === null || panel.current === null) return
    const made = createTimeChart(
      {
        host: host.current,
        width,
        height,
        styles: lines.map(({ label, ink, dash }) => ({ label, ink, dash })),
        tick: (value) => tickText(quantity, value),
        range: (lowest, highest) =>
          valueRange(quantity, lowest, highest, (v) =>
            toShown(v, current.current.unit, current.current.temp),
          ),
        onRead: (timeS) => {
          props.cursor.value = timeS
        },
      },
      state,
      palette,
    )
    chart.current = made
    const detach = attachGestures(made.plot, panel.current, {
      onPan: (part) => move((shown, presentS) => pan(shown, part, presentS)),
      onZoom: (factor, place) =>
        move((shown, presentS) => zoom(shown, factor, shown.fromS + place * spanOf(shown), presentS)),
      onRead: (leftPx) => {
        setByKey(true)
        made.readAt(leftPx)
      },
    })
    // the axis words are measured in the almanac's own type once it has come
    void document.fonts.ready.then(() => {
      if (chart.current === made) made.repaint(readPalette())
    })
    return () => {
      detach()
      made.destroy()
      chart.current = null
    }
  }, [isReady, quantity])

  useEffect(() => chart.current?.show(state), [range.fromS, range.toS, drawn, nights, zone, clock])
  // before the next frame: a page that is printed waits for no more
  useLayoutEffect(() => {
    if (width > 0) chart.current?.resize(width, height)
  }, [width, height])
  useLayoutEffect(() => chart.current?.repaint(palette), [palette])

  const readout =
    cursorS === null
      ? restText(lines, props.latest, range.isFollowing, temp, zone, clock)
      : readoutOf(lines, cursorS, temp, zone, clock)

  function onKeyDown(event: KeyboardEvent): void {
    const action = keyAction(event)
    if (action === null) return
    event.preventDefault()
    setByKey(true)
    if (action.kind === 'pan') move((shown, presentS) => pan(shown, action.part, presentS))
    else if (action.kind === 'zoom')
      move((shown, presentS) => zoom(shown, action.factor, cursorS ?? middleOf(shown), presentS))
    else if (action.kind === 'read') chart.current?.stepCursor(action.samples)
    else chart.current?.clearCursor()
  }

  const areEmpty = lines.every((l) => isEmpty(l.series))
  const heading = `${title}, ${shownUnit(unit, temp) || 'no unit'}`
  return (
    <section class="chart-panel" aria-busy={props.isLoading}>
      <h3>{unit === '' ? title : heading}</h3>
      <p
        class={`readout${cursorS === null ? ' at-rest' : ''}${lines.length > 1 ? ' of-two' : ''}`}
        data-readout={title}
      >
        {readout}
      </p>
      {/* biome-ignore lint/a11y/useSemanticElements: a group of curves, not of form fields */}
      <div
        class="chart-focus"
        ref={panel}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the chart itself takes keys (WCAG 2.1.1)
        tabIndex={0}
        role="group"
        aria-roledescription="chart"
        aria-label={`${title}: arrow keys move, plus and minus zoom, shift with arrow keys reads values`}
        onKeyDown={onKeyDown}
      >
        <div
          class="chart-host"
          ref={host}
          role="img"
          aria-label={chartSummary(lines, range, temp, zone, clock)}
          data-height={height}
          onPointerMove={() => setByKey(false)}
        />
        {areEmpty && !props.isLoading && (
          <p class="chart-empty">No readings of {title.toLowerCase()} in this stretch of time.</p>
        )}
      </div>
      <p class="unseen" aria-live="polite">
        {isByKey && cursorS !== null ? readout : ''}
      </p>
      {spanOf(range) <= RAW_SPAN_S && <p class="hint marks">{marksText(drawn.marked)}</p>}
      <FigureTable title={title} lines={lines} />
    </section>
  )
}

/** What the marks on the chart mean; only those that occur. */
function marksText(marked: readonly Marked[]): string {
  const areDoubtful = marked.some((m) => !isGood(m.flags))
  const areAtCeiling = marked.some((m) => isGood(m.flags))
  return [
    ...(areDoubtful ? ['× marks a doubtful reading, left out of every figure.'] : []),
    ...(areAtCeiling ? ['^ marks a reading at the sensor’s ceiling: the light was at least that.'] : []),
  ].join(' ')
}

const middleOf = (range: TimeRange): number => (range.fromS + range.toS) / 2

/** Light runs to six digits: its axis counts in thousands. */
function tickText(quantity: string, value: number): string {
  if (quantity === 'light') return value === 0 ? '0' : `${figure(value / 1000, value % 1000 === 0 ? 0 : 1)}k`
  return figure(
    value,
    Number.isInteger(value) ? 0 : Math.abs(value * 10 - Math.round(value * 10)) < 1e-6 ? 1 : 2,
  )
}
