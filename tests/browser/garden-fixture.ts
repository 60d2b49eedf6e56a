/**
 * A hub with a small garden for the browser to look at: one bed with three days of minutes behind it, one without a
 * node. The hub's clock stands on the afternoon of a day on which the garden's clocks went forward.
 */
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import type { MqttClient } from 'mqtt'
import type { Hub } from '../../hub/main.js'
import { ask, newDataDir, node, publish, startOn } from '../hub/hub-fixture.js'

export const ZONE = 'Europe/Copenhagen'
/** 14:10 by the garden's clock, twelve hours after it jumped from 02:00 to 03:00 */
export const START_MS = Date.parse('2027-03-28T14:10:00+02:00')
/** yesterday from 02:00 to 05:00 nothing was sent */
export const GAP = {
  fromMs: Date.parse('2027-03-27T02:00:00+01:00'),
  toMs: Date.parse('2027-03-27T05:00:00+01:00'),
}
/** the moment of a DS18B20's power-on value among the air temperatures */
export const SENTINEL_MS = Date.parse('2027-03-28T13:30:00+02:00')

const MINUTE_MS = 60_000
const DAYS_BEHIND = 3
const PER_PACK = 400

/** The hub's clock: runs on from START_MS at its usual pace. */
export function fixtureClock(): () => number {
  const startedMs = Date.now()
  return () => START_MS + (Date.now() - startedMs)
}

/** Air temperature the node measured at an instant, °C to the tenth. */
export function airTempC(atMs: number): number {
  if (atMs === SENTINEL_MS) return 85
  const hours = (atMs - START_MS) / 3_600_000
  return Math.round((9 + 5 * Math.cos((hours / 24) * 2 * Math.PI)) * 10) / 10
}

/** An open spring sky: a half sine from 6:00 to 18:40, garden's time on average. */
function lightLx(atMs: number): number {
  const hour = ((atMs - Date.parse('2027-03-25T00:00:00+01:00')) / 3_600_000) % 24
  const part = (hour - 6) / 12.7
  return part <= 0 || part >= 1 ? 0 : Math.round(62_000 * Math.sin(part * Math.PI) ** 1.2)
}

export interface GardenOnHub {
  readonly hub: Hub
  readonly client: MqttClient
  readonly now: () => number
  readonly dataDir: string
  close(): Promise<void>
}

/** Starts a hub with nothing in it. */
export async function emptyHub(): Promise<GardenOnHub> {
  if (!existsSync(join(import.meta.dirname, '../../dashboard/dist/index.html')))
    throw new Error('the page is not built; run: npm run build')
  const folder = await newDataDir()
  const now = fixtureClock()
  const hub = await startOn(folder.dataDir, { now })
  const client = await node(hub)
  return {
    hub,
    client,
    now,
    dataDir: folder.dataDir,
    async close() {
      await client.endAsync(true)
      await hub.close()
      await folder.remove()
    },
  }
}

/** Asks the API and fails loudly when it says no. */
export async function tell(hub: Hub, method: string, path: string, body?: unknown): Promise<void> {
  const answer = await ask(hub, method, path, body)
  if (answer.status >= 300)
    throw new Error(`${method} ${path}: ${answer.status} ${JSON.stringify(answer.body)}`)
}

/** Starts a hub and fills it by API and MQTT, as a grower and a node would. */
export async function filledHub(): Promise<GardenOnHub> {
  const started = await emptyHub()
  const { hub, client } = started
  const garden = {
    name: 'Quince Court',
    latitudeDeg: 55.7,
    longitudeDeg: 12.5,
    elevationM: 20,
    timeZone: ZONE,
  }
  await tell(hub, 'PUT', 'gardens/home', garden)
  const bed = { kind: 'raised', lengthM: 2.4, widthM: 1.2, depthM: 0.4 }
  await tell(hub, 'PUT', 'gardens/home/beds/quince', { ...bed, name: 'Under the quince' })
  await tell(hub, 'PUT', 'gardens/home/beds/gate', { ...bed, name: 'By the gate' })
  await tell(hub, 'PUT', 'gardens/home/nodes/wren', { name: 'Wren' })
  await tell(hub, 'POST', 'gardens/home/placements', {
    node: 'wren',
    bed: 'quince',
    from: '2027-03-01T00:00:00+01:00',
  })
  await sendPast(client)
  return started
}

async function sendPast(client: MqttClient): Promise<void> {
  const fromMs = START_MS - DAYS_BEHIND * 24 * 60 * MINUTE_MS
  const records: { n: string; u: string; v: number; t: number }[] = []
  for (let atMs = fromMs; atMs <= START_MS; atMs += MINUTE_MS) {
    if (atMs >= GAP.fromMs && atMs < GAP.toMs) continue
    const t = atMs / 1000
    records.push({ n: 'air-temp', u: 'Cel', v: airTempC(atMs), t })
    records.push({ n: 'soil-temp', u: 'Cel', v: 8.5, t })
    records.push({ n: 'light', u: 'lx', v: lightLx(atMs), t })
  }
  for (let i = 0; i < records.length; i += PER_PACK) {
    const pack = JSON.stringify(records.slice(i, i + PER_PACK))
    await client.publishAsync('gardens/home/nodes/wren/readings', pack, { qos: 1 })
  }
}

export { publish }
