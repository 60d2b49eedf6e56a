/** A node that should speak and does not: nothing that depends on it can be known, or warned of. */
import type { Finding, NodeView, Rule, RuleContext } from '../rule.js'
import { lengthOfTime, moment } from '../wording.js'

const MINUTE_MS = 60_000
const HOUR_MS = 60 * MINUTE_MS
const LEAST_SILENCE_MS = 15 * MINUTE_MS
/** So many missing readings are not an accident of the radio. */
const MISSED_READINGS = 5
/** A node just placed gets this long for its first reading. */
const FIRST_READING_MS = HOUR_MS
const GRAVE_MS = 6 * HOUR_MS

export const nodeSilent: Rule = {
  name: 'node-silent',
  // a node that comes back for one reading is not back yet
  holdMs: 10 * MINUTE_MS,
  find: (context) => context.nodes.flatMap((node) => silent(node, context) ?? []),
}

/** How long a node may be silent before it is missed, ms. */
export const silenceLimitMs = (spacingMs: number | null): number =>
  Math.max(LEAST_SILENCE_MS, MISSED_READINGS * (spacingMs ?? 0))

function silent(view: NodeView, { nowMs, garden, isOpen }: RuleContext): Finding | null {
  const { node, bed, lastMs, lastReceivedMs, spacingMs, placedSinceMs } = view
  const cause = `node-silent/${node.id}`
  // one that was found silent before the hub was restarted is silent still
  const listeningSinceMs = isOpen(cause) ? 0 : view.listeningSinceMs
  const silentMs = nowMs - Math.max(lastReceivedMs ?? placedSinceMs, listeningSinceMs)
  const limitMs = lastMs === null ? FIRST_READING_MS : silenceLimitMs(spacingMs)
  if (silentMs <= limitMs) return null
  const isGrave = silentMs > Math.max(GRAVE_MS, 4 * limitMs)
  return {
    kind: 'node-silent',
    cause,
    bed: bed.id,
    node: node.id,
    planting: null,
    severity: isGrave ? 'Moderate' : 'Minor',
    urgency: 'Immediate',
    certainty: 'Observed',
    headline:
      lastMs === null
        ? `${node.name} (${bed.name}) has not sent anything yet`
        : `${node.name} (${bed.name}) is silent`,
    why:
      lastMs === null
        ? `It stands there since ${moment(placedSinceMs, garden.timeZone)}, and no reading has come in.`
        : `Its last reading is from ${moment(lastMs, garden.timeZone)}${spacingMs === null ? '' : `; it usually sends every ${lengthOfTime(spacingMs)}`}. Nothing is known of the bed since, and no other warning can come from it.`,
    advice:
      'Look whether it has power (battery, plug, solar panel), whether its radio reaches the hub, and whether its name and the address of the hub are right. Readings that it kept meanwhile will be filled in. Leave lithium cells that are swollen, hot or wet alone and never charge them in the frost; mains power outdoors is for a licensed electrician.',
  }
}
