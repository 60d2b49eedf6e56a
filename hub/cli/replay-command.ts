/** `hearting replay FILE --node N`: the command around replay.ts, its progress bar and its report. */
import { SingleBar } from 'cli-progress'
import { Command, InvalidArgumentError } from 'commander'
import { isId } from '../../shared/ids.js'
import { loadConfig } from '../config.js'
import { TOKEN_USER } from '../doors/mqtt-logins.js'
import { topicsUnder } from '../ingest/topics.js'
import { COLUMN_QUANTITY, TidyCsvError } from '../keep/tidy-csv.js'
import { between, HubViewError, viewHub } from './hub-view.js'
import type { ReplayProgress } from './pack-sender.js'
import { PublishError } from './publisher.js'
import { type ReplayOutcome, replayFile, type Survey, surveyTidyCsv } from './replay.js'
import { FlagSurvey } from './replay-flags.js'
import {
  type Counted,
  describeReport,
  EXIT,
  exitCode,
  jsonReport,
  type ReplayReport,
} from './replay-report.js'

const DAY_MS = 86_400_000

interface ReplayOptions {
  readonly node: string
  readonly garden: string
  readonly speed: number | 'max'
  readonly host: string
  readonly port: number
  readonly prefix: string
  readonly tls: boolean
  readonly http?: string
  readonly json: boolean
}

const id = (text: string): string => {
  if (isId(text)) return text
  throw new InvalidArgumentError(
    'Use 1 to 63 small letters, digits or hyphens, starting with a letter or digit.',
  )
}

const speed = (text: string): number | 'max' => {
  const value = Number(text)
  if (text === 'max') return 'max'
  if (text.trim() !== '' && Number.isFinite(value) && value > 0) return value
  throw new InvalidArgumentError('Use "max", or how many times faster than measured, e.g. 60.')
}

const port = (text: string): number => {
  const value = Number(text)
  if (/^\d{1,5}$/.test(text) && value >= 1 && value <= 65_535) return value
  throw new InvalidArgumentError('Use a port number from 1 to 65535.')
}

const prefix = (text: string): string => {
  try {
    topicsUnder(text)
    return text
  } catch (error) {
    if (error instanceof RangeError) throw new InvalidArgumentError(error.message)
    throw error
  }
}

/** The `replay` command, to be added to the program; sets process.exitCode. */
export function replayCommand(): Command {
  return new Command('replay')
    .summary('publish a CSV of readings as if a node had sent them')
    .description(
      'Publishes a CSV file of readings over MQTT as if a node had sent them, with their original times, and ' +
        'waits until the hub has stored them. Doing it again doubles nothing, so an interrupted replay is simply ' +
        'started again.\n\n' +
        'The file: lines starting with # are comments, then a header with a column "time" (ISO 8601 with offset; ' +
        `or "time_utc") and any of ${Object.keys(COLUMN_QUANTITY).join(', ')}. Empty cells are missing readings. ` +
        'A name ending in .gz is unpacked.\n\n' +
        'A hub that is not a demo wants an API token of the scope `write` (hearting token add), in HEARTING_TOKEN, ' +
        'or the password of the node itself, in HEARTING_NODE_PASSWORD.\n\n' +
        'Exit codes: 0 all stored, 1 it failed, 2 the hub refused some, 130 stopped by Ctrl-C.',
    )
    .argument('<file>', 'the CSV file')
    .requiredOption('--node <id>', 'the node that "sends" the readings', id)
    .option('--garden <id>', 'the garden it stands in', id, 'home')
    .option('--speed <x>', '"max", or x times faster than measured (1: as measured)', speed, 'max')
    .option('--host <name>', 'where the hub takes readings', '127.0.0.1')
    .option('--port <n>', 'its MQTT port', port, 1883)
    .option('--tls', 'speak TLS (trust an authority of your own with NODE_EXTRA_CA_CERTS)', false)
    .option('--prefix <topic>', 'topic prefix, where the hub has one', prefix, '')
    .option('--http <url>', 'the hub’s page, asked what it took and refused (default: port 8080 of the host)')
    .option('--json', 'print the report as JSON, without a progress bar', false)
    .action(async (file: string, options: ReplayOptions) => {
      process.exitCode = await runReplay(file, options)
    })
}

async function runReplay(path: string, options: ReplayOptions): Promise<number> {
  const stop = new AbortController()
  const onInterrupt = (): void => {
    // a second Ctrl-C ends the process the usual way
    process.off('SIGINT', onInterrupt)
    stop.abort()
  }
  process.on('SIGINT', onInterrupt)
  try {
    const report = await replayAndAsk(path, options, stop.signal)
    if (options.json) console.log(JSON.stringify(jsonReport(report), null, 2))
    else console.log(describeReport(report))
    return exitCode(report)
  } catch (error) {
    if (!(error instanceof TidyCsvError || error instanceof PublishError)) throw error
    console.error(error.message)
    return EXIT.failed
  } finally {
    process.off('SIGINT', onInterrupt)
  }
}

async function replayAndAsk(
  path: string,
  options: ReplayOptions,
  signal: AbortSignal,
): Promise<ReplayReport> {
  const { garden, node, host, port: mqttPort, prefix } = options
  const { horizonDays } = loadConfig(process.env)
  const flagSurvey = new FlagSurvey()
  const survey = await surveyTidyCsv(path, (reading) => flagSurvey.add(reading))
  const httpUrl = options.http ?? `http://${host.includes(':') ? `[${host}]` : host}:8080`

  // in the environment: the arguments of a program are seen by everybody on its machine
  const token = process.env.HEARTING_TOKEN ?? null
  const login = loginOf(token, garden, node)

  const before = await askHub(httpUrl, garden, node, token)
  const progress = progressBar(survey, !options.json && process.stderr.isTTY === true)
  let outcome: ReplayOutcome
  try {
    const target = {
      ...{ host, port: mqttPort, prefix, garden, node, isTls: options.tls },
      ...(login === null ? {} : { login }),
    }
    outcome = await replayFile(path, target, options.speed, { signal, onProgress: progress.show })
  } finally {
    progress.stop()
  }
  const after = 'unknown' in before ? before : await askHub(httpUrl, garden, node, token)
  const counted = 'unknown' in before || 'unknown' in after ? after : between(before, after)
  const flags = flagSurvey.count(Date.now(), horizonDays * DAY_MS)
  return { file: path, garden, node, survey, outcome, flags, horizonDays, counted }
}

/** As a script, or else as the node itself; null: the hub lets everybody in. */
function loginOf(
  token: string | null,
  garden: string,
  node: string,
): { readonly username: string; readonly password: string } | null {
  if (token !== null) return { username: TOKEN_USER, password: token }
  const password = process.env.HEARTING_NODE_PASSWORD
  return password === undefined ? null : { username: `${garden}/${node}`, password }
}

async function askHub(httpUrl: string, garden: string, node: string, token: string | null): Promise<Counted> {
  try {
    return await viewHub(httpUrl, garden, node, token)
  } catch (error) {
    if (!(error instanceof HubViewError)) throw error
    return { unknown: error.message }
  }
}

function progressBar(
  survey: Survey,
  isShown: boolean,
): { show(progress: ReplayProgress): void; stop(): void } {
  if (!isShown) return { show() {}, stop() {} }
  const bar = new SingleBar({
    format: ' {bar} {percentage} %  {value} of {total} readings stored  up to {day}  {state}',
    barCompleteChar: '█',
    barIncompleteChar: '░',
    barsize: 30,
    hideCursor: true,
    stream: process.stderr,
    stopOnComplete: false,
    linewrap: true,
  })
  bar.start(survey.readings, 0, { day: dayOf(survey.firstMs), state: '' })
  return {
    show({ acknowledgedReadings, atMs, isConnected }) {
      bar.update(acknowledgedReadings, { day: dayOf(atMs), state: isConnected ? '' : '(connecting again)' })
    },
    stop: () => bar.stop(),
  }
}

const dayOf = (timeMs: number): string => new Date(timeMs).toISOString().slice(0, 10)
