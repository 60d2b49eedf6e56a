/** `hearting import`: an export taken in again, or measured history out of a tidy CSV. */
import { stat } from 'node:fs/promises'
import { Command } from 'commander'
import { loadConfig } from '../config.js'
import { KeepError } from '../keep/port.js'
import { COLUMN_QUANTITY } from '../keep/tidy-csv.js'
import { givenId } from './given-id.js'
import { importTidyFile, type TidyImport } from './import-tidy.js'
import { openOwnParts } from './own-parts.js'
import { isTerminal, progressLine } from './progress-line.js'
import { runningHub } from './running-hub.js'
import { type TakenExport, takeExport } from './take-export.js'

interface ImportOptions {
  readonly node?: string
  readonly garden: string
  readonly skipFaulty: boolean
  readonly readingsOnly: boolean
  readonly config?: string
  readonly http?: string
  readonly json: boolean
}

const count = (n: number): string => n.toLocaleString('en-GB')

export function importCommand(): Command {
  return new Command('import')
    .summary('take in an export, or measured history')
    .description(
      'A folder: an export of `hearting export`. All of it is checked first; then the garden comes in whole or not at\n' +
        'all, then its readings. A hub that has another garden of that id is left as it is. The hub must be stopped.\n\n' +
        'A CSV file: measured history as the readings of one node (--node). Lines starting with # are comments, then a\n' +
        `header with a column "time" (ISO 8601 with offset; or "time_utc") and any of ${Object.keys(COLUMN_QUANTITY).join(', ')}.\n` +
        'Rows that bear the time of the end or the start of what they cover (# stamp: end, # step_seconds: N) are moved\n' +
        'to its middle. A name ending in .gz is unpacked. Where a hub runs, it is sent there, with an API token of the\n' +
        'scope `write` in HEARTING_TOKEN.\n\n' +
        'Done again, either doubles nothing: one that was broken off is simply started again.\n\n' +
        'Exit codes: 0 all taken in, 1 nothing was, 2 lines were left out (--skip-faulty).',
    )
    .argument('<folder or file>', 'an export, or a CSV file')
    .option('--node <id>', 'CSV: the node that measured it', givenId)
    .option('--garden <id>', 'CSV: the garden it stood in', givenId, 'home')
    .option('--skip-faulty', 'CSV: leave out lines that cannot be used, and take the others', false)
    .option('--readings-only', 'export: only add its readings to a garden that is there', false)
    .option('--config <file>', 'settings file of the hub (hearting.config.json where it is there)')
    .option('--http <url>', 'address of the running hub’s page, where it is not the usual one')
    .option('--json', 'print the outcome as JSON', false)
    .action(async (path: string, options: ImportOptions, command: Command) => {
      const isFolder = await isFolderAt(path)
      if (!isFolder && options.node === undefined) {
        command.error('error: say with --node which node measured it')
      }
      const outcome = isFolder ? await takeFolder(path, options) : await takeCsv(path, options)
      console.log(options.json ? JSON.stringify(outcome) : describe(path, outcome))
      if ('faultyLines' in outcome && outcome.faultyLines > 0) process.exitCode = 2
    })
}

async function isFolderAt(path: string): Promise<boolean> {
  try {
    return (await stat(path)).isDirectory()
  } catch (cause) {
    throw new KeepError(`${path}: no such file or folder.`, [], { cause })
  }
}

async function takeFolder(dir: string, options: ImportOptions): Promise<TakenExport> {
  const parts = await openOwnParts(loadConfig(process.env, options.config))
  if (!parts) throw new KeepError('A hub runs on this data folder: stop it first, then import again.')
  const progress = progressLine(!options.json && isTerminal())
  try {
    return await takeExport(dir, parts, options.readingsOnly, progress)
  } finally {
    progress.stop()
    await parts.close()
  }
}

async function takeCsv(path: string, options: ImportOptions): Promise<TidyImport> {
  const config = loadConfig(process.env, options.config)
  const { garden, node = '', skipFaulty } = options
  const progress = progressLine(!options.json && isTerminal())
  const parts = await openOwnParts(config)
  const hub = runningHub(config, options.http)
  try {
    return await importTidyFile(path, { skipFaulty, progress }, async (csv) => {
      if (!parts) return hub.send(garden, node, csv)
      if ((await parts.garden.getGarden(garden)) === null) {
        throw new KeepError(`There is no garden "${garden}" yet: set it up on the hub’s page first.`)
      }
      return parts.keep.takeTidy(garden, node, oneChunk(csv))
    })
  } finally {
    progress.stop()
    await parts?.close()
  }
}

async function* oneChunk(text: string): AsyncGenerator<Uint8Array, void> {
  yield Buffer.from(text, 'utf8')
}

function describe(path: string, outcome: TakenExport | TidyImport): string {
  const readings = `${count(outcome.stored)} readings new to the hub, ${count(outcome.repeated)} there already`
  if ('isNewGarden' in outcome) {
    const garden = `garden ${outcome.garden} (${outcome.name})`
    return outcome.isNewGarden
      ? `${path}: ${garden} taken in; ${readings}. Day records are computed when they are asked for.`
      : `${path}: ${garden} was there and is as it was; ${readings}.`
  }
  const lines = [`${path}: ${readings}; ${outcome.from ?? 'nothing'} to ${outcome.to ?? 'nothing'}.`]
  if (outcome.doubted > 0) {
    lines.push(
      `${count(outcome.doubted)} are kept but left out of figures: outside what can be, or from the future.`,
    )
  }
  if (outcome.faultyLines > 0) {
    lines.push(`${count(outcome.faultyLines)} lines were left out:`)
    for (const { line, message } of outcome.faults) lines.push(`  line ${line}: ${message}`)
  }
  return lines.join('\n')
}
