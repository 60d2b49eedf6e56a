/** The order in which the page begins: who are we to the hub, then the garden, if it lets us in. */
import { access, isLetIn } from './state/access.js'
import { hasBegun, loadGarden } from './state/garden.js'

/** A page set in another face first would be set twice, and move. */
const FACES = ['', 'italic '].map((slant) => `${slant}1em "Source Serif 4 Variable"`)
/** Over a slow line the page is better read in another face than waited for. */
const FACES_PATIENCE_MS = 1_000

async function ownFaces(): Promise<void> {
  const loaded = Promise.all(FACES.map((face) => document.fonts.load(face)))
  // a face that cannot be had is no reason to show no page: the browser takes the next of the list
  await Promise.race([loaded, new Promise((done) => setTimeout(done, FACES_PATIENCE_MS))]).catch(() => null)
}

export async function begin(): Promise<void> {
  await Promise.all([access.reload(), ownFaces()])
  if (isLetIn.peek()) await loadGarden()
  else hasBegun.value = false
}
