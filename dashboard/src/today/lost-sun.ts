/** When the sun stands behind each bed's skyline today: asked once a day and bed, since neither moves meanwhile. */
import { signal } from '@preact/signals'
import type { Today } from '../../../shared/api/measurements.js'
import type { SunPath } from '../../../shared/api/sun.js'
import { ApiFailure, get } from '../api/client.js'
import { inGarden } from '../state/garden.js'
import type { Stretch } from '../sun/still-hidden.js'

interface LostToday {
  /** garden and date that the beds' stretches belong to */
  readonly of: string
  readonly beds: ReadonlyMap<string, readonly Stretch[]>
}

export const lostToday = signal<LostToday>({ of: '', beds: new Map() })

const asked = new Set<string>()

/**
 * Fetches what is not known yet. The hatching is an extra: where the hub gives no answer the rest of the day
 * simply stays open, and the next look asks again.
 */
export function learnLostSun(day: Today): void {
  const of = inGarden(`@${day.date}`)
  if (lostToday.peek().of !== of) {
    asked.clear()
    lostToday.value = { of, beds: new Map() }
  }
  for (const { bed } of day.beds) {
    if (asked.has(bed)) continue
    asked.add(bed)
    get<SunPath>(inGarden(`/beds/${encodeURIComponent(bed)}/sun-path?date=${day.date}`)).then(
      ({ lost }) => {
        if (lostToday.peek().of !== of) return
        const stretches = lost.map(({ from, to }) => ({ fromMs: Date.parse(from), toMs: Date.parse(to) }))
        lostToday.value = { of, beds: new Map(lostToday.peek().beds).set(bed, stretches) }
      },
      (error) => {
        asked.delete(bed)
        if (!(error instanceof ApiFailure)) throw error
      },
    )
  }
}
