/** The Nodes page: what each node sends, when it was last heard, what was refused and why. */
import { useEffect } from 'preact/hooks'
import { stepPath } from '../front-door/steps.js'
import { Failure } from '../parts/failure.js'
import { hasDoors, mayChange } from '../state/access.js'
import { gardenId, nodes, strays } from '../state/garden.js'
import { liveReadings } from '../state/live-garden.js'
import { NodeCredentials } from './node-credentials.js'
import { NodeEntry } from './node-entry.js'
import { RefusedPacks } from './refused-packs.js'

/** Latest values are asked for anew at most this often while readings come in, ms. */
const REFRESH_MS = 5_000
/** Refusals make no live event: look for them now and then, ms. */
const QUIET_REFRESH_MS = 20_000

function HowToPublish() {
  return (
    <section class="how-to">
      <h3>How a node publishes</h3>
      <p>
        By MQTT to this hub (port 1883 unless set otherwise), QoS 1, one SenML pack a message, to the topic
      </p>
      <pre>
        gardens/{gardenId.value}/nodes/<i>node</i>/readings
      </pre>
      <p>
        where <i>node</i> is a name of the node’s own in small letters, digits and hyphens. A pack looks like
        this:
      </p>
      <pre>
        {
          '[{"n":"air-temp","u":"Cel","v":17.4},\n {"n":"soil-temp","u":"Cel","v":14.9},\n {"n":"light","u":"lx","v":38100}]'
        }
      </pre>
      <p>
        The node appears here as soon as its first pack arrives; then give it a name and say on the{' '}
        <a href="/garden">Garden page</a> in which bed it stands.
      </p>
    </section>
  )
}

/** Packs of no known node: who builds one and has mistaken the topic looks for it here. */
function StrayPacks() {
  const refusals = strays.state.value.value
  if (refusals === null || refusals.total === 0) return null
  return (
    <section class="node" aria-label="Stray packs">
      <h3>Packs that name no node</h3>
      <RefusedPacks refusals={refusals} kind="stray " />
    </section>
  )
}

export function NodesPage() {
  const { value, failure } = nodes.state.value

  useEffect(() => {
    void nodes.reload()
    void strays.reload()
    let lastMs = 0
    let due: ReturnType<typeof setTimeout> | undefined
    const timer = setInterval(() => {
      if (document.visibilityState !== 'visible') return
      void nodes.reload()
      void strays.reload()
    }, QUIET_REFRESH_MS)
    const unsubscribe = liveReadings.subscribe((event) => {
      if (event === null || due !== undefined) return
      due = setTimeout(
        () => {
          due = undefined
          lastMs = Date.now()
          void nodes.reload()
        },
        Math.max(0, lastMs + REFRESH_MS - Date.now()),
      )
    })
    return () => {
      clearInterval(timer)
      clearTimeout(due)
      unsubscribe()
    }
  }, [])

  const isStrayKnown = strays.state.value.value !== null || strays.state.value.failure !== null
  // set whole: what came later would push the rest about
  if (failure === null && (value === null || !isStrayKnown))
    return (
      <>
        <h2>Nodes</h2>
        <p class="waiting">Asking after the nodes …</p>
      </>
    )
  return (
    <>
      <h2>Nodes</h2>
      {failure !== null && <Failure failure={failure} onRetry={() => void nodes.reload()} />}
      {value !== null && value.length === 0 && (
        <p class="invitation">
          No node has published yet. The first one shows up here by itself, once it has its settings.
        </p>
      )}
      {mayChange.value && (
        <p>
          <a href={stepPath('node')}>Add a node</a>: its name, its bed, and the settings to type into it
        </p>
      )}
      {value?.map((node) => (
        <NodeEntry key={node.id} node={node} />
      ))}
      <StrayPacks />
      {hasDoors.value && mayChange.value && <NodeCredentials />}
      <HowToPublish />
    </>
  )
}
