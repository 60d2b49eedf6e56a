/**
 * Replaying a tidy CSV: its readings go out over MQTT with their original times, as if a node had sent them.
 * Doing it again doubles nothing (readings are keyed by node, quantity and time), so an interrupted replay is
 * simply started anew.
 */
import { setTimeout as delay } from 'node:timers/promises'
import { topicsUnder } from '../ingest/topics.js'
import { openTidyCsv, quantityOf, TidyCsvError, type TidyRow } from '../keep/tidy-csv.js'
import { readingsIn } from '../keep/tidy-readings.js'
import { PackSender, type ReplayProgress } from './pack-sender.js'
import { connectPublisher, PublishError, type PublisherLimits } from './publisher.js'
import { EARLIEST_SENML_MS, type PackReading } from './senml-pack.js'

export interface ReplayTarget {
  readonly host: string
  readonly port: number
  readonly login?: { readonly username: string; readonly password: string }
  readonly isTls?: boolean
  /** topic prefix of the hub, '' for none */
  readonly prefix: string
  readonly garden: string
  readonly node: string
}

/** What a file holds that can be replayed. */
export interface Survey {
  readonly rows: number
  readonly readings: number
  readonly byQuantity: Readonly<Record<string, number>>
  readonly firstMs: number
  readonly lastMs: number
}

export interface ReplayOutcome {
  readonly sentReadings: number
  readonly acknowledgedReadings: number
  readonly packs: number
  readonly acknowledgedPacks: number
  readonly reconnects: number
  /** true: stopped by the signal before the file was through */
  readonly wasStopped: boolean
  /** the connection was given up on the way; what was acknowledged until then is safe */
  readonly failure: PublishError | null
  readonly tookMs: number
}

const MAX_ROWS_PER_PACK = 500
const MAX_RECORDS_PER_PACK = 1_500
/** in timed replay, rows that fall due this close together share a pack */
const TICK_MS = 200
/**
 * Reads the whole file once: counts, and finds what is wrong with it before anything is sent.
 *
 * @param visit  gets every reading
 * @throws TidyCsvError  the file cannot be replayed; says which line and what to do
 */
export async function surveyTidyCsv(
  path: string,
  visit: (reading: PackReading) => void = () => {},
): Promise<Survey> {
  const file = await openTidyCsv(path)
  const readingsOf = readingsIn(path, file)
  const byQuantity: Record<string, number> = {}
  let rows = 0
  let readings = 0
  let firstMs = Number.POSITIVE_INFINITY
  let lastMs = Number.NEGATIVE_INFINITY
  for await (const row of file.rows) {
    rows++
    for (const reading of readingsOf(row)) {
      if (reading.timeMs < EARLIEST_SENML_MS) {
        throw new TidyCsvError(
          `${path}: ${new Date(reading.timeMs).toISOString()} is before July 1978, which the wire format (SenML) cannot say`,
        )
      }
      firstMs = Math.min(firstMs, reading.timeMs)
      lastMs = Math.max(lastMs, reading.timeMs)
      byQuantity[reading.quantity] = (byQuantity[reading.quantity] ?? 0) + 1
      visit(reading)
      readings++
    }
  }
  if (readings === 0) {
    const known = file.columns.filter((name) => quantityOf(name) !== undefined)
    throw new TidyCsvError(`${path}: no readings in its columns ${known.join(', ')}`)
  }
  return { rows, readings, byQuantity, firstMs, lastMs }
}

/**
 * Publishes a file's readings and waits for every acknowledgement.
 *
 * @param speed  'max', or how many times faster than they were measured (1: as measured)
 * @param signal stops it: nothing more is sent, what is under way is still waited for
 * @throws TidyCsvError  the file cannot be read (any more)
 * @throws PublishError  the hub cannot be reached at all; a connection lost later is the outcome's `failure`
 */
export async function replayFile(
  path: string,
  target: ReplayTarget,
  speed: number | 'max',
  options: {
    readonly signal?: AbortSignal
    readonly onProgress?: (progress: ReplayProgress) => void
    readonly limits?: Partial<PublisherLimits>
  } = {},
): Promise<ReplayOutcome> {
  const startedAtMs = Date.now()
  const file = await openTidyCsv(path)
  const readingsOf = readingsIn(path, file)
  const clientId = `replay-${target.node}-${Math.random().toString(36).slice(2, 10)}`
  const publisher = await connectPublisher({ ...target, clientId }, options.limits)
  const sender = new PackSender(
    publisher,
    topicsUnder(target.prefix).readings(target.garden, target.node),
    options,
  )
  let failure: PublishError | null = null
  try {
    const packs =
      speed === 'max'
        ? fullPacks(file.rows, readingsOf)
        : timedPacks(file.rows, readingsOf, speed, options.signal)
    for await (const pack of packs) {
      if (!(await sender.send(pack))) break
    }
    await sender.settled()
  } catch (error) {
    if (!(error instanceof PublishError)) throw error
    failure = error
  } finally {
    await publisher.close()
  }
  return {
    ...sender.counts,
    reconnects: publisher.reconnects,
    wasStopped: options.signal?.aborted === true,
    failure,
    tookMs: Date.now() - startedAtMs,
  }
}

type ReadingsOf = (row: TidyRow) => PackReading[]

async function* fullPacks(
  rows: AsyncIterable<TidyRow>,
  readingsOf: ReadingsOf,
): AsyncGenerator<PackReading[]> {
  let pack: PackReading[] = []
  let rowsInPack = 0
  for await (const row of rows) {
    pack.push(...readingsOf(row))
    rowsInPack++
    if (rowsInPack < MAX_ROWS_PER_PACK && pack.length < MAX_RECORDS_PER_PACK) continue
    if (pack.length > 0) yield pack
    pack = []
    rowsInPack = 0
  }
  if (pack.length > 0) yield pack
}

/** Rows when they are due, `speed` times faster than measured; never faster than asked, even after a stall. */
async function* timedPacks(
  rows: AsyncIterable<TidyRow>,
  readingsOf: ReadingsOf,
  speed: number,
  signal: AbortSignal | undefined,
): AsyncGenerator<PackReading[]> {
  let start: { wallMs: number; fileMs: number } | null = null
  let pack: PackReading[] = []
  for await (const row of rows) {
    start ??= { wallMs: Date.now(), fileMs: row.timeMs }
    const waitMs = start.wallMs + (row.timeMs - start.fileMs) / speed - Date.now()
    if (waitMs > TICK_MS) {
      if (pack.length > 0) yield pack
      pack = []
      if (!(await pause(waitMs, signal))) return
    } else if (pack.length >= MAX_RECORDS_PER_PACK) {
      yield pack
      pack = []
    }
    pack.push(...readingsOf(row))
  }
  if (pack.length > 0) yield pack
}

/** Longest wait a timer can hold is 24.8 days; a gap in the file may be longer. @returns false when stopped */
async function pause(waitMs: number, signal: AbortSignal | undefined): Promise<boolean> {
  const untilMs = Date.now() + waitMs
  while (!signal?.aborted && Date.now() < untilMs) {
    const stepMs = Math.min(untilMs - Date.now(), 86_400_000)
    try {
      await delay(stepMs, undefined, signal && { signal })
    } catch (error) {
      if (!signal?.aborted) throw error
    }
  }
  return !signal?.aborted
}
