/**
 * What the Bed page fetches: series for the range in view, the sun of each day while days are wide enough to show,
 * day records. One BedData per bed shown; `dispose` when the page goes.
 */
import { effect, type ReadonlySignal, type Signal, signal } from '@preact/signals'
import type { BedSun, DayRecord, Series } from '../../../shared/api/measurements.js'
import { addDays, localDate } from '../../../shared/local-time.js'
import { failureText, get, isAborted } from '../api/client.js'
import { inGarden, timeZone } from '../state/garden.js'
import { liveReadings } from '../state/live-garden.js'
import { nowMs } from '../state/present.js'
import { withReading } from './chart-columns.js'
import { follow, spanOf, type TimeRange } from './range.js'

/** Up to so many days in view the ribbon shows each day's states; beyond, a bar per day. */
export const RIBBON_DAYS = 10
/** Day records are fetched for at most so many days: a year and a little. */
export const RECORD_DAYS = 400
const DAY_S = 86_400
/** Waits for a gesture to pause before asking the hub, ms. */
const SETTLE_MS = 180
/** Stepped charts and today's sun are fetched anew at most this often while readings come in, ms. */
const REFRESH_MS = 20_000

/** The range is fetched with so much more on either side: a pan must not run onto blank paper at once. */
const MARGIN = 0.15
/** Up to so long, every reading is worth drawing: a day of minutes with its margins. */
export const RAW_SPAN_S = 1.2 * DAY_S
const RAW_POINTS = 2_400
/** From so long on, a step is a whole day: shorter ones only draw the wobble from day to night. */
const WHOLE_DAYS_SPAN_S = 45 * DAY_S

/** Points to ask the hub for: raw readings of a day, a step a pixel, or whole days. */
export function pointsFor(spanS: number, plotWidthPx: number): number {
  if (spanS <= RAW_SPAN_S) return RAW_POINTS
  const pixels = Math.max(200, Math.round(plotWidthPx * (1 + 2 * MARGIN)))
  const days = Math.ceil((spanS / DAY_S) * (1 + 2 * MARGIN)) + 2
  return spanS < WHOLE_DAYS_SPAN_S ? pixels : Math.min(pixels, days)
}

export interface BedFigures {
  readonly series: ReadonlyMap<string, Series>
  readonly days: readonly DayRecord[] | null
  readonly suns: ReadonlyMap<string, BedSun>
  readonly isLoading: boolean
  readonly failure: string | null
}

export interface BedData {
  readonly figures: ReadonlySignal<BedFigures>
  /** fetches everything of the range anew */
  refresh(): void
  dispose(): void
}

const iso = (timeS: number): string => new Date(Math.round(timeS) * 1000).toISOString()

/** Local dates the range touches, first and last. */
export function datesOf(range: TimeRange, zone: string): { from: string; to: string } {
  return { from: localDate(range.fromS * 1000, zone), to: localDate(range.toS * 1000 - 1, zone) }
}

export function createBedData(
  bed: string,
  range: Signal<TimeRange>,
  quantities: ReadonlySignal<readonly string[]>,
  plotWidth: ReadonlySignal<number>,
): BedData {
  const figures = signal<BedFigures>({
    series: new Map(),
    days: null,
    suns: new Map(),
    isLoading: true,
    failure: null,
  })
  const path = (rest: string): string => inGarden(`/beds/${encodeURIComponent(bed)}${rest}`)
  let running: AbortController | null = null
  let settle: ReturnType<typeof setTimeout> | undefined
  let refreshedAtMs = 0

  const amend = (change: Partial<BedFigures>): void => {
    figures.value = { ...figures.peek(), ...change }
  }

  async function loadSeries(shown: TimeRange, names: readonly string[], aborter: AbortSignal): Promise<void> {
    const marginS = spanOf(shown) * MARGIN
    const points = pointsFor(spanOf(shown), plotWidth.peek())
    const query = `from=${iso(shown.fromS - marginS)}&to=${iso(shown.toS + marginS)}&points=${points}`
    const loaded = await Promise.all(
      names.map(async (name) => {
        const one = await get<Series>(path(`/series?quantity=${encodeURIComponent(name)}&${query}`), aborter)
        return [name, one] as const
      }),
    )
    amend({ series: new Map(loaded) })
  }

  async function loadDays(shown: TimeRange, aborter: AbortSignal): Promise<void> {
    if (spanOf(shown) > RECORD_DAYS * DAY_S) return amend({ days: null })
    const { from, to } = datesOf(shown, timeZone.peek())
    amend({ days: await get<DayRecord[]>(path(`/days?from=${from}&to=${to}`), aborter) })
  }

  async function loadSuns(shown: TimeRange, aborter: AbortSignal): Promise<void> {
    if (spanOf(shown) > RIBBON_DAYS * DAY_S) return
    const { from, to } = datesOf(shown, timeZone.peek())
    const todayDate = localDate(nowMs.peek(), timeZone.peek())
    const known = figures.peek().suns
    const wanted: string[] = []
    for (let date = from; date <= to; date = addDays(date, 1)) {
      // the past can change only by a late reading; today changes all the time
      if (!known.has(date) || date >= addDays(todayDate, -1)) wanted.push(date)
    }
    const loaded = await Promise.all(
      wanted.map(async (date) => [date, await get<BedSun>(path(`/sun?date=${date}`), aborter)] as const),
    )
    amend({ suns: new Map([...figures.peek().suns, ...loaded]) })
  }

  async function load(shown: TimeRange, names: readonly string[]): Promise<void> {
    running?.abort()
    const mine = new AbortController()
    running = mine
    refreshedAtMs = Date.now()
    amend({ isLoading: true })
    const parts = await Promise.allSettled([
      loadSeries(shown, names, mine.signal),
      loadSuns(shown, mine.signal),
      loadDays(shown, mine.signal),
    ])
    if (running !== mine) return
    const failed = parts.find((part) => part.status === 'rejected' && !isAborted(part.reason))
    amend({ isLoading: false, failure: failed?.status === 'rejected' ? failureText(failed.reason) : null })
  }

  function loadSoon(): void {
    clearTimeout(settle)
    settle = setTimeout(() => void load(range.peek(), quantities.peek()), SETTLE_MS)
  }

  // a following range slides with the present, but not while a finger may be on it
  const stopFollowing = effect(() => {
    const presentS = nowMs.value / 1000
    const shown = range.peek()
    if (shown.isFollowing && Math.abs(presentS - shown.toS) >= 5) range.value = follow(shown, presentS)
  })

  let loadedFor = ''
  const stopLoading = effect(() => {
    const shown = range.value
    const key = `${quantities.value.join()} ${plotWidth.value > 0 ? Math.round(plotWidth.value / 50) : 0}`
    // while following, the sliding edge is fed by live readings; only another span is another question
    const question = shown.isFollowing ? `${spanOf(shown)} ${key}` : `${shown.fromS} ${shown.toS} ${key}`
    if (question === loadedFor || quantities.value.length === 0 || plotWidth.value === 0) return
    loadedFor = question
    loadSoon()
  })

  const stopLive = effect(() => {
    const event = liveReadings.value
    if (event === null || event.bed !== bed) return
    const series = new Map(figures.peek().series)
    for (const reading of event.values) {
      const old = series.get(reading.quantity)
      if (old !== undefined)
        series.set(reading.quantity, withReading(old, reading.time, reading.value, reading.flags))
    }
    amend({ series })
    if (range.peek().isFollowing && Date.now() - refreshedAtMs > REFRESH_MS) loadSoon()
  })

  return {
    figures,
    refresh: loadSoon,
    dispose() {
      running?.abort()
      clearTimeout(settle)
      stopFollowing()
      stopLoading()
      stopLive()
    },
  }
}
