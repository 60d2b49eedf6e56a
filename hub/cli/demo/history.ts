/** The months before now, as the packs that the demo's nodes would have sent. */
import { type PackReading, senmlPack } from '../senml-pack.js'
import type { DemoBed } from './beds.js'
import type { GardenWeather, SiteMinute } from './garden-weather.js'
import { NodeSensors } from './node-sensors.js'
import type { Scenario } from './scenario.js'

const MINUTE_MS = 60_000
const READINGS_PER_PACK = 1_500

export interface Pack {
  readonly payload: string
  readonly readings: number
}

export interface BedHistory {
  readonly bed: DemoBed
  readonly packs: readonly Pack[]
  /** true air temperature of every hour since the history's start, for choosing planting dates */
  readonly hourlyAirC: readonly number[]
}

/**
 * Steps the weather up to an instant and measures it with every bed's node. The weather stands at that instant
 * afterwards, ready to go on.
 *
 * @param alreadyThereMs  per bed, the newest time of which the hub has readings; earlier ones are left out
 */
export function historyUntil(
  scenario: Scenario,
  weather: GardenWeather,
  untilMs: number,
  alreadyThereMs: ReadonlyMap<string, number> = new Map(),
): { readonly beds: readonly BedHistory[]; readonly last: SiteMinute | null } {
  const recorders = scenario.beds.map(
    (bed) => new BedRecorder(bed, scenario, alreadyThereMs.get(bed.id) ?? Number.NEGATIVE_INFINITY),
  )
  let last: SiteMinute | null = null
  while (weather.nextMs + MINUTE_MS <= untilMs) {
    last = weather.next()
    for (const [i, recorder] of recorders.entries()) recorder.record(last, i)
  }
  return { beds: recorders.map((recorder) => recorder.finish()), last }
}

class BedRecorder {
  private readonly sensors: NodeSensors
  private readonly packs: Pack[] = []
  private readonly hourlyAirC: number[] = []
  private pending: PackReading[] = []

  constructor(
    private readonly bed: DemoBed,
    scenario: Scenario,
    private readonly alreadyThereMs: number,
  ) {
    this.sensors = new NodeSensors(bed, scenario.seed, scenario.historyFromMs)
  }

  record(site: SiteMinute, index: number): void {
    const minute = site.beds[index]!
    if (site.timeMs % (60 * MINUTE_MS) === 0) this.hourlyAirC.push(minute.airTempC)
    if (site.timeMs + MINUTE_MS <= this.alreadyThereMs) return
    this.pending.push(...this.sensors.ofMinute(site.timeMs, site.sunElevationDeg, minute))
    if (this.pending.length >= READINGS_PER_PACK) this.flush()
  }

  finish(): BedHistory {
    this.flush()
    return { bed: this.bed, packs: this.packs, hourlyAirC: this.hourlyAirC }
  }

  private flush(): void {
    if (this.pending.length === 0) return
    this.packs.push({ payload: senmlPack(this.pending), readings: this.pending.length })
    this.pending = []
  }
}
