/** Where the rest of the day's sun will stand behind the skyline. Pure. */

export interface Stretch {
  readonly fromMs: number
  readonly toMs: number
}

/** What of `lost` lies within the daylight and after `afterMs`; the day behind is told by what was measured. */
export function stillHidden(lost: readonly Stretch[], daylight: Stretch, afterMs: number): Stretch[] {
  return lost
    .map(({ fromMs, toMs }) => ({
      fromMs: Math.max(fromMs, daylight.fromMs, afterMs),
      toMs: Math.min(toMs, daylight.toMs),
    }))
    .filter(({ fromMs, toMs }) => toMs > fromMs)
}
