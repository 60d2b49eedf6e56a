/**
 * The present as the hub's clock has it: a phone whose clock is off must not move the line on the ribbon. Ticks
 * every few seconds; everything that says 'ago' follows it.
 */
import { signal } from '@preact/signals'

const TICK_MS = 10_000

let skewMs = 0

export const nowMs = signal(Date.now())

const tick = (): void => {
  nowMs.value = Date.now() + skewMs
}

/** An instant that this browser's clock gave, as the hub's has it. */
export const byHubClock = (browserMs: number): number => browserMs + skewMs

/** Called with the hub's own time whenever it says it. */
export function learnHubTime(hubMs: number): void {
  if (!Number.isFinite(hubMs)) return
  skewMs = hubMs - Date.now()
  tick()
}

export function startClock(): void {
  setInterval(tick, TICK_MS)
  document.addEventListener('visibilitychange', tick)
}
