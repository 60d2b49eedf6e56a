/** What live events do to the figures on the page: newest values at once, computed figures soon after. */
import { signal } from '@preact/signals'
import type { Today } from '../../../shared/api/measurements.js'
import { openLine } from '../api/live.js'
import {
  beds,
  crops,
  gardens,
  inGarden,
  nodes,
  placements,
  plantings,
  timeZone,
  today,
  warnings,
} from './garden.js'
import { type Readings, withReadings, withWarning } from './live-merge.js'
import { nowMs } from './present.js'

/** Computed figures (sun hours, the day record) are asked for at most this often while readings pour in. */
const FIGURES_EVERY_MS = 10_000
/** Even without a reading the ribbon's present moves, and a silent node must show. */
const QUIET_RELOAD_MS = 60_000

/** The latest live readings, for the charts to append. */
export const liveReadings = signal<Readings | null>(null)

/** Counts changes of garden data, wherever they came from. */
export const gardenChanges = signal(0)

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

function reloadAll(): void {
  gardenChanges.value++
  for (const part of [gardens, beds, nodes, placements, plantings, crops, warnings, today]) {
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
