/** A chart of days with its title, the day under the cursor in words, and its keys. */
import type { ComponentChildren } from 'preact'
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks'
import { onPaletteChange, readPalette } from '../bed/palette.js'
import { useWidth } from '../parts/use-width.js'
import { createDayChart, type DayChart } from './day-chart.js'
import type { DayFigures } from './day-figures.js'

interface DayChartPanelProps {
  readonly title: string
  /** what the picture shows, for a screen reader */
  readonly summary: string
  /** figures for a plot of this width; the same object as long as nothing changed */
  figures(width: number): DayFigures
  /** what `figures` depends on */
  readonly of: readonly unknown[]
  /** the day in words */
  read(date: string): string
  readonly children?: ComponentChildren
}

const PHONE_PX = 560
const REST = 'Point at the chart, or use the arrow keys, to read a day.'

export function DayChartPanel({ title, summary, figures, of, read, children }: DayChartPanelProps) {
  const host = useRef<HTMLDivElement>(null)
  const chart = useRef<DayChart | null>(null)
  const shown = useRef<DayFigures | null>(null)
  const width = useWidth(host)
  const height = width < PHONE_PX ? 250 : 290
  const [at, setAt] = useState<string | null>(null)
  const [palette, setPalette] = useState(readPalette)

  useEffect(() => onPaletteChange(() => setPalette(readPalette())), [])

  // before the next frame: a page that is printed waits for no more
  useLayoutEffect(() => {
    if (host.current === null || width === 0) return
    const element = host.current
    let isGone = false
    const draw = (): void => {
      if (isGone) return
      chart.current?.destroy()
      const now = figures(width)
      shown.current = now
      chart.current = createDayChart(element, width, height, now, palette, (index) =>
        setAt(index === null ? null : (now.dates[index] ?? null)),
      )
    }
    draw()
    // the words are measured in the almanac's own type once it has come
    if (document.fonts.status !== 'loaded') void document.fonts.ready.then(draw)
    return () => {
      isGone = true
      chart.current?.destroy()
      chart.current = null
    }
  }, [width, height, palette, ...of])

  function onKeyDown(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const steps: Readonly<Record<string, number>> = { ArrowLeft: -1, ArrowRight: 1, PageUp: -7, PageDown: 7 }
    const step = steps[event.key]
    if (event.key === 'Escape') chart.current?.clearCursor()
    if (step === undefined) return
    event.preventDefault()
    const { dates, today } = shown.current ?? { dates: [], today: null }
    const start = today === null ? dates.length - 1 : dates.indexOf(today)
    chart.current?.step(step, start)
  }

  return (
    <section class="chart-panel day-chart">
      <h3>{title}</h3>
      <p class={at === null ? 'readout at-rest' : 'readout'} aria-live="polite" data-readout={title}>
        {at === null ? REST : read(at)}
      </p>
      {/* biome-ignore lint/a11y/useSemanticElements: a picture read day by day, not a group of form fields */}
      <div
        class="chart-focus"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: arrow keys read its days (WCAG 2.1.1)
        tabIndex={0}
        role="group"
        aria-roledescription="chart of days"
        aria-label={`${title}: left and right arrow keys read its days`}
        onKeyDown={onKeyDown}
      >
        <div class="chart-host" ref={host} role="img" aria-label={summary} />
      </div>
      {children}
    </section>
  )
}
