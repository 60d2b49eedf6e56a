/**
 * The almanac's first line: fonts and style, the clock, the routes, the garden, the live line. Pages are in the
 * folders beside this file; what they share of the hub's data is in state/, how figures are worded in format/.
 */
import '@fontsource-variable/source-serif-4/wght.css'
import '@fontsource-variable/source-serif-4/wght-italic.css'
import './styles/almanac.css'
import './styles/parts.css'
import './styles/forms.css'
import './styles/front-door.css'
import './styles/chart.css'
import './styles/sun-year.css'
import './styles/plan.css'
import './styles/planting.css'
import './styles/space.css'
import './styles/tasks.css'
import './styles/journal.css'
import './styles/review.css'
import './styles/print.css'
import { effect } from '@preact/signals'
import { render } from 'preact'
import { App } from './app.js'
import { begin } from './begin.js'
import { startRouting } from './routes.js'
import { isLetIn } from './state/access.js'
import { garden } from './state/garden.js'
import { followGarden } from './state/live-garden.js'
import { startClock } from './state/present.js'

const root = document.getElementById('almanac')
if (root === null) throw new Error('the page has no #almanac to draw in')

startClock()
startRouting()
render(<App />, root)

let followed: string | null = null
let unfollow: (() => void) | null = null
effect(() => {
  // whoever is signed out follows nothing
  const id = isLetIn.value ? (garden.value?.id ?? null) : null
  if (id === followed) return
  followed = id
  unfollow?.()
  unfollow = id === null ? null : followGarden()
})

void begin()

// what was written without a connection goes out from whichever page is opened next; the worker lets this one open then
const LATER_MS = 2_500
addEventListener('load', () => {
  setTimeout(() => void import('./outbox/start-outbox.js').then(({ startOutbox }) => startOutbox()), LATER_MS)
})
