/** What the hub knows about the garden: fetched once, fetched anew when the hub says it changed. */
import { computed, signal } from '@preact/signals'
import type { GardenCrop } from '../../../shared/api/crops.js'
import type { Bed, Garden, Placement, Planting } from '../../../shared/api/garden.js'
import type { NodeStatus, Refusals, Today } from '../../../shared/api/measurements.js'
import type { Warning } from '../../../shared/api/warnings.js'
import { get } from '../api/client.js'
import { learnHubTime } from './present.js'
import { resource } from './resource.js'

/** A new hub has one garden, of this id. */
export const FIRST_GARDEN = 'home'

/** Which garden the page shows. */
export const gardenId = signal(FIRST_GARDEN)

/** Path of something that belongs to the garden shown. */
export const inGarden = (path = ''): string => `/gardens/${encodeURIComponent(gardenId.value)}${path}`

export const gardens = resource<Garden[]>((signal) => get('/gardens', signal))
export const beds = resource<Bed[]>((signal) => get(inGarden('/beds'), signal))
export const nodes = resource<NodeStatus[]>((signal) => get(inGarden('/nodes'), signal))
/** packs that named no node */
export const strays = resource<Refusals>((signal) => get(inGarden('/stray-packs'), signal))
export const placements = resource<Placement[]>((signal) => get(inGarden('/placements'), signal))
export const plantings = resource<Planting[]>((signal) => get(inGarden('/plantings'), signal))
export const warnings = resource<Warning[]>((signal) => get(inGarden('/warnings'), signal))
/** the library's, with the grower's own numbers, and the grower's own */
export const crops = resource<GardenCrop[]>((signal) => get(inGarden('/crops'), signal))

export const today = resource<Today>(async (signal) => {
  const answer = await get<Today>(inGarden('/today'), signal)
  learnHubTime(Date.parse(answer.now))
  return answer
})

/** The garden shown; null until loaded, or where none is set up yet. */
export const garden = computed<Garden | null>(
  () => gardens.state.value.value?.find((g) => g.id === gardenId.value) ?? null,
)

/** Every calendar and clock on the page is in this zone. */
export const timeZone = computed(() => garden.value?.timeZone ?? 'UTC')

/** The first visit: the hub answers and knows no garden. */
export const isUnset = computed(() => gardens.state.value.value !== null && garden.value === null)

export const bedName = (bed: string): string => beds.state.value.value?.find((b) => b.id === bed)?.name ?? bed

export const cropName = (crop: string): string =>
  crops.state.value.value?.find((c) => c.id === crop)?.name ?? crop

/** The first round of fetching is over, well or badly: before it there is nothing to set a page from. */
export const hasBegun = signal(false)

/** Shows another garden: nothing of the one before is left. */
export function chooseGarden(id: string): void {
  gardenId.value = id
  for (const part of [beds, nodes, strays, placements, plantings, warnings, crops, today]) part.clear()
  void loadGarden()
}

/** Fetches everything that the frame of the page shows. */
export async function loadGarden(): Promise<void> {
  await gardens.reload()
  const known = gardens.state.peek().value
  if (known !== null && known.length > 0 && !known.some((g) => g.id === gardenId.peek()))
    gardenId.value = known[0]?.id ?? FIRST_GARDEN
  if (garden.peek() !== null) await Promise.all([beds.reload(), warnings.reload(), today.reload()])
  hasBegun.value = true
}
