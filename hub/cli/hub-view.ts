/** What a running hub says over HTTP about what it took and refused: asked before and after a replay. */
import { NodeStatus } from '../../shared/api/measurements.js'

/** Counts since the hub started. */
export interface HubView {
  /** of all nodes */
  readonly storedReadings: number
  readonly repeatedReadings: number
  readonly refusedPacks: number
  readonly refusedByReason: Readonly<Record<string, number>>
  /** the hub's words about the newest refused pack of the one node asked about */
  readonly latestRefusal: string | null
  /** has the grower set this garden up? */
  readonly hasGarden: boolean
}

const ANSWER_WITHIN_MS = 5_000

/** The hub's page did not answer as expected; the message says what to do. */
export class HubViewError extends Error {
  constructor(message: string, options?: { cause?: unknown }) {
    super(message, options)
    this.name = 'HubViewError'
  }
}

/**
 * @param httpUrl  address of the hub's page
 * @param token    API token; null: the hub must be one with open doors
 * @throws HubViewError  no answer, or one that is not a hub's
 */
export async function viewHub(
  httpUrl: string,
  garden: string,
  node: string,
  token: string | null = null,
): Promise<HubView> {
  const base = httpUrl.replace(/\/$/, '')
  const [metrics, status, place] = await Promise.all([
    ask(`${base}/metrics`, token),
    ask(`${base}/api/v1/gardens/${garden}/nodes/${node}`, token),
    ask(`${base}/api/v1/gardens/${garden}`, token),
  ])
  if (metrics.status === 401) {
    throw new HubViewError(
      'the hub tells strangers nothing; give an API token in HEARTING_TOKEN (hearting token add)',
    )
  }
  if (!metrics.ok) throw new HubViewError(`${base}/metrics answered ${metrics.status}`)
  const counts = parseCounters(await metrics.text())
  if (!counts.has('hearting_readings_stored')) {
    throw new HubViewError(`what answers at ${httpUrl} is not a hub; give its page’s address with --http`)
  }
  const refusedByReason: Record<string, number> = {}
  for (const [name, count] of counts) {
    const reason = /^hearting_packs_refused\{reason="([^"]*)"\}$/.exec(name)?.[1]
    if (reason !== undefined) refusedByReason[reason] = count
  }
  return {
    storedReadings: counts.get('hearting_readings_stored') ?? 0,
    repeatedReadings: counts.get('hearting_readings_repeated') ?? 0,
    refusedPacks: Object.values(refusedByReason).reduce((sum, n) => sum + n, 0),
    refusedByReason,
    latestRefusal: status.ok ? latestRefusal(await status.json()) : null,
    hasGarden: place.ok,
  }
}

async function ask(url: string, token: string | null): Promise<Response> {
  try {
    return await fetch(url, {
      signal: AbortSignal.timeout(ANSWER_WITHIN_MS),
      ...(token === null ? {} : { headers: { authorization: `Bearer ${token}` } }),
    })
  } catch (cause) {
    throw new HubViewError(
      `nothing answers at ${new URL(url).origin}; give the address of the hub’s page with --http`,
      {
        cause,
      },
    )
  }
}

function latestRefusal(body: unknown): string | null {
  const status = NodeStatus.safeParse(body)
  return status.success ? (status.data.refusals.latest?.message ?? null) : null
}

/** Counters of the OpenMetrics text format, under their names without `_total`. */
function parseCounters(text: string): Map<string, number> {
  const counts = new Map<string, number>()
  for (const line of text.split('\n')) {
    const match = /^([a-z_]+)_total(\{[^}]*\})? (\d+(?:\.\d+)?(?:e\+?\d+)?)/.exec(line)
    if (match) counts.set(`${match[1]}${match[2] ?? ''}`, Number(match[3]))
  }
  return counts
}

/** What happened between two views; a hub that was started again in between has begun to count anew. */
export function between(before: HubView, after: HubView): HubView {
  const wasRestarted =
    after.storedReadings < before.storedReadings ||
    after.repeatedReadings < before.repeatedReadings ||
    after.refusedPacks < before.refusedPacks
  if (wasRestarted) return after
  const refusedByReason: Record<string, number> = {}
  for (const [reason, count] of Object.entries(after.refusedByReason)) {
    const refused = count - (before.refusedByReason[reason] ?? 0)
    if (refused > 0) refusedByReason[reason] = refused
  }
  const refusedPacks = after.refusedPacks - before.refusedPacks
  return {
    storedReadings: after.storedReadings - before.storedReadings,
    repeatedReadings: after.repeatedReadings - before.repeatedReadings,
    refusedPacks,
    refusedByReason,
    latestRefusal: refusedPacks > 0 ? after.latestRefusal : null,
    hasGarden: after.hasGarden,
  }
}
