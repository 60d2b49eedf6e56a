/** What a running hub says about one node over its HTTP API: asked before and after a replay. */
import { NodeStatus } from '../../shared/api/measurements.js'

export interface HubView {
  readonly refusedPacks: number
  readonly byReason: Readonly<Record<string, number>>
  /** the hub's words about the newest refused pack */
  readonly latestRefusal: string | null
}

const NOTHING_YET: HubView = { refusedPacks: 0, byReason: {}, latestRefusal: null }
const ANSWER_WITHIN_MS = 5_000

/** The API did not answer as expected; the message says what to do. */
export class HubViewError extends Error {
  constructor(message: string, options?: { cause?: unknown }) {
    super(message, options)
    this.name = 'HubViewError'
  }
}

/**
 * The node's refusals as the hub counts them; a node that it has not heard of has none.
 *
 * @throws HubViewError  no answer, or one that is not this API's
 */
export async function viewNode(httpUrl: string, garden: string, node: string): Promise<HubView> {
  const url = `${httpUrl.replace(/\/$/, '')}/api/v1/gardens/${garden}/nodes/${node}`
  let response: Response
  try {
    response = await fetch(url, { signal: AbortSignal.timeout(ANSWER_WITHIN_MS) })
  } catch (cause) {
    throw new HubViewError(`no answer from the hub’s page at ${httpUrl}; give its address with --http`, {
      cause,
    })
  }
  if (response.status === 404) return NOTHING_YET
  if (!response.ok) throw new HubViewError(`${url} answered ${response.status}`)
  let body: unknown
  try {
    body = await response.json()
  } catch (cause) {
    throw new HubViewError(`${httpUrl} is not a hub’s page; give its address with --http`, { cause })
  }
  const status = NodeStatus.safeParse(body)
  if (!status.success)
    throw new HubViewError(`${httpUrl} answers in another form; is the hub of the same version?`)
  const { total, byReason, latest } = status.data.refusals
  return { refusedPacks: total, byReason, latestRefusal: latest?.message ?? null }
}

/** What was refused between two views. A hub that was restarted in between has begun to count anew. */
export function refusedBetween(before: HubView, after: HubView): HubView {
  const start = after.refusedPacks < before.refusedPacks ? NOTHING_YET : before
  const byReason: Record<string, number> = {}
  for (const [reason, count] of Object.entries(after.byReason)) {
    const refused = count - (start.byReason[reason] ?? 0)
    if (refused > 0) byReason[reason] = refused
  }
  const refusedPacks = after.refusedPacks - start.refusedPacks
  return { refusedPacks, byReason, latestRefusal: refusedPacks > 0 ? after.latestRefusal : null }
}
