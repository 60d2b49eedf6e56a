/** A node as its page shows it: name, whereabouts, newest values, what was refused. */
import type { NodeStatus, Refusals } from '../../shared/api/measurements.js'
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

/**
 * Packs that named no node: a node's builder who has mistaken the topic finds them here, and nowhere else. Those
 * that named no garden either are shown in every garden, since nobody knows whose they are.
 */
export async function strayPacks(deps: ApiDeps, garden: string): Promise<Refusals> {
  const timeZone = (await deps.garden.getGarden(garden))?.timeZone ?? ZONE_UNTIL_KNOWN
  const inGarden = deps.ingest.refusals(garden, null)
  const nowhere = deps.ingest.refusals('', null)
  const byReason = { ...inGarden.byReason }
  for (const reason of Object.keys(nowhere.byReason) as (keyof typeof byReason)[]) {
    byReason[reason] = (byReason[reason] ?? 0) + (nowhere.byReason[reason] ?? 0)
  }
  const isLater = (nowhere.latest?.atMs ?? 0) > (inGarden.latest?.atMs ?? 0)
  return refusalsOnWire(
    {
      total: inGarden.total + nowhere.total,
      byReason,
      latest: isLater ? nowhere.latest : inGarden.latest,
    },
    timeZone,
  )
}

function refusalsOnWire({ total, byReason, latest }: NodeRefusals, timeZone: string): Refusals {
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
