/** The order in which the page begins: who are we to the hub, then the garden, if it lets us in. */
import { access, isLetIn } from './state/access.js'
import { hasBegun, loadGarden } from './state/garden.js'

export async function begin(): Promise<void> {
  await access.reload()
  if (isLetIn.peek()) await loadGarden()
  else hasBegun.value = false
}
