/**
 * The hub between Mosquitto and InfluxDB, against the same two with a plain subscriber that writes batches, and
 * against the hub's own broker and store. Skipped, with a word, where the servers are not installed.
 */
import { execFile } from 'node:child_process'
import { mkdtemp, readFile, rm, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { promisify } from 'node:util'
import mqtt from 'mqtt'
import pino from 'pino'
import type { NodeBroker } from '../../hub/ingest/broker-port.js'
import { startEmbeddedBroker } from '../../hub/ingest/embedded-broker.js'
import { connectExternalBroker } from '../../hub/ingest/external-broker.js'
import { createIngest, type Ingest } from '../../hub/ingest/ingest.js'
import { type InfluxStore, openInfluxStore } from '../../hub/store/influx/open-influx-store.js'
import type { ReadingStore } from '../../hub/store/port.js'
import { openSqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'
import { sliceRows } from '../../hub/store/stored-rows.js'
import { hasInfluxd, type InfluxdForTest, startInfluxd } from '../support/influxd.js'
import { hasMosquitto, type MosquittoForTest, startMosquitto } from '../support/mosquitto.js'
import { folderBytes } from '../support/server-process.js'
import { type BenchRow, median } from './bench-row.js'
import { clientOf, startPlainSubscriber } from './plain-subscriber.js'
import type { Season } from './season.js'

const CONNECTIONS = 20
const PACKS = 1_500
const IN_FLIGHT = 50
const SENT = CONNECTIONS * PACKS * 3
const RUNS = 3
const PACED = { packs: 100, everyMs: 50 }
const READS = 5

export async function servicesBench(season: () => Season): Promise<BenchRow[] | string> {
  if (!hasMosquitto || !hasInfluxd)
    return 'services: not measured, mosquitto and influxd are not both installed'
  const influxd = await startInfluxd({ settings: await settlingSoon() })
  const mosquitto = await startMosquitto()
  try {
    const services: Services = { influxd, mosquitto }
    return [
      ...(await throughput(services)),
      ...(await latency(services)),
      ...(await seasonReads(services, season())),
      ...(await memory(services)),
    ]
  } finally {
    await influxd.dispose()
    await mosquitto.dispose()
  }
}

/** The shipped settings, but what is in the write-ahead log is moved to its compressed files within seconds. */
async function settlingSoon(): Promise<string> {
  const shipped = await readFile(join(import.meta.dirname, '../../deploy/influxdb/influxdb.conf'), 'utf8')
  return shipped.replace(
    'query-log-enabled = false',
    'query-log-enabled = false\n  cache-snapshot-write-cold-duration = "1s"\n  compact-full-write-cold-duration = "1s"',
  )
}

/** Waits until the size of a folder has not changed for a few seconds. */
async function settledBytes(dir: string): Promise<number> {
  let bytes = await folderBytes(dir)
  for (let stillS = 0; stillS < 5; stillS++) {
    await pause(1_000)
    const now = await folderBytes(dir)
    if (now !== bytes) stillS = 0
    bytes = now
  }
  return bytes
}

interface Services {
  readonly influxd: InfluxdForTest
  readonly mosquitto: MosquittoForTest
}

interface RunningHub {
  readonly ingest: Ingest
  readonly port: number
  close(): Promise<void>
}

/** Ends a persistent session, for which the broker would else go on gathering. */
async function forgetSession(brokerUrl: string, clientId: string): Promise<void> {
  const client = await mqtt.connectAsync(brokerUrl, { clientId, clean: true })
  await client.endAsync()
}

let runs = 0

async function startHub<S extends ReadingStore>(
  open: (dataDir: string) => Promise<S>,
  connect: (
    ingest: Ingest,
    log: pino.Logger,
  ) => Promise<{ broker: NodeBroker; port: number; forget?: () => Promise<void> }>,
  onStored: (values: readonly number[]) => void = () => {},
): Promise<RunningHub & { store: S }> {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-bench-'))
  const store = await open(dataDir)
  const log = pino({ level: 'silent' })
  const ingest = createIngest({
    append: (readings, receivedAtMs) => store.append(readings, receivedAtMs),
    now: () => Date.now(),
    horizonMs: Number.POSITIVE_INFINITY,
    acceptsGarden: () => true,
    onStored: ({ readings }) => onStored(readings.map(({ value }) => value)),
    log,
  })
  const { broker, port, forget } = await connect(ingest, log)
  return {
    ingest,
    store,
    port,
    async close() {
      await ingest.close()
      await broker.close()
      await forget?.()
      await store.close()
      await rm(dataDir, { recursive: true })
    },
  }
}

const embeddedHub = (onStored?: (values: readonly number[]) => void) =>
  startHub(
    (dataDir) => openSqliteStore({ dataDir }),
    async (ingest, log) => {
      const broker = await startEmbeddedBroker({ host: '127.0.0.1', port: 0, ingest, log })
      return { broker, port: broker.port }
    },
    onStored,
  )

const influxOf = (influxd: InfluxdForTest, database: string) => ({
  url: influxd.url,
  user: influxd.user,
  password: influxd.password,
  database,
})

const servicesHub = ({ influxd, mosquitto }: Services, onStored?: (values: readonly number[]) => void) =>
  startHub(
    (dataDir) => openInfluxStore({ dataDir, influx: influxOf(influxd, `hub_${runs}`), keepDays: 0 }),
    async (ingest, log) => {
      const clientId = `bench-${runs++}`
      const broker = connectExternalBroker({
        url: mosquitto.url,
        user: null,
        password: null,
        clientId,
        ingest,
        log,
        maxPacketBytes: 65_536,
      })
      await waitFor(() => broker.isListening())
      return { broker, port: mosquitto.port, forget: () => forgetSession(mosquitto.url, clientId) }
    },
    onStored,
  )

async function script(name: string, ...args: number[]): Promise<string> {
  const path = join(import.meta.dirname, `${name}.ts`)
  const { stdout } = await promisify(execFile)(
    process.execPath,
    ['--import', 'tsx', path, ...args.map(String)],
    { maxBuffer: 64 * 1024 * 1024 },
  )
  return stdout
}
async function waitFor(isSo: () => boolean): Promise<void> {
  while (!isSo()) await pause(2)
}

/** Messages a second from the first publish until `isDone`, start of the sending process not counted. */
async function messagesASecond(port: number, isFirst: () => boolean, isDone: () => boolean): Promise<number> {
  const sending = script('mqtt-load', port, CONNECTIONS, PACKS, IN_FLIGHT)
  await waitFor(isFirst)
  const startedAt = performance.now()
  await waitFor(isDone)
  const tookS = (performance.now() - startedAt) / 1000
  await sending
  return (CONNECTIONS * PACKS) / tookS
}

async function throughput(services: Services): Promise<BenchRow[]> {
  const plain: number[] = []
  const durable: number[] = []
  const arrived: number[] = []
  const embedded: number[] = []
  // turn by turn, so that a slow spell of the machine meets all alike; the first round warms up
  for (let run = 0; run <= RUNS; run++) {
    const subscriber = await startPlainSubscriber(services.mosquitto.url, services.influxd, `plain_${run}`)
    const a = await messagesASecond(
      services.mosquitto.port,
      () => subscriber.written() > 0,
      () => subscriber.written() >= SENT,
    )
    await subscriber.close()
    const hub = await servicesHub(services)
    let durableAt = 0
    const first = { at: 0 }
    const c = await messagesASecond(
      hub.port,
      () => {
        if (hub.ingest.totals().readings === 0) return false
        first.at = performance.now()
        return true
      },
      () => {
        if (durableAt === 0 && hub.ingest.totals().readings >= SENT) durableAt = performance.now()
        return durableAt > 0 && hub.store.forwarding().waiting === 0
      },
    )
    await hub.close()
    const own = await embeddedHub()
    const d = await messagesASecond(
      own.port,
      () => own.ingest.totals().readings > 0,
      () => own.ingest.totals().readings >= SENT,
    )
    await own.close()
    if (run === 0) continue
    plain.push(a)
    durable.push((CONNECTIONS * PACKS) / ((durableAt - first.at) / 1000))
    arrived.push(c)
    embedded.push(d)
  }
  const yardstick = 'messages/s into InfluxDB: Mosquitto, plain subscriber'
  const row = (name: string, values: number[]): BenchRow => ({
    name,
    value: median(values),
    unit: '1/s',
    ratioTo: yardstick,
  })
  return [
    { ...row(yardstick, plain), ratioTo: null },
    row('messages/s into InfluxDB: Mosquitto, hub', arrived),
    row('messages/s on the hub’s disk and acknowledged: Mosquitto, hub', durable),
    row('messages/s on disk and acknowledged: the hub’s own broker and store', embedded),
  ]
}

/** Values come in the order of time; the first fifth warms up. */
function p99(values: readonly number[]): number {
  const sorted = values.slice(values.length / 5).sort((a, b) => a - b)
  return sorted[Math.floor(sorted.length * 0.99)]!
}

async function latency(services: Services): Promise<BenchRow[]> {
  const pace = (port: number) => script('mqtt-latency', port, CONNECTIONS, PACED.packs, PACED.everyMs)
  const acknowledged = (stdout: string): number[] => JSON.parse(stdout) as number[]
  const expected = CONNECTIONS * PACED.packs
  const clock = (into: number[]) => (values: readonly number[]) => {
    const now = performance.timeOrigin + performance.now()
    for (const sentAt of values) into.push(now - sentAt)
  }

  const plainMs: number[] = []
  const subscriber = await startPlainSubscriber(
    services.mosquitto.url,
    services.influxd,
    'plain_pace',
    clock(plainMs),
  )
  await pace(services.mosquitto.port)
  await waitFor(() => plainMs.length >= expected)
  await subscriber.close()

  const hubMs: number[] = []
  const hub = await servicesHub(services, clock(hubMs))
  const brokerMs = acknowledged(await pace(hub.port))
  await waitFor(() => hubMs.length >= expected)
  await hub.close()

  const own = await embeddedHub()
  const ownMs = acknowledged(await pace(own.port))
  await own.close()

  const yardstick = 'p99 publish → in InfluxDB: Mosquitto, plain subscriber'
  const row = (name: string, values: number[]): BenchRow => ({
    name,
    value: p99(values),
    unit: 'ms',
    ratioTo: yardstick,
  })
  return [
    { ...row(yardstick, plainMs), ratioTo: null },
    row('p99 publish → on the hub’s disk, and acknowledged to Mosquitto', hubMs),
    row('p99 publish → PUBACK of Mosquitto (in its memory only)', brokerMs),
    row('p99 publish → PUBACK of the hub’s own broker (on disk)', ownMs),
  ]
}

async function medianMs(read: () => Promise<unknown>): Promise<number> {
  const times: number[] = []
  for (let run = 0; run <= READS; run++) {
    const startedAt = performance.now()
    await read()
    if (run > 0) times.push(performance.now() - startedAt)
  }
  return median(times)
}

async function seasonReads({ influxd }: Services, season: Season): Promise<BenchRow[]> {
  const AIR = { garden: 'home', node: 'bed-a', quantity: 'air-temp' }
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-bench-'))
  const influx: InfluxStore = await openInfluxStore({
    dataDir,
    influx: influxOf(influxd, 'season'),
    keepDays: 0,
  })
  const sqlite = await openSqliteStore({ dataDir })
  try {
    const count = season.airTemp.timeMs.length
    const rows = { ...season.airTemp, delayMs: new Float64Array(count) }
    const sizes = async (): Promise<{ data: number; wal: number }> => {
      await settledBytes(influxd.dir)
      return {
        data: await folderBytes(join(influxd.dir, 'data')),
        wal: await folderBytes(join(influxd.dir, 'wal')),
      }
    }
    const before = await sizes()
    for (const store of [influx, sqlite])
      for (let at = 0; at < count; at += 5_000) await store.appendStored(AIR, sliceRows(rows, at, at + 5_000))
    await influx.settleCopies()
    await influx.tidy(season.endMs)
    await sqlite.settleCopies()
    const after = await sizes()
    const from = season.airTemp.timeMs[0]!
    const hourFrom = Math.floor(from / 3_600_000) * 3_600_000
    const hourTo = Math.ceil(season.endMs / 3_600_000) * 3_600_000
    const hourly = (store: ReadingStore) => () => store.readSteps(AIR, hourFrom, hourTo, 3_600_000)

    const client = clientOf(influxd, 'season')
    const inSeason = `FROM reading WHERE time >= ${hourFrom}ms AND time < ${hourTo}ms`
    const plainRawMs = await medianMs(() => client.query(`SELECT value ${inSeason}`, { precision: 'ms' }))
    const plainHourMs = await medianMs(() =>
      client.query(`SELECT min(value), mean(value), max(value) ${inSeason} GROUP BY time(1h) fill(none)`, {
        precision: 'ms',
      }),
    )
    const firstAt = performance.now()
    await hourly(influx)()
    const firstMs = performance.now() - firstAt
    const rawMs = await medianMs(() => influx.readRange(AIR, from, season.endMs))
    const hourMs = await medianMs(hourly(influx))
    const sqliteRawMs = await medianMs(() => sqlite.readRange(AIR, from, season.endMs))
    const sqliteHourMs = await medianMs(hourly(sqlite))
    const sqliteBytes = (await stat(join(dataDir, 'readings.sqlite'))).size

    const raw = 'a season of minutes out of InfluxDB: the client’s rows'
    const hours = 'a season of hours out of InfluxDB: its own GROUP BY'
    const bytes = 'bytes a reading: SQLite'
    return [
      { name: raw, value: plainRawMs, unit: 'ms', ratioTo: null },
      { name: '… by the hub, columns with quality flags', value: rawMs, unit: 'ms', ratioTo: raw },
      { name: '… the hub’s SQLite store, the same columns', value: sqliteRawMs, unit: 'ms', ratioTo: raw },
      { name: hours, value: plainHourMs, unit: 'ms', ratioTo: null },
      {
        name: '… by the hub, weighted, flags left out; first time',
        value: firstMs,
        unit: 'ms',
        ratioTo: hours,
      },
      { name: '… the same again, from kept hours', value: hourMs, unit: 'ms', ratioTo: hours },
      { name: '… the hub’s SQLite store, from roll-ups', value: sqliteHourMs, unit: 'ms', ratioTo: hours },
      { name: bytes, value: sqliteBytes / count, unit: 'B', ratioTo: null },
      {
        name: 'bytes a reading: InfluxDB, its data files',
        value: (after.data - before.data) / count,
        unit: 'B',
        ratioTo: bytes,
      },
      {
        name: 'bytes a reading: InfluxDB, still in its write-ahead log a few seconds later',
        value: (after.wal - before.wal) / count,
        unit: 'B',
        ratioTo: bytes,
      },
    ]
  } finally {
    await influx.close()
    await sqlite.close()
    await rm(dataDir, { recursive: true })
  }
}

async function memory({ influxd, mosquitto }: Services): Promise<BenchRow[]> {
  const residentMiB = async (pid: number): Promise<number> => {
    const kib = /^VmRSS:\s+(\d+) kB/m.exec(await readFile(`/proc/${pid}/status`, 'utf8'))?.[1]
    if (kib === undefined) throw new Error(`no resident memory of process ${pid}`)
    return Number(kib) / 1024
  }
  return [
    {
      name: 'resident memory after all this: InfluxDB',
      value: await residentMiB(influxd.pid),
      unit: 'MiB',
      ratioTo: null,
    },
    {
      name: 'resident memory after all this: Mosquitto',
      value: await residentMiB(mosquitto.pid),
      unit: 'MiB',
      ratioTo: null,
    },
  ]
}
