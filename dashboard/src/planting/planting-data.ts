/** What a planting's page fetches. Each part by itself: a forecast that fails must not hide the stages. */
import type { GardenCrop } from '../../../shared/api/crops.js'
import type { GardenForecast } from '../../../shared/api/forecast.js'
import type { Planting } from '../../../shared/api/garden.js'
import type { JournalEntry } from '../../../shared/api/journal.js'
import type { PlantingReport } from '../../../shared/api/progress.js'
import type { Mutes, Warning } from '../../../shared/api/warnings.js'
import { get } from '../api/client.js'
import { inGarden } from '../state/garden.js'
import { type Resource, resource } from '../state/resource.js'

/** Enough for a season of one garden. */
const MOST_WARNINGS = 500

export const plantingApi = (id: string, rest = ''): string =>
  inGarden(`/plantings/${encodeURIComponent(id)}${rest}`)

export interface Growth {
  readonly planting: Planting
  readonly report: PlantingReport
}

export interface PlantingData {
  readonly growth: Resource<Growth>
  /** of the planting's bed */
  readonly forecast: Resource<GardenForecast>
  /** of this planting, and of frost in its bed; newest first, open and cleared */
  readonly warnings: Resource<Warning[]>
  readonly mutes: Resource<Mutes>
  readonly journal: Resource<JournalEntry[]>
  /** its crop with the grower's own numbers; null: not known any more */
  readonly crop: Resource<GardenCrop | null>
  reload(): Promise<void>
}

export function plantingData(id: string): PlantingData {
  const growth = resource<Growth>(async (signal) => {
    const [planting, report] = await Promise.all([
      get<Planting>(plantingApi(id), signal),
      get<PlantingReport>(plantingApi(id, '/progress'), signal),
    ])
    return { planting, report }
  })
  const settled = (): Planting => {
    const planting = growth.state.peek().value?.planting
    if (planting === undefined) throw new Error('asked before the planting was there')
    return planting
  }
  const forecast = resource<GardenForecast>((signal) =>
    get(inGarden(`/forecast?bed=${encodeURIComponent(settled().bed)}`), signal),
  )
  const crop = resource<GardenCrop | null>(async (signal) => {
    const known = await get<GardenCrop[]>(inGarden('/crops'), signal)
    return known.find((one) => one.id === settled().crop) ?? null
  })
  const warnings = resource<Warning[]>(async (signal) => {
    const all = await get<Warning[]>(inGarden(`/warnings?state=all&limit=${MOST_WARNINGS}`), signal)
    const { bed } = settled()
    // a frost is told once for a bed, of its most tender planting
    const isOfThis = (w: Warning): boolean => w.planting === id || (w.kind === 'frost' && w.bed === bed)
    return all.filter(isOfThis).sort((a, b) => b.raisedAt.localeCompare(a.raisedAt))
  })
  const journal = resource<JournalEntry[]>((signal) =>
    get(inGarden(`/journal?planting=${encodeURIComponent(id)}`), signal),
  )
  const mutes = resource<Mutes>((signal) => get(plantingApi(id, '/mutes'), signal))
  return {
    growth,
    forecast,
    warnings,
    mutes,
    journal,
    crop,
    async reload() {
      await growth.reload()
      if (growth.state.peek().value === null) return
      await Promise.all([
        forecast.reload(),
        warnings.reload(),
        mutes.reload(),
        journal.reload(),
        crop.reload(),
      ])
    },
  }
}
