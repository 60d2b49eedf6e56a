/** Starting the demo: the hub, the invented garden, its past months, its live nodes; and stopping all of it. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import { SingleBar } from 'cli-progress'
import type pino from 'pino'
import { Config } from '../../config.js'
import { findCrop } from '../../core/crops/library.js'
import { type Hub, startHub } from '../../main.js'
import { openDemoState, saveDemoState } from './demo-state.js'
import { GardenWeather } from './garden-weather.js'
import { historyUntil } from './history.js'
import { HubApi } from './hub-api.js'
import { LiveNode } from './live-node.js'
import { LiveWeather } from './live-weather.js'
import { demoPlantings } from './plantings.js'
import { type Scenario, scenarioFor } from './scenario.js'
import { newestReadings, setUpGarden } from './set-up.js'

const GARDEN = 'home'
const LOOPBACK = '127.0.0.1'
export const PUBLISH_EVERY_MS = 5_000
const LAST_WAIT_MS = 3_000
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
  /** shorter only in tests that are about something else */
  readonly historyDays?: number
}

export interface Demo {
  readonly hub: Hub
  readonly scenario: Scenario
  close(): Promise<void>
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
    for (const end of ends.splice(0).reverse()) {
      try {
        await end()
      } catch (error) {
        // one part that fails to stop must not keep the others from it, nor the temporary folder from going
        options.log.error({ err: error }, 'a part of the demo did not stop as it should')
      }
    }
  }
  if (options.dataDir === null) ends.push(() => rm(dataDir, { recursive: true, force: true }))
  try {
    const state = await openDemoState(dataDir, now(), SEED)
    const { httpPort, mqttPort } = options
    const config = Config.parse({ dataDir, httpHost: LOOPBACK, mqttHost: LOOPBACK, httpPort, mqttPort })
    const hub = await startHub(config, { log: options.log, now, doors: 'open', isDemo: true })
    ends.push(() => hub.close())

    const scenario = scenarioFor(state.startedAtMs, state.seed, options.historyDays)
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
    // a hub that has failed acknowledges nothing any more
    await Promise.race([underWay, delay(LAST_WAIT_MS, undefined, { ref: false })])
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
