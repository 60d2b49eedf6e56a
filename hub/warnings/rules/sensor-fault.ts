/**
 * A sensor whose readings keep being flagged, or whose light tells of something wrong with it (light-faults.ts). Flagged readings are left out of every figure, so the fault shows
 * as missing coverage; here it gets a name and a remedy.
 */
import { EXCLUDING_FLAGS, FLAG, type FlagName } from '../../../shared/quality-flags.js'
import { QUANTITIES } from '../../../shared/quantities.js'
import { holdWeights } from '../../core/quality/completeness.js'
import type { ReadingColumns } from '../../core/readings.js'
import { counted } from '../../core/words.js'
import { lightFindings } from '../light-faults.js'
import type { Finding, NodeView, Rule, RuleContext } from '../rule.js'
import { hours, moment } from '../wording.js'

const HOUR_MS = 3_600_000
/** Readings looked at: long enough to tell a habit from an accident. */
const WINDOW_MS = 3 * HOUR_MS
const NEEDED_READINGS = 3
/** Part of the readings that raises a warning, and part below which it ends. */
const RAISE_SHARE = 0.5
const HOLD_SHARE = 0.1
/** Time at its ceiling within a day from which a light sensor misjudges the sun. */
const CEILING_HOURS = 1
const CEILING_HOLD_HOURS = 0.25
const CLOCK_READINGS = 3

type FaultName = Extract<FlagName, 'sentinel' | 'stuck' | 'range' | 'dropout' | 'step'>
const FAULTS: readonly FaultName[] = ['sentinel', 'stuck', 'range', 'dropout', 'step']

export const sensorFault: Rule = {
  name: 'sensor-fault',
  holdMs: HOUR_MS,
  find: (context) =>
    context.nodes.flatMap((node) => [
      ...[...node.recent].flatMap(([quantity, readings]) => [
        ...faultOf(node, quantity, readings, context),
        ...ceilingOf(node, quantity, readings, context),
      ]),
      ...wrongClockOf(node, context),
      ...lightFindings(node, context).map(({ name, ...finding }) => ({
        ...about(node, `sensor-fault/${node.node.id}/${name}`),
        ...finding,
      })),
    ]),
}

/** The one fault that most of a sensor's last readings show. */
function faultOf(
  view: NodeView,
  quantity: string,
  readings: ReadingColumns,
  context: RuleContext,
): Finding[] {
  const counts = new Map<FaultName, number>()
  let total = 0
  let latest = Number.NaN
  for (let i = 0; i < readings.timeMs.length; i++) {
    const timeMs = readings.timeMs[i]!
    if (timeMs > context.nowMs || timeMs < context.nowMs - WINDOW_MS) continue
    total++
    const flags = readings.flags[i]!
    if ((flags & EXCLUDING_FLAGS) !== 0) latest = readings.value[i]!
    for (const name of FAULTS) if ((flags & FLAG[name]) !== 0) counts.set(name, (counts.get(name) ?? 0) + 1)
  }
  const [name, count] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [null, 0]
  if (name === null || total < NEEDED_READINGS) return []
  const cause = `sensor-fault/${view.node.id}/${quantity}`
  const share = count / total
  if (share < (context.isOpen(cause) ? HOLD_SHARE : RAISE_SHARE)) return []
  const info = QUANTITIES.get(quantity)
  const label = info?.label ?? quantity
  const { what, why, advice } = FAULT_WORDS[name]
  return [
    {
      ...about(view, cause),
      severity: share >= RAISE_SHARE ? 'Moderate' : 'Minor',
      headline: `The ${label} sensor of ${view.node.name} (${view.bed.name}) ${what}`,
      why: `${counted(count, 'reading')} of its last ${total} ${why} (latest ${latest.toFixed(info?.decimals ?? 1).replace('-', '−')} ${info?.unit ?? ''}). They are kept, but left out of every figure.`,
      advice,
    },
  ]
}

const FAULT_WORDS: Readonly<Record<FaultName, { what: string; why: string; advice: string }>> = {
  sentinel: {
    what: 'gives no readings',
    why: "are its driver's way of saying that the probe did not answer",
    advice:
      'Check the probe’s plug, cable and pull-up resistor; 85.0 °C points to a power supply that is too weak at the moment of measuring, −127 °C to a broken wire. Unplug the node before you touch its wires.',
  },
  stuck: {
    what: 'stands still',
    why: 'show the very same value for longer than nature does',
    advice:
      'Restart the node. If the value stays, the probe is loose, wet inside or broken; for light, look whether something covers it.',
  },
  range: {
    what: 'gives impossible values',
    why: 'lie outside what can be outdoors',
    advice:
      'Check the wiring and the unit that the node sends (°C, lx, W/m²); a probe in full sun needs a ventilated shade.',
  },
  dropout: {
    what: 'drops to zero',
    why: 'are an exact zero among readings far from it',
    advice: 'Look for a loose plug or a cable that moves in the wind.',
  },
  step: {
    what: 'leaps',
    why: 'leap away and back faster than weather can',
    advice: 'Look for a loose plug, water in the probe, or a heater or vehicle near the node.',
  },
}

/** A light sensor that spends its noons at the end of its scale. */
function ceilingOf(
  view: NodeView,
  quantity: string,
  readings: ReadingColumns,
  context: RuleContext,
): Finding[] {
  if (quantity !== 'light') return []
  const weights = holdWeights(readings.timeMs, readings.flags, 15 * 60_000)
  let ms = 0
  let ceilingLx = Number.POSITIVE_INFINITY
  for (let i = 0; i < readings.timeMs.length; i++) {
    if ((readings.flags[i]! & FLAG.ceiling) === 0) continue
    ms += weights[i]!
    ceilingLx = Math.min(ceilingLx, readings.value[i]!)
  }
  const cause = `sensor-fault/${view.node.id}/light-ceiling`
  const atCeilingHours = ms / HOUR_MS
  if (atCeilingHours < (context.isOpen(cause) ? CEILING_HOLD_HOURS : CEILING_HOURS)) return []
  return [
    {
      ...about(view, cause),
      severity: 'Minor',
      headline: `The light sensor of ${view.node.name} (${view.bed.name}) reaches its ceiling`,
      why: `For ${hours(atCeilingHours)} of the last day it could not show more than ${thousands(ceilingLx)} lx, where full sun is about 100 000 lx. Sun and thin cloud then look alike, and plant light is counted too low.`,
      advice:
        'Set the sensor to a shorter measurement time (BH1750: measurement-time register 31 gives 121 557 lx), or put a white diffuser over it. Readings so far stay as they are: “at least this much”.',
    },
  ]
}

function wrongClockOf(view: NodeView, { nowMs, garden }: RuleContext): Finding[] {
  const wrong = view.wrongClock
  if (!wrong || wrong.count < CLOCK_READINGS || nowMs - wrong.lastReceivedAtMs > WINDOW_MS) return []
  return [
    {
      ...about(view, `sensor-fault/${view.node.id}/clock`),
      severity: 'Moderate',
      headline: `The clock of ${view.node.name} (${view.bed.name}) is wrong`,
      why: `${counted(wrong.count, 'reading')} came with a time that cannot be, the latest at ${moment(wrong.lastReceivedAtMs, garden.timeZone)} with a clock that said ${moment(wrong.lastTimeMs, garden.timeZone)}. They are kept, but left out of every figure.`,
      advice:
        'Let the node set its clock from the network (NTP) before it measures, or leave times out: readings without a time count as measured on arrival.',
    },
  ]
}

/** "54 612" */
const thousands = (value: number): string => Math.round(value).toLocaleString('en-GB').replaceAll(',', ' ')

const about = (view: NodeView, cause: string) =>
  ({
    kind: 'sensor-fault',
    cause,
    bed: view.bed.id,
    node: view.node.id,
    planting: null,
    urgency: 'Immediate',
    certainty: 'Observed',
  }) as const
