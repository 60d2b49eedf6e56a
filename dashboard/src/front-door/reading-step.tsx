/** The settings of the node, and a wait that turns into its first reading; what goes wrong meanwhile is told. */
import { useEffect, useMemo, useState } from 'preact/hooks'
import type { NodeConnection } from '../../../shared/api/access.js'
import type { NodeStatus } from '../../../shared/api/measurements.js'
import { get } from '../api/client.js'
import { ageInWords } from '../format/durations.js'
import { labelOf, showValue } from '../format/units.js'
import { LatestTable } from '../nodes/latest-table.js'
import { RefusedPacks } from '../nodes/refused-packs.js'
import { Failure } from '../parts/failure.js'
import { bedPath } from '../routes.js'
import { bedName, inGarden, nodes, strays } from '../state/garden.js'
import { liveReadings } from '../state/live-garden.js'
import { tempUnit } from '../state/preferences.js'
import { nowMs } from '../state/present.js'
import { resource } from '../state/resource.js'
import { SettingsToCopy } from './settings-to-copy.js'
import { stepPath } from './steps.js'

/** Refused packs and wrong passwords make no live event: the hub is asked now and then, ms. */
const ASK_EVERY_MS = 3_000
/** A node that is well sends within this time, ms. */
const HINTS_AFTER_MS = 60_000

/** Which node is waited for: the one that the address names, or the first that has not been heard. */
function awaited(known: readonly NodeStatus[]): string | null {
  const named = new URLSearchParams(location.search).get('node')
  if (named !== null && /^[a-z0-9][a-z0-9-]{0,62}$/.test(named)) return named
  return (known.find((node) => node.latest.length === 0) ?? known[0])?.id ?? null
}

function Arrived({ node }: { readonly node: NodeStatus }) {
  const [first] = node.latest
  if (first === undefined) return null
  const value = showValue(first.quantity, first.unit, first.value, tempUnit.value)
  return (
    <section class="arrived">
      <h3>The first reading has arrived</h3>
      <p>
        {node.name ?? node.id} measured {value} ({labelOf(first.quantity)}),{' '}
        {ageInWords(nowMs.value - Date.parse(first.time))}
        {node.bed === null ? '.' : ` in ${bedName(node.bed)}.`} From here on the almanac fills by itself.
      </p>
      <LatestTable node={node} />
      <ul class="ways-on">
        <li>
          <a href="/">Today’s page</a>: the sun and the warmth of each bed
        </li>
        {node.bed === null ? (
          <li>
            <a href="/garden">Say in which bed it stands</a>: until then its readings count for none
          </li>
        ) : (
          <li>
            <a href={bedPath(node.bed)}>The charts of {bedName(node.bed)}</a>
          </li>
        )}
        <li>
          <a href={stepPath('node')}>Another node</a>
        </li>
      </ul>
    </section>
  )
}

/** Tries that the broker turned away: of this node with a wrong password, of anybody under a name that no node has. */
function TurnedAway({
  connection,
  sinceMs,
}: {
  readonly connection: NodeConnection
  readonly sinceMs: number
}) {
  const { wrongPasswords, unknownUser, node } = connection
  const strange = unknownUser !== null && Date.parse(unknownUser.latestAt) >= sinceMs ? unknownUser : null
  if (wrongPasswords === null && strange === null) return null
  return (
    <div class="refusals">
      {wrongPasswords !== null && (
        <p>
          <b>
            {wrongPasswords.total === 1
              ? 'One try with a wrong password'
              : `${wrongPasswords.total} tries with a wrong password`}
          </b>{' '}
          under the name {node}, the latest {ageInWords(nowMs.value - Date.parse(wrongPasswords.latestAt))}.
          Type the password below anew, letter by letter.
        </p>
      )}
      {strange !== null && (
        <p>
          <b>A try under a user name that no node has</b>
          {strange.username === '' ? ': without any' : `: “${strange.username}”`},{' '}
          {ageInWords(nowMs.value - Date.parse(strange.latestAt))}. The right one stands below.
        </p>
      )}
    </div>
  )
}

function Hints({ connection }: { readonly connection: NodeConnection }) {
  return (
    <div class="hints">
      <p>Nothing yet after a minute. What it most often is:</p>
      <ul>
        <li>The node has no power, or is not on the same network as the hub.</li>
        <li>
          Host or port: from another machine, does <code>{connection.host ?? location.hostname}</code> answer
          at port {connection.mqttPort}? A firewall on the hub’s machine may keep it shut.
        </li>
        {!connection.isReachable && (
          <li>
            The hub takes readings from its own machine only: <code>HEARTING_MQTT_HOST=0.0.0.0</code> opens
            it.
          </li>
        )}
        {connection.isTls && <li>The node does not trust the certificate of the broker.</li>}
        <li>The topic: it is written in small letters, and has no slash in front.</li>
        <li>A node that sleeps between reports may take its time: press its reset button.</li>
      </ul>
      <p>You need not wait here: the Nodes page shows it as soon as it comes.</p>
    </div>
  )
}

export function ReadingStep() {
  const known = nodes.state.value.value
  const id = known === null ? null : awaited(known)
  const connection = useMemo(
    () =>
      id === null
        ? null
        : resource<NodeConnection>((signal) => get(inGarden(`/nodes/${id}/connection`), signal)),
    [id],
  )
  const [startMs] = useState(() => nowMs.peek())
  const node = known?.find((one) => one.id === id) ?? null
  const hasArrived = (node?.latest.length ?? 0) > 0

  useEffect(() => {
    const ask = (): void => {
      void nodes.reload()
      void strays.reload()
      void connection?.reload()
    }
    ask()
    if (hasArrived) return undefined
    const timer = setInterval(() => {
      if (document.visibilityState === 'visible') ask()
    }, ASK_EVERY_MS)
    const unsubscribe = liveReadings.subscribe((event) => {
      if (event !== null) void nodes.reload()
    })
    return () => {
      clearInterval(timer)
      unsubscribe()
    }
  }, [connection, hasArrived])

  if (known === null) return <p class="waiting">Asking after the nodes …</p>
  if (id === null || connection === null)
    return (
      <p>
        There is no node to wait for yet. <a href={stepPath('node')}>Make one known</a>
      </p>
    )
  const { value, failure } = connection.state.value
  if (value === null && failure === null) return <p class="waiting">Asking after the node …</p>
  const stray = strays.state.value.value
  const isFreshStray = stray?.latest != null && Date.parse(stray.latest.at) >= startMs - ASK_EVERY_MS
  return (
    <>
      {value === null && failure !== null && (
        <Failure failure={failure} onRetry={() => void connection.reload()} />
      )}
      <div class="reading-wait" role="status" aria-live="polite">
        {node !== null && hasArrived ? (
          <Arrived node={node} />
        ) : (
          <p class="wait-line">
            <b>Waiting for the first reading of {node?.name ?? id} …</b>{' '}
            {node?.presence == null
              ? 'Nothing has been heard of it yet.'
              : 'It has signed in, and has not sent a reading yet.'}
          </p>
        )}
      </div>
      {!hasArrived && (
        <>
          {node !== null && <RefusedPacks refusals={node.refusals} />}
          {isFreshStray && <RefusedPacks refusals={stray} kind="stray " />}
          {value !== null && <TurnedAway connection={value} sinceMs={startMs - HINTS_AFTER_MS} />}
          {value !== null && nowMs.value - startMs >= HINTS_AFTER_MS && <Hints connection={value} />}
        </>
      )}
      {value !== null && <SettingsToCopy connection={value} />}
    </>
  )
}
