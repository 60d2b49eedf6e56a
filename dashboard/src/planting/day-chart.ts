/**
 * A chart of days: lines and bands over calendar dates, with rules, washes and words of its own. Unlike the charts of
 * a bed it shows one fixed stretch, so it is made anew when its figures change.
 */
import uPlot from 'uplot'
import { CHART_FONT } from '../bed/chart-paint.js'
import type { Palette } from '../bed/palette-names.js'
import { tickLabels, tickStep, ticksFor, timeTicks } from '../bed/time-axis.js'
import { figure } from '../format/units.js'
import { paintRules, paintStretches, paintToday } from './day-chart-paint.js'
import { type DayFigures, noonS } from './day-figures.js'

const LEFT = 46
const RIGHT = 14
const X_AXIS_HEIGHT = 42

export interface DayChart {
  resize(width: number, height: number): void
  /** moves the reading cursor by days; from `startAt` when it stood nowhere */
  step(days: number, startAt: number): void
  clearCursor(): void
  destroy(): void
}

const HALF_DAY_S = 43_200

/** @param onRead  index of the date under the cursor; null: it left */
export function createDayChart(
  host: HTMLElement,
  width: number,
  height: number,
  figures: DayFigures,
  palette: Palette,
  onRead: (index: number | null) => void,
): DayChart {
  const times = figures.dates.map(noonS)
  const fromS = (times[0] ?? 0) - HALF_DAY_S
  const toS = (times.at(-1) ?? 0) + HALF_DAY_S
  const font = `12px ${CHART_FONT}`
  const maxTicks = (u: uPlot): number => ticksFor(u.bbox.width / uPlot.pxRatio)
  const chart = new uPlot(
    {
      width,
      height,
      padding: [8, RIGHT, 0, 0],
      legend: { show: false },
      cursor: {
        y: false,
        drag: { x: false, y: false, setScale: false },
        points: { size: 7, fill: (_, i) => palette[figures.lines[i - 1]?.ink ?? 'ink'] },
      },
      series: [
        {},
        ...figures.lines.map(
          (line): uPlot.Series => ({
            stroke: line.width === 0 ? 'transparent' : palette[line.ink],
            width: line.width,
            dash: [...line.dash],
            points: { show: false },
          }),
        ),
      ],
      bands: figures.bands.map(
        (band): uPlot.Band => ({
          series: [band.upper + 1, band.lower + 1],
          fill: `${palette[band.ink]}${band.alpha}`,
        }),
      ),
      scales: {
        x: { time: false, auto: false, range: () => [fromS, toS] },
        y: { range: () => [...figures.range] },
      },
      axes: [
        {
          size: X_AXIS_HEIGHT,
          font,
          lineGap: 1.25,
          gap: 3,
          stroke: palette.faint,
          grid: { stroke: palette.rule, width: 1 },
          ticks: { stroke: palette.rule, width: 1, size: 4 },
          splits: (u) => timeTicks(fromS, toS, Math.min(maxTicks(u), figures.dates.length), 'UTC'),
          values: (u, ticks) =>
            tickLabels(
              ticks,
              tickStep(toS - fromS, Math.min(maxTicks(u), figures.dates.length)),
              'UTC',
              '24',
            ),
        },
        {
          size: LEFT,
          font,
          gap: 4,
          stroke: palette.faint,
          grid: { stroke: palette.rule, width: 1 },
          ticks: { show: false },
          values: (_, ticks) => ticks.map((tick) => figure(tick, 0)),
        },
      ],
      hooks: {
        drawClear: [(u) => paintStretches(u, figures.washes, [], palette)],
        draw: [
          (u) => {
            paintStretches(u, [], figures.stretches, palette)
            paintRules(u, figures.rules, palette)
            if (figures.today !== null) paintToday(u, noonS(figures.today), palette)
          },
        ],
        setCursor: [
          (u) => {
            const { left, idx } = u.cursor
            onRead(left === undefined || left < 0 ? null : (idx ?? null))
          },
        ],
      },
    },
    [times, ...figures.lines.map((line) => [...line.values])],
    host,
  )
  return {
    resize: (w, h) => chart.setSize({ width: w, height: h }),
    step(days, startAt) {
      const left = chart.cursor.left ?? -1
      const from = left < 0 ? startAt : (chart.cursor.idx ?? startAt) + days
      const timeS = times[Math.max(0, Math.min(times.length - 1, from))]
      if (timeS !== undefined) chart.setCursor({ left: chart.valToPos(timeS, 'x'), top: 0 })
    },
    clearCursor: () => chart.setCursor({ left: -10, top: -10 }),
    destroy: () => chart.destroy(),
  }
}
