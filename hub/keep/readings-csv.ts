/** readings.csv: every reading exactly as the store keeps it. */
import { CsvError } from 'csv-parse'
import { isId } from '../../shared/ids.js'
import { FLAG, type FlagName, flagNames } from '../../shared/quality-flags.js'
import { QUANTITIES } from '../../shared/quantities.js'
import type { SeriesKey, SeriesSummary } from '../store/port.js'
import { type CopyableStore, emptyRows, type StoredRows, sliceRows } from '../store/stored-rows.js'
import { csvRecords } from './csv-records.js'
import { csvLine, numberText } from './csv-text.js'
import { isNotUtf8 } from './text-lines.js'

export const READING_COLUMNS = ['garden', 'node', 'quantity', 'time', 'value', 'unit', 'flags', 'received']

const WINDOW_MS = 30 * 86_400_000
const ROWS_A_PIECE = 2_000
const ROWS_A_BATCH = 5_000
/** a line has eight short cells */
const LONGEST_RECORD = 2_000

export interface Span {
  readonly fromMs: number
  readonly toMs: number
}

type ReadableStore = Pick<CopyableStore, 'listSeries' | 'readStored'>

/**
 * The file in pieces of some thousand lines, by node, quantity and time. A piece is made when the one before has been taken: a
 * slow reader costs no memory.
 *
 * @param spansOf  which readings of a node are asked for; ascending
 */
export async function* writeReadingsCsv(
  store: ReadableStore,
  garden: string,
  spansOf: (node: string) => readonly Span[] = () => [{ fromMs: -Infinity, toMs: Infinity }],
): AsyncGenerator<string, void> {
  yield csvLine(READING_COLUMNS)
  for (const series of await store.listSeries(garden)) {
    const unit = unitOf(series.quantity)
    for await (const rows of storedWindows(store, series, spansOf(series.node))) {
      for (let at = 0; at < rows.timeMs.length; at += ROWS_A_PIECE) {
        yield linesOf(series, unit, sliceRows(rows, at, at + ROWS_A_PIECE))
      }
    }
  }
}

/** as senders of readings write it; '' for a quantity that hearting knows nothing of */
const unitOf = (quantity: string): string => QUANTITIES.get(quantity)?.unit ?? ''

async function* storedWindows(
  store: ReadableStore,
  series: SeriesSummary,
  spans: readonly Span[],
): AsyncGenerator<StoredRows, void> {
  for (const span of spans) {
    const endMs = Math.min(span.toMs, series.lastMs + 1)
    for (let fromMs = Math.max(span.fromMs, series.firstMs); fromMs < endMs; fromMs += WINDOW_MS) {
      const rows = await store.readStored(series, fromMs, Math.min(fromMs + WINDOW_MS, endMs))
      if (rows.timeMs.length > 0) yield rows
    }
  }
}

function linesOf({ garden, node, quantity }: SeriesKey, unit: string, rows: StoredRows): string {
  let text = ''
  for (const [i, timeMs] of rows.timeMs.entries()) {
    text += csvLine([
      garden,
      node,
      quantity,
      new Date(timeMs).toISOString(),
      numberText(rows.value[i] ?? 0),
      unit,
      flagNames(rows.flags[i] ?? 0).join(' '),
      new Date(timeMs + (rows.delayMs[i] ?? 0)).toISOString(),
    ])
  }
  return text
}

/** Readings of one series that lie one after the other in the file. */
export interface SeriesRows {
  readonly series: SeriesKey
  readonly rows: StoredRows
}

interface OneReading extends SeriesKey {
  readonly timeMs: number
  readonly value: number
  readonly flags: number
  readonly delayMs: number
}

/**
 * Reads the file; at most some thousand readings at a time.
 *
 * @param onProblem  told each line at fault, which is left out
 */
export async function* readReadingsCsv(
  text: AsyncIterable<string>,
  garden: string,
  onProblem: (problem: string) => void,
): AsyncGenerator<SeriesRows, void> {
  const records = csvRecords(text, { recordDelimiter: ['\r\n', '\n'], maxRecordSize: LONGEST_RECORD })
  let batch: OneReading[] = []
  let isHeader = true
  try {
    for await (const { record, info } of records) {
      if (isHeader) {
        if (record.join() !== READING_COLUMNS.join()) {
          onProblem(`readings.csv: the header must be ${READING_COLUMNS.join(',')}`)
          return
        }
        isHeader = false
        continue
      }
      const reading = readingIn(record, garden)
      if (typeof reading === 'string') {
        onProblem(`readings.csv, line ${info.lines}: ${reading}`)
        continue
      }
      const [first] = batch
      if (
        first &&
        (batch.length >= ROWS_A_BATCH || first.node !== reading.node || first.quantity !== reading.quantity)
      ) {
        yield rowsOf(first, batch)
        batch = []
      }
      batch.push(reading)
    }
  } catch (error) {
    onProblem(`readings.csv: ${unreadable(error)}`)
    return
  }
  if (isHeader) onProblem('readings.csv is empty: it has not even a header')
  const [first] = batch
  if (first) yield rowsOf(first, batch)
}

/** @throws what is not the file's fault */
function unreadable(error: unknown): string {
  if (isNotUtf8(error)) return 'not UTF-8 text'
  if (!(error instanceof CsvError)) throw error
  return error.code === 'CSV_MAX_RECORD_SIZE'
    ? `line ${error.lines} is longer than ${LONGEST_RECORD} characters`
    : error.message
}

const NUMBER = /^-?\d+(\.\d+)?(e[+-]?\d+)?$/
const TIME = /^([+-]\d{2})?\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3}Z$/
const isFlag = (name: string): name is FlagName => Object.hasOwn(FLAG, name)

/** @returns what is wrong, in words, or the reading */
function readingIn(cells: readonly string[], garden: string): OneReading | string {
  if (cells.length !== READING_COLUMNS.length)
    return `${cells.length} cells instead of ${READING_COLUMNS.length}`
  const [of = '', node = '', quantity = '', time = '', number = '', unit = '', flagText = '', received = ''] =
    cells
  if (of !== garden) return `of the garden "${of.slice(0, 80)}", not "${garden}"`
  if (!isId(node)) return `"${node.slice(0, 80)}" is no node's id`
  if (!isId(quantity)) return `"${quantity.slice(0, 80)}" is no quantity`
  const timeMs = TIME.test(time) ? Date.parse(time) : Number.NaN
  if (!Number.isFinite(timeMs)) return `"${time.slice(0, 80)}" is no time as 2027-05-06T12:10:00.000Z`
  const receivedMs = TIME.test(received) ? Date.parse(received) : Number.NaN
  if (!Number.isFinite(receivedMs)) return `"${received.slice(0, 80)}" is no time of arrival`
  const value = NUMBER.test(number) ? Number(number) : Number.NaN
  if (!Number.isFinite(value)) return `"${number.slice(0, 80)}" is not a number`
  if (unit !== unitOf(quantity))
    return `${quantity} is in ${unitOf(quantity) || 'no unit'}, not "${unit.slice(0, 20)}"`
  const names = flagText === '' ? [] : flagText.split(' ')
  const unknown = names.find((name) => !isFlag(name))
  if (unknown !== undefined) return `"${unknown.slice(0, 80)}" is no flag`
  const flags = names.reduce((set, name) => (isFlag(name) ? set | FLAG[name] : set), 0)
  return { garden, node, quantity, timeMs, value, flags, delayMs: receivedMs - timeMs }
}

function rowsOf({ garden, node, quantity }: SeriesKey, readings: readonly OneReading[]): SeriesRows {
  const rows = emptyRows(readings.length)
  for (const [i, { timeMs, value, flags, delayMs }] of readings.entries()) {
    rows.timeMs[i] = timeMs
    rows.value[i] = value
    rows.flags[i] = flags
    rows.delayMs[i] = delayMs
  }
  return { series: { garden, node, quantity }, rows }
}
