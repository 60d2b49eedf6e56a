/** Kinds of warnings as mail, feed, alerts and the page name them. */
import type { WarningKind } from './api/warnings.js'

export const KIND_WORDS: Readonly<Record<WarningKind, string>> = {
  'warm-spell': 'Warm spell',
  'loose-heads': 'Loose heads',
  'heat-bolting': 'Bolting in the heat',
  'cold-bolting': 'Bolting after cold',
  frost: 'Frost',
  'short-sun': 'Too little sun',
  'cold-soil': 'Cold soil',
  'node-silent': 'Silent node',
  'sensor-fault': 'Sensor fault',
}
