/** Broker, ingest and store joined as the hub joins them, on a free port and a folder of its own. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt'
import pino from 'pino'
import {
  type EmbeddedBroker,
  type EmbeddedBrokerOptions,
  startEmbeddedBroker,
} from '../../hub/ingest/embedded-broker.js'
import { createIngest, type Ingest, type IngestOptions } from '../../hub/ingest/ingest.js'
import { openSqliteStore, type SqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'

export interface HubUnderTest {
  readonly broker: EmbeddedBroker
  readonly ingest: Ingest
  readonly store: SqliteStore
  connect(options?: IClientOptions): Promise<MqttClient>
  dispose(): Promise<void>
}

export const NOW_MS = Date.UTC(2027, 4, 6, 12)

export async function startHubUnderTest(
  ingestOptions: Partial<IngestOptions> = {},
  brokerOptions: Partial<EmbeddedBrokerOptions> = {},
): Promise<HubUnderTest> {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-ingest-'))
  const store = await openSqliteStore({ dataDir })
  const log = pino({ level: 'silent' })
  const ingest = createIngest({
    append: (readings, receivedAtMs) => store.append(readings, receivedAtMs),
    now: () => NOW_MS,
    horizonMs: 400 * 86_400_000,
    acceptsGarden: (garden) => garden === 'home',
    log,
    ...ingestOptions,
  })
  const broker = await startEmbeddedBroker({ host: '127.0.0.1', port: 0, ingest, log, ...brokerOptions })
  const clients: MqttClient[] = []
  return {
    broker,
    ingest,
    store,
    async connect(options = {}) {
      const client = await mqtt.connectAsync(`mqtt://127.0.0.1:${broker.port}`, {
        reconnectPeriod: 0,
        ...options,
      })
      client.on('error', () => {})
      clients.push(client)
      return client
    },
    async dispose() {
      await Promise.all(clients.map((client) => client.endAsync(true)))
      await broker.close()
      await ingest.close()
      await store.close()
      await rm(dataDir, { recursive: true })
    },
  }
}

/** Waits until a condition holds; fails with its last error after 10 s. */
export async function until<T>(what: string, probe: () => T | Promise<T>): Promise<NonNullable<T>> {
  const giveUpAt = performance.now() + 10_000
  for (;;) {
    const value = await probe()
    if (value) return value as NonNullable<T>
    if (performance.now() > giveUpAt) throw new Error(`waited 10 s in vain until ${what}`)
    await new Promise((resolve) => setTimeout(resolve, 5))
  }
}
