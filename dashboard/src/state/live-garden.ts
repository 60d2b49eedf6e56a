/** What live events do to the figures on the page: newest values at once, computed figures soon after. */
import { signal } from '@preact/signals'
import type { LatestValue, Today } from '../../../shared/api/measurements.js'
import type { LiveEvent, Warning } from '../../../shared/api/warnings.js'
import { isoWithOffset } from '../../../shared/local-time.js'
import { flagNames } from '../../../shared/quality-flags.js'
import { QUANTITIES } from '../../../shared/quantities.js'
import { openLine } from '../api/live.js'
import { beds, gardens, inGarden, nodes, placements, plantings, timeZone, today, warnings } from './garden.js'
import { nowMs } from './present.js'

type Readings = Extract<LiveEvent, { type: 'readings' }>

/** Computed figures (sun hours, the day record) are asked for at most this often while readings pour in. */
const FIGURES_EVERY_MS = 10_000
/** Even without a reading the ribbon's present moves, and a silent node must show. */
const QUIET_RELOAD_MS = 60_000

/** The latest live readings, for the charts to append. */
export const liveReadings = signal<Readings | null>(null)

let figuresDue: ReturnType<typeof setTimeout> | undefined
let figuresAtMs = 0

function figuresSoon(): void {
  if (figuresDue !== undefined) return
  const waitMs = Math.max(0, figuresAtMs + FIGURES_EVERY_MS - Date.now())
  figuresDue = setTimeout(() => {
    figuresDue = undefined
    figuresAtMs = Date.now()
    void today.reload()
  }, waitMs)
}

/** A new latest value in its bed's row; one older than what is shown (a backlog) changes nothing. */
export function withReadings(shown: Today, event: Readings, zone: string): Today {
  return {
    ...shown,
    beds: shown.beds.map((row) => {
      if (row.bed !== event.bed) return row
      let { latest } = row
      for (const reading of event.values) {
        const old = latest.find((l) => l.quantity === reading.quantity)
        if (old !== undefined && Date.parse(old.time) >= reading.time * 1000) continue
        const fresh: LatestValue = {
          quantity: reading.quantity,
          unit: old?.unit ?? QUANTITIES.get(reading.quantity)?.unit ?? '',
          node: event.node,
          time: isoWithOffset(reading.time * 1000, zone),
          value: reading.value,
          flags: flagNames(reading.flags),
        }
        latest = old === undefined ? [...latest, fresh] : latest.map((l) => (l === old ? fresh : l))
      }
      return { ...row, latest }
    }),
  }
}

/** A warning raised, changed or cleared, in its place. */
export function withWarning(shown: readonly Warning[], warning: Warning): Warning[] {
  const others = shown.filter((w) => w.id !== warning.id)
  return warning.clearedAt === null ? [warning, ...others] : others
}

function reloadAll(): void {
  for (const part of [gardens, beds, nodes, placements, plantings, warnings, today]) {
    if (part.state.peek().value !== null || part.state.peek().failure !== null) void part.reload()
  }
}

/** Opens the line for the garden shown; returns what closes it. */
export function followGarden(): () => void {
  const quiet = setInterval(() => {
    if (document.visibilityState === 'visible') figuresSoon()
  }, QUIET_RELOAD_MS)
  const close = openLine(inGarden('/live'), {
    onEvent(event) {
      if (event.type === 'readings') {
        liveReadings.value = event
        today.amend((shown) => withReadings(shown, event, timeZone.peek()))
        figuresSoon()
      } else if (event.type === 'warning') warnings.amend((shown) => withWarning(shown, event.warning))
      else reloadAll()
    },
    onReopened: reloadAll,
  })
  return () => {
    clearInterval(quiet)
    clearTimeout(figuresDue)
    figuresDue = undefined
    close()
  }
}

/** How old the figures of the Today page are, ms. */
export const figuresAgeMs = (shown: Today): number => nowMs.value - Date.parse(shown.now)
