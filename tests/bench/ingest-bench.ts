/** Durable readings a second, end to end over MQTT, against the same broker and decoder with no store behind. */
import { execFile } from 'node:child_process'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import pino from 'pino'
import { startEmbeddedBroker } from '../../hub/ingest/embedded-broker.js'
import { createIngest, type IngestOptions } from '../../hub/ingest/ingest.js'
import { openSqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'
import { type BenchRow, median } from './bench-row.js'

const CONNECTIONS = 20
const PACKS = 3_000
const IN_FLIGHT = 50
const READINGS_A_PACK = 3
const RUNS = 3

async function readingsASecond(append: IngestOptions['append']): Promise<number> {
  const log = pino({ level: 'silent' })
  const ingest = createIngest({
    append,
    now: () => Date.now(),
    horizonMs: Number.POSITIVE_INFINITY,
    acceptsGarden: () => true,
    log,
  })
  const broker = await startEmbeddedBroker({ host: '127.0.0.1', port: 0, ingest, log })
  try {
    const script = join(import.meta.dirname, 'mqtt-load.ts')
    const args = ['--import', 'tsx', script, broker.port, CONNECTIONS, PACKS, IN_FLIGHT].map(String)
    const { stdout } = await promisify(execFile)(process.execPath, args)
    const sent = CONNECTIONS * PACKS * READINGS_A_PACK
    if (ingest.totals().readings !== sent)
      throw new Error(`${ingest.totals().readings} of ${sent} readings arrived`)
    return sent / (Number(stdout) / 1000)
  } finally {
    await broker.close()
    await ingest.close()
  }
}

async function durable(): Promise<number> {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-bench-'))
  const store = await openSqliteStore({ dataDir })
  try {
    return await readingsASecond((readings, receivedAtMs) => store.append(readings, receivedAtMs))
  } finally {
    await store.close()
    await rm(dataDir, { recursive: true })
  }
}

const noStore = (): Promise<number> =>
  readingsASecond(async (readings) => ({ stored: readings.length, repeated: 0 }))

export async function ingestBench(): Promise<BenchRow[]> {
  const without: number[] = []
  const withStore: number[] = []
  // the first round warms up; then turn by turn, so that a slow spell of the machine meets both alike
  for (let run = 0; run <= RUNS; run++) {
    const [a, b] = [await noStore(), await durable()]
    if (run === 0) continue
    without.push(a)
    withStore.push(b)
  }
  const yardstick = 'readings a second, same broker, no store'
  return [
    { name: yardstick, value: median(without), unit: '1/s', ratioTo: null },
    {
      name: 'readings a second, acknowledged when on disk',
      value: median(withStore),
      unit: '1/s',
      ratioTo: yardstick,
    },
  ]
}
