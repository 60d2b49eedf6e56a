/** The frame of every page: masthead, ways through, the page itself, and the foot with the reader's preferences. */
import type { ComponentChildren } from 'preact'
import { useEffect, useErrorBoundary, useRef } from 'preact/hooks'
import { BedPage } from './bed/bed-page.js'
import { GardenPage } from './garden/garden-page.js'
import { NodesPage } from './nodes/nodes-page.js'
import { Failure } from './parts/failure.js'
import { Foot } from './parts/foot.js'
import { LineNotice } from './parts/line-notice.js'
import { Masthead } from './parts/masthead.js'
import { moves, page } from './routes.js'
import { bedName, garden, gardens, isUnset, loadGarden } from './state/garden.js'
import { TodayPage } from './today/today-page.js'

function CurrentPage() {
  const shown = page.value
  const { value, failure } = gardens.state.value
  if (value === null && failure !== null) return <Failure failure={failure} onRetry={loadGarden} />
  if (value === null) return <p class="waiting">Opening the almanac …</p>
  if (isUnset.value && shown.name !== 'nodes') return <GardenPage />
  switch (shown.name) {
    case 'today':
      return <TodayPage />
    case 'bed':
      return <BedPage key={shown.bed} bed={shown.bed} />
    case 'nodes':
      return <NodesPage />
    case 'garden':
      return <GardenPage />
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

function titleOf(): string {
  const shown = page.value
  const name = garden.value?.name ?? 'Garden almanac'
  switch (shown.name) {
    case 'today':
      return name
    case 'bed':
      return `${bedName(shown.bed)} · ${name}`
    case 'nodes':
      return `Nodes · ${name}`
    case 'garden':
      return `Garden · ${name}`
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

  useEffect(() => {
    document.title = title
  }, [title])

  useEffect(() => {
    if (moved > 0) main.current?.focus({ preventScroll: true })
  }, [moved])

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
