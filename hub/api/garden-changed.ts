/** After every change of garden data: pages fetch it anew, and the rest of the hub may look again. */
import type { ApiDeps } from './deps.js'

export function gardenChanged(deps: ApiDeps, garden: string): void {
  deps.live.publish(garden, { type: 'garden' })
  deps.onGardenChanged?.(garden)
}
