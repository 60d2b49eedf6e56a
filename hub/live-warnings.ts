/** Warnings raised, changed or cleared, told to the pages that follow the garden. */
import type { LiveNews } from './api/deps.js'
import { warningOnWire, ZONE_UNTIL_KNOWN } from './api/figures.js'
import type { GardenRepository, StoredWarning } from './garden/port.js'

/** @param onFailure  told when the garden's time zone cannot be looked up; the event is then not told */
export function createWarningNews(
  garden: Pick<GardenRepository, 'getGarden'>,
  live: LiveNews,
  metrics: { warningRaised(kind: string): void },
  onFailure: (error: unknown) => void,
): (gardenId: string, warning: StoredWarning) => void {
  // one after the other, so that "cleared" never overtakes "raised"
  let last: Promise<void> = Promise.resolve()
  return (gardenId, warning) => {
    const isNew = warning.clearedAtMs === null && warning.raisedAtMs === warning.updatedAtMs
    if (isNew) metrics.warningRaised(warning.kind)
    last = last.then(async () => {
      try {
        const timeZone = (await garden.getGarden(gardenId))?.timeZone ?? ZONE_UNTIL_KNOWN
        live.publish(gardenId, { type: 'warning', warning: warningOnWire(warning, timeZone) })
      } catch (error) {
        onFailure(error)
      }
    })
  }
}
