/** A node as its page shows it: name, whereabouts, newest values, what was refused. */
import type { NodeStatus } from '../../shared/api/measurements.js'
import { isoWithOffset } from '../../shared/local-time.js'
import type { ApiDeps, NodeRefusals } from './deps.js'
import { latestValue, ZONE_UNTIL_KNOWN } from './figures.js'

/**
 * Every node that was named, placed, or ever heard of, by id. A garden that has not been set up has nodes too:
 * the grower sees that the first one publishes before having filled in any form.
 */
export async function nodeStatuses(deps: ApiDeps, garden: string): Promise<NodeStatus[]> {
  const [settings, named, placements, latest] = await Promise.all([
    deps.garden.getGarden(garden),
    deps.garden.listNodes(garden),
    deps.garden.listPlacements(garden),
    deps.store.latest(garden),
  ])
  const timeZone = settings?.timeZone ?? ZONE_UNTIL_KNOWN
  const nowMs = deps.now()
  const names = new Map(named.map((node) => [node.id, node.name]))
  const standing = placements
    .filter(({ fromMs, toMs }) => fromMs <= nowMs && (toMs === null || nowMs < toMs))
    .sort((a, b) => a.fromMs - b.fromMs)
  const bedOf = new Map(standing.map(({ node, bed }) => [node, bed]))
  const ids = new Set([
    ...names.keys(),
    ...placements.map(({ node }) => node),
    ...latest.map(({ node }) => node),
    ...deps.ingest.heardNodes(garden),
  ])
  return [...ids].sort().map((id) => {
    const presence = deps.ingest.presence(garden, id)
    const newest = latest.filter(({ node }) => node === id)
    const seenMs = Math.max(presence?.atMs ?? 0, ...newest.map(({ receivedAtMs }) => receivedAtMs))
    return {
      id,
      name: names.get(id) ?? null,
      presence: presence?.presence ?? null,
      lastSeen: seenMs > 0 ? isoWithOffset(seenMs, timeZone) : null,
      latest: newest.map((reading) => latestValue(reading, timeZone)),
      bed: bedOf.get(id) ?? null,
      refusals: refusalsOnWire(deps.ingest.refusals(garden, id), timeZone),
    }
  })
}

function refusalsOnWire(refusals: NodeRefusals, timeZone: string): NodeStatus['refusals'] {
  const { total, byReason, latest } = refusals
  return {
    total,
    byReason: { ...byReason },
    latest: latest && {
      at: isoWithOffset(latest.atMs, timeZone),
      reason: latest.reason,
      message: latest.message,
      excerpt: latest.excerpt,
    },
  }
}
