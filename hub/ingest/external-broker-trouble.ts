/** What keeps the hub from its broker, sorted and said in words that tell what to do. */

export type TroubleKind =
  | 'unreachable'
  | 'certificate'
  | 'login'
  | 'version'
  | 'taken-over'
  | 'subscription'
  | 'lost'
  | 'other'

export interface BrokerTrouble {
  readonly kind: TroubleKind
  readonly message: string
  /** as the broker or the system put it */
  readonly reason: string
}

const MESSAGES: Readonly<Record<TroubleKind, string>> = {
  unreachable:
    'broker: it cannot be reached; the hub goes on trying. Is it running, and is HEARTING_BROKER_URL right?',
  certificate:
    'broker: its certificate is not trusted; give the authority’s certificate as HEARTING_BROKER_CA_FILE, and use the name that the certificate is for',
  login:
    'broker: it turns the hub away; check HEARTING_BROKER_USER and HEARTING_BROKER_PASSWORD, and the broker’s own list of users',
  version: 'broker: it does not speak this version of MQTT; set HEARTING_BROKER_MQTT_VERSION=3.1.1',
  'taken-over':
    'broker: the connection is taken away again and again: another client comes with the hub’s client id; give each hub a HEARTING_BROKER_CLIENT_ID of its own',
  subscription:
    'broker: it does not let the hub hear nodes; let its user read gardens/+/nodes/+/readings and …/presence',
  lost: 'broker: the connection broke; the hub connects again, and what is published meanwhile waits at the broker',
  other: 'broker: it ended the connection; the hub connects again',
}

/** MQTT 3.1.1 §3.2.2.3 and MQTT 5.0 §2.4 */
const BAD_VERSION: readonly number[] = [1, 132]
const BAD_LOGIN: readonly number[] = [4, 5, 134, 135]
const TAKEN_OVER = 142

const UNREACHABLE = /^(ECONNREFUSED|ECONNRESET|ETIMEDOUT|EHOSTUNREACH|ENETUNREACH|ENOTFOUND|EAI_AGAIN|EPIPE)$/

export function explainTrouble(
  during: 'connection' | 'subscription' | 'lost' | 'again' | 'disconnect',
  cause: unknown,
): BrokerTrouble {
  const { code } = (cause ?? {}) as { code?: unknown }
  const reason = cause instanceof Error ? cause.message : cause === null ? '' : String(cause)
  const kind = kindOf(during, during === 'disconnect' ? cause : code, reason)
  return { kind, message: MESSAGES[kind], reason }
}

function kindOf(during: string, code: unknown, reason: string): TroubleKind {
  if (during === 'subscription') return 'subscription'
  if (during === 'lost') return 'lost'
  if (during === 'again') return 'taken-over'
  if (code === TAKEN_OVER) return 'taken-over'
  if (typeof code === 'number') {
    if (BAD_VERSION.includes(code)) return 'version'
    return BAD_LOGIN.includes(code) ? 'login' : 'other'
  }
  if (typeof code === 'string') {
    if (UNREACHABLE.test(code)) return 'unreachable'
    if (/CERT|SELF_SIGNED|ISSUER|ALTNAME|SSL|VERIFY|CRL/.test(code)) return 'certificate'
  }
  return /connack timeout|keepalive timeout/i.test(reason) ? 'unreachable' : 'other'
}
