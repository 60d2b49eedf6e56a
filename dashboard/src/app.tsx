/** The frame of every page: masthead, ways through, the page itself, and the foot with the reader's preferences. */
import { signal } from '@preact/signals'
import type { ComponentChildren, ComponentType, JSX } from 'preact'
import { useEffect, useErrorBoundary, useRef } from 'preact/hooks'
import { LookPage } from './access/look-page.js'
import { SetUpPage, SignInPage } from './access/sign-in-page.js'
import { begin } from './begin.js'
import type { Step } from './front-door/steps.js'
import { GardenPage } from './garden/garden-page.js'
import { NodesPage } from './nodes/nodes-page.js'
import { Failure } from './parts/failure.js'
import { Foot } from './parts/foot.js'
import { LineNotice } from './parts/line-notice.js'
import { Masthead } from './parts/masthead.js'
import { moves, page } from './routes.js'
import { access } from './state/access.js'
import { bedName, garden, gardens, hasBegun, isUnset, loadGarden, today } from './state/garden.js'
import { waitingEntries, waitingWords } from './state/waiting-entries.js'
import { TodayPage } from './today/today-page.js'

interface BedProps {
  readonly bed: string
}

interface PlantingProps {
  readonly planting: string
}

/** A page of its own weight, fetched when it is first wanted. */
interface LazyPage<Props> {
  load(): Promise<void>
  View(props: Props): JSX.Element
}

function lazyPage<Props extends object>(fetchPage: () => Promise<ComponentType<Props>>): LazyPage<Props> {
  const state = signal<{ Page: ComponentType<Props> | null; failure: unknown }>({
    Page: null,
    failure: null,
  })
  const load = async (): Promise<void> => {
    if (state.peek().Page !== null) return
    try {
      state.value = { Page: await fetchPage(), failure: null }
    } catch (failure) {
      state.value = { Page: null, failure }
    }
  }
  function View(props: Props) {
    const { Page, failure } = state.value
    useEffect(() => void load(), [])
    if (Page !== null) return <Page {...props} />
    // a hub that was renewed meanwhile has pages of another name: only a fresh start knows them
    if (failure !== null) return <Failure failure={failure} onRetry={() => location.reload()} />
    return <p class="waiting">Fetching the page …</p>
  }
  return { load, View }
}

/** The charts are half of this program's weight: fetched when a bed is opened, or once Today is drawn and still. */
const bedPage = lazyPage<BedProps>(async () => (await import('./bed/bed-page.js')).BedPage)
const sunYearPage = lazyPage<BedProps>(async () => (await import('./sun-year/sun-year-page.js')).SunYearPage)
const plantingPage = lazyPage<PlantingProps>(
  async () => (await import('./planting/planting-page.js')).PlantingPage,
)

const toDoPage = lazyPage(async () => (await import('./tasks/to-do-page.js')).ToDoPage)
const journalPage = lazyPage(async () => (await import('./journal/journal-page.js')).JournalPage)
const planPage = lazyPage(async () => (await import('./plan/plan-page.js')).PlanPage)
const spacePage = lazyPage(async () => (await import('./space/space-page.js')).SpacePage)
const frontDoorPage = lazyPage<{ readonly step: Step | null }>(
  async () => (await import('./front-door/front-door-page.js')).FrontDoorPage,
)
const reviewPage = lazyPage(async () => (await import('./review/review-page.js')).ReviewPage)

/** Today is drawn and still by then, ms. */
const PREFETCH_AFTER_MS = 1_500

const { name: firstPage } = page.peek()
if (firstPage === 'bed') void bedPage.load()
if (firstPage === 'bed-sun') void sunYearPage.load()
if (firstPage === 'planting') void plantingPage.load()
if (firstPage === 'to-do') void toDoPage.load()
if (firstPage === 'journal') void journalPage.load()
if (firstPage === 'plan') void planPage.load()
if (firstPage === 'space') void spacePage.load()
if (firstPage === 'review') void reviewPage.load()
if (firstPage === 'begin') void frontDoorPage.load()

function CurrentPage() {
  const shown = page.value
  const { value, failure } = gardens.state.value
  if (value === null && failure !== null) return <Failure failure={failure} onRetry={loadGarden} />
  if (value === null) return null
  // on the first visit everything leads to the beginning, but a node may be looked after
  const step = shown.name === 'begin' ? shown.step : null
  if (shown.name === 'begin' || (isUnset.value && shown.name !== 'nodes'))
    return <frontDoorPage.View step={step} />
  switch (shown.name) {
    case 'today':
      return <TodayPage />
    case 'bed':
      return <bedPage.View key={shown.bed} bed={shown.bed} />
    case 'bed-sun':
      return <sunYearPage.View key={shown.bed} bed={shown.bed} />
    case 'planting':
      return <plantingPage.View key={shown.planting} planting={shown.planting} />
    case 'to-do':
      return <toDoPage.View />
    case 'journal':
      return <journalPage.View />
    case 'plan':
      return <planPage.View />
    case 'space':
      return <spacePage.View />
    case 'review':
      return <reviewPage.View />
    case 'nodes':
      return <NodesPage />
    case 'garden':
      return <GardenPage />
    case 'look':
    case 'missing':
      return (
        <section>
          <h2>No such page</h2>
          <p>
            This almanac has no page at that address. <a href="/">Today’s page</a> is a good place to start.
          </p>
        </section>
      )
  }
}

/** As the Today page has it; a finished planting is not there. */
function plantingTitle(id: string): string {
  const grown = today.state.value.value?.beds.flatMap((bed) => bed.plantings) ?? []
  return grown.find((planting) => planting.id === id)?.cropName ?? 'A planting'
}

function titleOf(): string {
  const shown = page.value
  const name = garden.value?.name ?? 'Garden almanac'
  switch (shown.name) {
    case 'today':
      return name
    case 'bed':
      return `${bedName(shown.bed)} · ${name}`
    case 'bed-sun':
      return `The sun on ${bedName(shown.bed)} · ${name}`
    case 'planting':
      return `${plantingTitle(shown.planting)} · ${name}`
    case 'to-do':
      return `To do · ${name}`
    case 'journal':
      return `Journal · ${name}`
    case 'plan':
      return `Plan · ${name}`
    case 'space':
      return `Room for plants · ${name}`
    case 'review':
      return `Look back · ${name}`
    case 'nodes':
      return `Nodes · ${name}`
    case 'garden':
      return `Garden · ${name}`
    case 'begin':
      return garden.value === null ? 'A new garden' : `Beginning · ${name}`
    case 'look':
      return name
    case 'missing':
      return `No such page · ${name}`
  }
}

/** A page that breaks says so and offers a way on, instead of leaving white paper. */
function Guarded({ children }: { readonly children: ComponentChildren }) {
  const [error, reset] = useErrorBoundary()
  if (error === undefined) return <>{children}</>
  return <Failure failure={error} onRetry={reset} />
}

export function App() {
  const main = useRef<HTMLElement>(null)
  const title = titleOf()
  const moved = moves.value
  const shown = page.value

  useEffect(() => {
    document.title = title
  }, [title])

  const isBegun = hasBegun.value
  useEffect(() => {
    if (isBegun) setTimeout(() => void bedPage.load(), PREFETCH_AFTER_MS)
  }, [isBegun])

  useEffect(() => {
    if (moved > 0) main.current?.focus({ preventScroll: true })
  }, [moved])

  const door = access.state.value
  if (door.value === null && door.failure !== null)
    return <Failure failure={door.failure} onRetry={() => void begin()} />
  if (door.value !== null && shown.name === 'look') return <LookPage onEntered={begin} />
  if (door.value !== null && door.value.visitor === null)
    return door.value.door === 'set-up' ? (
      <SetUpPage onEntered={begin} />
    ) : (
      <>
        <SignInPage onEntered={begin} />
        {waitingEntries.value > 0 && (
          <p class="door">{waitingWords(waitingEntries.value)} What waits is sent when you have signed in.</p>
        )}
      </>
    )
  // set whole, or not at all: a frame drawn early would only be pushed about by what comes after
  if (!hasBegun.value) return <p class="waiting">Opening the almanac …</p>
  return (
    <>
      <a class="skip" href="#page">
        Skip to the page
      </a>
      <Masthead />
      <main id="page" ref={main} tabIndex={-1}>
        <Guarded key={moved}>
          <CurrentPage />
        </Guarded>
      </main>
      <Foot />
      <LineNotice />
    </>
  )
}
