/**
 * A warning as an alert of the Common Alerting Protocol, version 1.2 (OASIS, 1 July 2010; the same as ITU-T X.1303
 * bis). Numbers of sections are those of that document. Pure.
 */
import { create } from 'xmlbuilder2'
import type { Garden } from '../../shared/api/garden.js'
import type { WarningKind } from '../../shared/api/warnings.js'
import { isoWithOffset } from '../../shared/local-time.js'
import { KIND_WORDS } from '../../shared/warning-kind-words.js'
import type { StoredWarning } from '../garden/port.js'
import { literal } from './xml-text.js'

const CAP_NAMESPACE = 'urn:oasis:names:tc:emergency:cap:1.2'
/** of the circle that stands for the garden, km */
const GARDEN_RADIUS_KM = 0.1
/** most earlier messages that one message refers to: the first, and the latest */
const MOST_REFERENCES = 10

/** §3.2.2: what the subject is about; sensors and nodes are infrastructure */
const CATEGORIES: Readonly<Record<WarningKind, 'Met' | 'Env' | 'Infra'>> = {
  'warm-spell': 'Met',
  'loose-heads': 'Met',
  'heat-bolting': 'Met',
  'cold-bolting': 'Met',
  frost: 'Met',
  'short-sun': 'Env',
  'cold-soil': 'Met',
  'node-silent': 'Infra',
  'sensor-fault': 'Infra',
}

export interface CapSubject {
  readonly warning: StoredWarning
  readonly garden: Garden
  /** names the garden uniquely among all senders */
  readonly gardenUuid: string
  /** name of the bed, where the warning is about one that still exists */
  readonly bedName: string | null
  /** when earlier messages about this warning were sent, UTC ms */
  readonly earlierMs: readonly number[]
  /** nothing in it was measured: the demo */
  readonly isExercise: boolean
  /** where people read the page; null: not known */
  readonly pageUrl: string | null
}

/**
 * §3.2.1 `sent`: seconds, an offset, and −00:00 for UTC ("Z" is not allowed).
 *
 * @param timeMs  UTC ms; parts of a second are cut off
 */
export function capTime(timeMs: number, timeZone: string): string {
  return isoWithOffset(Math.floor(timeMs / 1000) * 1000, timeZone).replace(/\+00:00$/, '-00:00')
}

/** One version of one warning has one identifier: no blanks, commas, < or & (§3.2.1). */
const identifier = (id: string, sentMs: number): string => `${id}.${Math.floor(sentMs / 1000).toString(36)}`

/** One alert; the text is UTF-8 XML with its declaration. Characters that XML 1.0 cannot carry become U+FFFD. */
export function capAlert(subject: CapSubject): string {
  const { warning, garden } = subject
  const sender = `hearting-${subject.gardenUuid}`
  const time = (timeMs: number): string => capTime(timeMs, garden.timeZone)
  const reference = (sentMs: number): string => `${sender},${identifier(warning.id, sentMs)},${time(sentMs)}`
  const references = earlierMessages(subject).map(reference)

  const alert = create({
    version: '1.0',
    encoding: 'UTF-8',
    invalidCharReplacement: '\uFFFD',
    defaultNamespace: { ele: CAP_NAMESPACE },
  }).ele('alert')
  const put = (parent: typeof alert, name: string, text: string | null): void => {
    if (text !== null && text !== '') parent.ele(name).txt(literal(text))
  }
  put(alert, 'identifier', identifier(warning.id, warning.updatedAtMs))
  put(alert, 'sender', sender)
  put(alert, 'sent', time(warning.updatedAtMs))
  put(alert, 'status', subject.isExercise ? 'Exercise' : 'Actual')
  put(alert, 'msgType', messageType(warning))
  // for those who look after this garden, not for the public; a private alert names whom it is for
  put(alert, 'scope', 'Private')
  put(alert, 'addresses', `garden-${garden.id}`)
  // an exercise says so to the people who read it (§3.2.1 `note`)
  put(alert, 'note', subject.isExercise ? 'Made-up garden: nothing in this alert was measured.' : null)
  put(alert, 'references', references.join(' '))

  const info = alert.ele('info')
  put(info, 'language', 'en')
  put(info, 'category', CATEGORIES[warning.kind])
  put(info, 'event', KIND_WORDS[warning.kind])
  if (warning.clearedAtMs !== null) put(info, 'responseType', 'AllClear')
  put(info, 'urgency', warning.clearedAtMs === null ? warning.urgency : 'Past')
  put(info, 'severity', warning.severity)
  put(info, 'certainty', warning.certainty)
  const code = info.ele('eventCode')
  put(code, 'valueName', 'hearting-kind')
  put(code, 'value', warning.kind)
  put(info, 'effective', time(warning.updatedAtMs))
  const { onsetMs } = warning
  put(info, 'onset', onsetMs === null ? null : time(onsetMs))
  // a cancelled alert holds no longer
  const expiresMs = warning.clearedAtMs ?? warning.expiresMs
  put(info, 'expires', expiresMs === null ? null : time(expiresMs))
  put(info, 'senderName', `hearting, ${garden.name}`)
  put(info, 'headline', warning.headline)
  put(info, 'description', warning.why)
  put(info, 'instruction', warning.advice)
  put(info, 'web', subject.pageUrl)
  const parameters: [string, string | null][] = [
    ['bed', warning.bed],
    ['planting', warning.planting],
    ['node', warning.node],
    ['chance', warning.chance === null ? null : String(Number(warning.chance.toFixed(2)))],
  ]
  for (const [name, value] of parameters) {
    if (value === null) continue
    const parameter = info.ele('parameter')
    put(parameter, 'valueName', `hearting-${name}`)
    put(parameter, 'value', value)
  }
  const area = info.ele('area')
  put(area, 'areaDesc', [subject.bedName, garden.name].filter((name) => name !== null).join(', '))
  put(area, 'circle', `${garden.latitudeDeg},${garden.longitudeDeg} ${GARDEN_RADIUS_KM}`)
  return alert.end({ prettyPrint: true })
}

function messageType(warning: StoredWarning): 'Alert' | 'Update' | 'Cancel' {
  if (warning.clearedAtMs !== null) return 'Cancel'
  return warning.updatedAtMs === warning.raisedAtMs ? 'Alert' : 'Update'
}

/** The messages that this one takes the place of: always the first, then the latest. */
function earlierMessages({ warning, earlierMs }: CapSubject): number[] {
  if (messageType(warning) === 'Alert') return []
  const between = [...new Set(earlierMs)]
    .filter((ms) => ms > warning.raisedAtMs && ms < warning.updatedAtMs)
    .sort((a, b) => a - b)
  return [warning.raisedAtMs, ...between.slice(1 - MOST_REFERENCES)]
}
