/**
 * One uPlot chart: made once, then fed with new data, ranges and widths. uPlot's own time axis, legend, zoom and
 * colours are replaced: the axis by time-axis.ts (the garden's zone), the legend by words on the lines and the
 * readout below, zooming by gestures.ts, colours by the style sheet.
 */
import uPlot from 'uplot'
import type { ClockStyle } from '../format/local-clock.js'
import { alignLines, isolated, type Line, type Marked } from './chart-columns.js'
import { CHART_FONT, type Night, paintMarks, paintNights, paintWords } from './chart-paint.js'
import type { Palette, PaletteName } from './palette-names.js'
import { tickLabels, tickStep, ticksFor, timeTicks } from './time-axis.js'
import { extremes } from './value-range.js'

/** Left of every plot, so that charts, ribbon and bars stand exactly above one another, px. */
export const PLOT_LEFT = 46
export const PLOT_RIGHT = 14
const X_AXIS_HEIGHT = 42
const SYNC_KEY = 'bed'

export interface LineStyle {
  readonly label: string
  readonly ink: PaletteName
  readonly dash: readonly number[]
}

export interface ChartSetup {
  readonly host: HTMLElement
  readonly width: number
  readonly height: number
  readonly styles: readonly LineStyle[]
  /** writes a tick of the vertical axis */
  tick(value: number): string
  /** vertical extent for the good figures in view */
  range(lowest: number | null, highest: number | null): [number, number]
  /** the cursor stands at this instant, on a sample where one is near; null: it left */
  onRead(timeS: number | null): void
}

export interface ChartState {
  readonly fromS: number
  readonly toS: number
  readonly lines: readonly Line[]
  readonly marked: readonly Marked[]
  readonly nights: readonly Night[]
  readonly timeZone: string
  readonly clockStyle: ClockStyle
}

export interface TimeChart {
  readonly plot: HTMLElement
  show(state: ChartState): void
  repaint(palette: Palette): void
  resize(width: number, height: number): void
  /** moves the reading cursor by samples; from the right edge when it stood nowhere */
  stepCursor(samples: number): void
  readAt(leftPx: number): void
  clearCursor(): void
  destroy(): void
}

export function createTimeChart(setup: ChartSetup, first: ChartState, firstPalette: Palette): TimeChart {
  let state = first
  let palette = firstPalette
  let alone: number[][] = []
  const meanColumn = (line: number): number => 2 + line * 3

  function columnsOf(next: ChartState): uPlot.AlignedData {
    const columns = alignLines(next.lines)
    alone = next.lines.map((_, i) => isolated(columns[meanColumn(i)] ?? []))
    return columns
  }

  const series: uPlot.Series[] = [{}]
  const bands: uPlot.Band[] = []
  setup.styles.forEach((style, i) => {
    const edge: uPlot.Series = { stroke: 'transparent', width: 0, points: { show: false } }
    const line: uPlot.Series = {
      stroke: () => palette[style.ink],
      width: 1.8,
      dash: [...style.dash],
      points: {
        show: true,
        size: 5,
        fill: () => palette[style.ink],
        filter: () => alone[i] ?? [],
      },
    }
    series.push(edge, line, edge)
    bands.push({ series: [3 + i * 3, 1 + i * 3], fill: () => `${palette[style.ink]}38` })
  })

  const axisFont = `12px ${CHART_FONT}`
  const chart = new uPlot(
    {
      width: setup.width,
      height: setup.height,
      padding: [8, PLOT_RIGHT, 0, 0],
      series,
      bands,
      legend: { show: false },
      cursor: {
        y: false,
        drag: { x: false, y: false, setScale: false },
        sync: { key: SYNC_KEY, scales: ['x', null] },
        points: { size: 7, fill: (_, i) => palette[setup.styles[Math.floor((i - 1) / 3)]?.ink ?? 'ink'] },
      },
      scales: {
        x: { time: false, auto: false, range: () => [state.fromS, state.toS] },
        y: {
          range: (u) => {
            const [times, ...columns] = u.data
            const from = times === undefined ? 0 : lowerBound(times, state.fromS)
            const to = times === undefined ? 0 : lowerBound(times, state.toS)
            const [lowest, highest] = extremes(columns, from, to)
            return setup.range(lowest, highest)
          },
        },
      },
      axes: [
        {
          size: X_AXIS_HEIGHT,
          font: axisFont,
          lineGap: 1.25,
          gap: 3,
          stroke: () => palette.faint,
          grid: { stroke: () => palette.rule, width: 1 },
          ticks: { stroke: () => palette.rule, width: 1, size: 4 },
          splits: (u) =>
            timeTicks(state.fromS, state.toS, ticksFor(u.bbox.width / uPlot.pxRatio), state.timeZone),
          values: (u, ticks) =>
            tickLabels(
              ticks,
              tickStep(state.toS - state.fromS, ticksFor(u.bbox.width / uPlot.pxRatio)),
              state.timeZone,
              state.clockStyle,
            ),
        },
        {
          size: PLOT_LEFT,
          font: axisFont,
          gap: 4,
          stroke: () => palette.faint,
          grid: { stroke: () => palette.rule, width: 1 },
          ticks: { show: false },
          values: (_, ticks) => ticks.map((tick) => setup.tick(tick)),
        },
      ],
      hooks: {
        drawClear: [(u) => paintNights(u, state.nights, palette)],
        draw: [
          (u) => {
            paintMarks(u, state.marked, palette)
            const words = setup.styles.map((style, i) => ({
              label: style.label,
              colour: palette[style.ink],
              column: meanColumn(i),
            }))
            paintWords(u, words, palette)
          },
        ],
        setCursor: [(u) => setup.onRead(cursorInstant(u))],
      },
    },
    columnsOf(first),
    setup.host,
  )

  return {
    plot: chart.over,
    show(next) {
      const isSameData = next.lines === state.lines
      state = next
      chart.batch(() => {
        if (!isSameData) chart.setData(columnsOf(next), false)
        chart.setScale('x', { min: next.fromS, max: next.toS })
      })
      chart.redraw(false, true)
    },
    repaint(next) {
      palette = next
      chart.redraw(false, true)
    },
    resize: (width, height) => chart.setSize({ width, height }),
    stepCursor(samples) {
      const times = chart.data[0] ?? []
      const left = chart.cursor.left ?? -1
      const at = left < 0 ? lowerBound(times, state.toS) : (chart.cursor.idx ?? 0) + samples
      const index = Math.max(lowerBound(times, state.fromS), Math.min(times.length - 1, at))
      const timeS = times[index]
      if (timeS !== undefined) chart.setCursor({ left: chart.valToPos(timeS, 'x'), top: 0 })
    },
    readAt: (leftPx) => chart.setCursor({ left: leftPx, top: 0 }),
    clearCursor: () => chart.setCursor({ left: -10, top: -10 }),
    destroy: () => chart.destroy(),
  }
}

/** A cursor this near to a sample reads it; farther off it stands in a gap, px. */
const SNAP_PX = 14

function cursorInstant(u: uPlot): number | null {
  const { left, idx } = u.cursor
  if (left === undefined || left < 0) return null
  const sampleS = idx === null || idx === undefined ? undefined : u.data[0]?.[idx]
  if (sampleS !== undefined && Math.abs(u.valToPos(sampleS, 'x') - left) <= SNAP_PX) return sampleS
  return u.posToVal(left, 'x')
}

function lowerBound(times: ArrayLike<number>, timeS: number): number {
  let low = 0
  let high = times.length
  while (low < high) {
    const middle = (low + high) >> 1
    if ((times[middle] ?? 0) < timeS) low = middle + 1
    else high = middle
  }
  return low
}
