/** A garden and a warning for tests of what is sent out. */

import type { StoredWarning } from '../../hub/garden/port.js'
import type { Garden } from '../../shared/api/garden.js'

export const RAISED_MS = Date.parse('2027-05-06T04:10:00+02:00')

export const GARDEN: Garden = {
  id: 'home',
  name: 'Quince Court',
  latitudeDeg: 55.7,
  longitudeDeg: -12.5,
  elevationM: 20,
  timeZone: 'Europe/Copenhagen',
}

export const FROST: StoredWarning = {
  id: '4be0643f-1d98-473b-97cd-ca98a65347dd',
  kind: 'frost',
  cause: 'frost/quince',
  bed: 'quince',
  node: null,
  planting: 'p1',
  severity: 'Moderate',
  urgency: 'Expected',
  certainty: 'Possible',
  headline: 'Frost may come to Under the quince before dawn: head lettuce',
  why: 'The bed’s air fell from 4.0 °C to 1.0 °C.',
  advice: 'Cover the plants now with fleece.',
  raisedAtMs: RAISED_MS,
  updatedAtMs: RAISED_MS,
  clearedAtMs: null,
  seenAtMs: null,
  onsetMs: null,
  expiresMs: null,
  chance: null,
}
