/** News of a garden handed from where it arises (ingest, warnings, API) to every page that follows it. */
import type { LiveEvent } from '../shared/api/warnings.js'
import type { LiveNews } from './api/deps.js'

/** @param onFailure  told when a listener throws; the others still get the event */
export function createLiveBus(onFailure: (error: unknown) => void): LiveNews {
  const listeners = new Map<string, Set<(event: LiveEvent) => void>>()
  return {
    publish(garden, event) {
      for (const listener of [...(listeners.get(garden) ?? [])]) {
        try {
          listener(event)
        } catch (error) {
          onFailure(error)
        }
      }
    },
    subscribe(garden, listener) {
      const ofGarden = listeners.get(garden) ?? new Set()
      listeners.set(garden, ofGarden)
      ofGarden.add(listener)
      return () => {
        ofGarden.delete(listener)
        if (ofGarden.size === 0) listeners.delete(garden)
      }
    },
  }
}
