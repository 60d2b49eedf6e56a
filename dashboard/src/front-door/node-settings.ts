/** What is typed into a node, and a line for a shell that stands in for one. Pure. */
import type { NodeConnection } from '../../../shared/api/access.js'

/** What the hub told once, and this page forgets when it is closed. */
export interface Login {
  readonly username: string
  readonly password: string
}

export const EXAMPLE_PACK =
  '[{"n":"air-temp","u":"Cel","v":17.4},{"n":"soil-temp","u":"Cel","v":14.9},{"n":"light","u":"lx","v":38100}]'

/** Stands for a password that this page does not know. */
export const UNKNOWN_PASSWORD = 'PASSWORD'

export const isThisMachine = (host: string): boolean =>
  /^(localhost|127\.\d+\.\d+\.\d+|\[?::1\]?)$/.test(host)

/** Name and value of each setting. */
export function settingRows(
  connection: NodeConnection,
  login: Login | null,
  hubHost: string,
  garden: string,
): readonly (readonly [string, string])[] {
  const { host, mqttPort, isTls, readingsTopic, password, node } = connection
  const rows: (readonly [string, string])[] = [
    ['host', host ?? hubHost],
    ['port', `${mqttPort}${isTls ? ' (TLS)' : ''}`],
  ]
  if (password === 'own') rows.push(['user name', login?.username ?? `${garden}/${node}`])
  if (password === 'own' && login !== null) rows.push(['password', login.password])
  rows.push(['topic', readingsTopic], ['quality of service', '1'])
  return rows
}

/** `mosquitto_pub` publishing one pack as the node would. */
export function publishLine(
  connection: NodeConnection,
  login: Login | null,
  hubHost: string,
  garden: string,
): string {
  const { host, mqttPort, isTls, readingsTopic, password, node } = connection
  const words = ['mosquitto_pub', '-h', (host ?? hubHost).replace(/^\[|\]$/g, ''), '-p', String(mqttPort)]
  if (isTls) words.push('--cafile', 'AUTHORITY.pem')
  if (password === 'own')
    words.push('-u', login?.username ?? `${garden}/${node}`, '-P', login?.password ?? UNKNOWN_PASSWORD)
  if (password === 'elsewhere') words.push('-u', 'USER', '-P', UNKNOWN_PASSWORD)
  words.push('-q', '1', '-t', readingsTopic)
  return `${words.join(' ')} \\\n  -m '${EXAMPLE_PACK}'`
}
