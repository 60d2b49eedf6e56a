/** `hearting demo`: the whole hub on an invented garden, with nodes that really publish to it. Loopback only. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { SingleBar } from 'cli-progress'
import { Command, InvalidArgumentError } from 'commander'
import type pino from 'pino'
import { Config } from '../config.js'
import { findCrop } from '../core/crops/library.js'
import { type Hub, startHub } from '../main.js'
import { DemoFolderError, openDemoState, saveDemoState } from './demo/demo-state.js'
import { GardenWeather } from './demo/garden-weather.js'
import { historyUntil } from './demo/history.js'
import { HubApi } from './demo/hub-api.js'
import { LiveNode } from './demo/live-node.js'
import { LiveWeather } from './demo/live-weather.js'
import { demoPlantings } from './demo/plantings.js'
import { type Scenario, scenarioFor } from './demo/scenario.js'
import { newestReadings, setUpGarden } from './demo/set-up.js'
import { hubLog } from './hub-log.js'
import { PublishError } from './publisher.js'

const GARDEN = 'home'
const LOOPBACK = '127.0.0.1'
const PUBLISH_EVERY_MS = 5_000
/** any number would do; this one has a pleasant mixture of weather in its four months */
const SEED = 7

export interface DemoOptions {
  readonly httpPort: number
  readonly mqttPort: number
  /** kept for the next time; null: a temporary folder that goes when the demo ends */
  readonly dataDir: string | null
  readonly log: pino.Logger
  readonly say: (line: string) => void
  readonly showBar: boolean
  /** UTC ms; another time than now only in tests */
  readonly now?: () => number
}

export interface Demo {
  readonly hub: Hub
  readonly scenario: Scenario
  close(): Promise<void>
}

/** The `demo` command, to be added to the program; sets process.exitCode. */
export function demoCommand(): Command {
  return new Command('demo')
    .summary('show the whole hub on an invented garden')
    .description(
      'Starts the whole hub on an invented garden: three beds, about four months of made-up weather up to now, and ' +
        'nodes that publish to it over MQTT every few seconds. Nothing in it was measured. Only this machine can ' +
        'reach it.',
    )
    .option('--http-port <n>', 'port of the page (0: any free one)', port, 8080)
    .option('--mqtt-port <n>', 'port of the broker (0: any free one)', port, 1883)
    .option('--data-dir <folder>', 'keep the demo’s data there and go on with it the next time')
    .action(async (options: { httpPort: number; mqttPort: number; dataDir?: string }) => {
      process.exitCode = await runDemo(options)
    })
}

const port = (text: string): number => {
  const value = Number(text)
  if (/^\d{1,5}$/.test(text) && value <= 65_535) return value
  throw new InvalidArgumentError('Use a port number from 0 to 65535.')
}

async function runDemo(options: { httpPort: number; mqttPort: number; dataDir?: string }): Promise<number> {
  const stopped = untilToldToStop()
  const say = (line: string): void => console.log(line)
  let demo: Demo
  try {
    demo = await startDemo({
      ...options,
      dataDir: options.dataDir ?? null,
      log: hubLog('warn'),
      say,
      showBar: process.stderr.isTTY === true,
    })
  } catch (error) {
    if (!isExpected(error)) throw error
    console.error(explain(error, options))
    return 1
  }
  say(welcome(demo, options.dataDir))
  const failure = await Promise.race([stopped, demo.hub.failed])
  if (failure) console.error(`The hub failed: ${failure.message}`)
  else say('Stopping.')
  await demo.close()
  return failure ? 1 : 0
}

type Expected = DemoFolderError | PublishError | (Error & { code: 'EADDRINUSE' | 'EACCES'; port?: number })

const isExpected = (error: unknown): error is Expected =>
  error instanceof DemoFolderError ||
  error instanceof PublishError ||
  (error instanceof Error && 'code' in error && (error.code === 'EADDRINUSE' || error.code === 'EACCES'))

function explain(error: Expected, options: { httpPort: number; mqttPort: number }): string {
  if (error instanceof DemoFolderError || error instanceof PublishError) return error.message
  if (error.code === 'EACCES')
    return `${error.message}. Ports below 1024 need special rights; folders need write permission.`
  const isBroker = error.port === options.mqttPort
  const option = isBroker ? '--mqtt-port' : '--http-port'
  const free = (isBroker ? options.mqttPort : options.httpPort) + 1
  return (
    `Port ${error.port ?? ''} is taken: another hub, or another program, listens there. Stop it, or give the demo another ` +
    `port: npm run demo -- ${option} ${free} (or 0 for any free one).`
  )
}

/**
 * Starts hub, garden, history and nodes; resolves when the history is stored and the nodes publish.
 *
 * @throws DemoFolderError  the folder cannot be used
 * @throws Error            a port is taken (code EADDRINUSE), as startHub says it
 */
export async function startDemo(options: DemoOptions): Promise<Demo> {
  const now = options.now ?? Date.now
  const dataDir =
    options.dataDir === null ? await mkdtemp(join(tmpdir(), 'hearting-demo-')) : resolve(options.dataDir)
  const ends: (() => Promise<unknown>)[] = []
  const close = async (): Promise<void> => {
    for (const end of ends.splice(0).reverse()) await end()
  }
  if (options.dataDir === null) ends.push(() => rm(dataDir, { recursive: true, force: true }))
  try {
    const state = await openDemoState(dataDir, now(), SEED)
    const { httpPort, mqttPort } = options
    const config = Config.parse({ dataDir, httpHost: LOOPBACK, mqttHost: LOOPBACK, httpPort, mqttPort })
    const hub = await startHub(config, { log: options.log, now })
    ends.push(() => hub.close())

    const scenario = scenarioFor(state.startedAtMs, state.seed)
    options.say(introduce(scenario))
    const api = new HubApi(hub.httpUrl, GARDEN)
    const weather = new GardenWeather(scenario)
    const alreadyThereMs = state.isComplete ? await newestReadings(api, scenario) : new Map<string, number>()
    const history = historyUntil(scenario, weather, now(), alreadyThereMs)
    const broker = { host: LOOPBACK, port: hub.mqttPort, prefix: config.mqttTopicPrefix }
    const nodes = await Promise.all(
      scenario.beds.map((bed) => LiveNode.connect(broker, GARDEN, bed, scenario)),
    )
    ends.push(() => Promise.all(nodes.map((node) => node.close())))
    await handInHistory(nodes, history.beds, options)
    if (!state.isComplete) {
      // after the readings, so that the hub's first look at the garden sees all of them
      await setUpGarden(api, scenario, demoPlantings(scenario, history.beds, findCrop))
      await saveDemoState(dataDir, { ...state, isComplete: true })
    }

    const live = new LiveWeather(weather, history.last)
    ends.push(keepPublishing(nodes, live, now, options.log))
    return { hub, scenario, close }
  } catch (error) {
    await close()
    throw error
  }
}

async function handInHistory(
  nodes: readonly LiveNode[],
  history: ReturnType<typeof historyUntil>['beds'],
  { say, showBar }: DemoOptions,
): Promise<void> {
  const total = history.flatMap(({ packs }) => packs).reduce((sum, { readings }) => sum + readings, 0)
  const startedAtMs = performance.now()
  const bar = showBar
    ? new SingleBar({
        format: ' Past months  {bar} {percentage} %  {value} of {total} readings stored',
        barCompleteChar: '█',
        barIncompleteChar: '░',
        barsize: 30,
        hideCursor: true,
        stream: process.stderr,
      })
    : null
  bar?.start(total, 0)
  try {
    await Promise.all(
      nodes.map((node, i) => node.handIn(history[i]!.packs, (readings) => bar?.increment(readings))),
    )
  } finally {
    bar?.stop()
  }
  const tookS = (performance.now() - startedAtMs) / 1000
  say(
    `Past months: ${total.toLocaleString('en-GB')} readings handed in over MQTT and stored in ${tookS.toFixed(1)} s.`,
  )
}

/** @returns what stops it, waiting for the publish under way */
function keepPublishing(
  nodes: readonly LiveNode[],
  live: LiveWeather,
  now: () => number,
  log: pino.Logger,
): () => Promise<void> {
  let underWay: Promise<unknown> = Promise.resolve()
  let isBusy = false
  const publish = async (): Promise<void> => {
    const timeMs = now()
    const beds = live.at(timeMs)
    try {
      await Promise.all(nodes.map((node, i) => node.publishNow(timeMs, beds[i]!)))
    } catch (error) {
      log.error({ err: error }, 'the demo’s nodes could not publish')
    }
  }
  const tick = (): void => {
    // a hub that is slow to answer gets no second message before the first is stored
    if (isBusy) return
    isBusy = true
    underWay = publish().finally(() => {
      isBusy = false
    })
  }
  tick()
  const timer = setInterval(tick, PUBLISH_EVERY_MS)
  return async () => {
    clearInterval(timer)
    await underWay
  }
}

function introduce(scenario: Scenario): string {
  const beds = scenario.beds.map(({ bed }) => bed.name).join(', ')
  return [
    '',
    `${scenario.garden.name}: ${scenario.where}, with three beds (${beds}).`,
    'Place, beds, plants and weather are made up. Nothing here was measured.',
    '',
  ].join('\n')
}

function welcome({ hub }: Demo, dataDir: string | undefined): string {
  return [
    '',
    `  The page       ${hub.httpUrl}`,
    `  Nodes publish  ${hub.mqttUrl}  every ${PUBLISH_EVERY_MS / 1000} s`,
    dataDir === undefined
      ? '  Data           in a temporary folder, gone when the demo ends (keep it with --data-dir)'
      : `  Data           ${resolve(dataDir)}`,
    '',
    'Ctrl-C stops it. For a real garden: npm start',
    '',
  ].join('\n')
}

/** Resolves at the first signal; a second one then ends the process the usual way. */
function untilToldToStop(): Promise<null> {
  return new Promise((resolve) => {
    const stop = (): void => {
      process.off('SIGINT', stop)
      process.off('SIGTERM', stop)
      resolve(null)
    }
    process.on('SIGINT', stop)
    process.on('SIGTERM', stop)
  })
}
