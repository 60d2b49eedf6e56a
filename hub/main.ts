/**
 * The composition root: the one place where the parts of the hub are made and joined. Read top to bottom it is
 * the way of a reading: broker, ingest, store, measurements, warnings, API, page.
 */
import type { Logger } from 'pino'
import { warningOnWire } from './api/figures.js'
import { createMetrics, type Metrics } from './api/metrics.js'
import { buildServer } from './api/server.js'
import type { Config } from './config.js'
import { openDelivery } from './delivery/open-delivery.js'
import { createCalendarKeys } from './doors/calendar-keys.js'
import { type OpenDoors, openDoors } from './doors/open-doors.js'
import { chosenSource } from './forecast/chosen-source.js'
import { createForecastService } from './forecast/forecast-service.js'
import { takePublished } from './forecast/published-forecast.js'
import { createBedMeasurements } from './garden/bed-measurements.js'
import { createBedSkies } from './garden/bed-skies.js'
import { createSeasonPlans } from './garden/season-plan.js'
import { createSeasonReviews } from './garden/season-review.js'
import { createSeasonTasks } from './garden/season-tasks.js'
import { openSqliteGarden } from './garden/sqlite-garden.js'
import { createTodayFigures } from './garden/today.js'
import { openGardenDoor } from './garden-door.js'
import type { NodeBroker } from './ingest/broker-port.js'
import { startEmbeddedBroker } from './ingest/embedded-broker.js'
import { connectExternalBroker } from './ingest/external-broker.js'
import { createIngest } from './ingest/ingest.js'
import type { StoredReadings } from './ingest/stored-readings.js'
import { topicsUnder } from './ingest/topics.js'
import { createGardenKeep } from './keep/garden-keep.js'
import { createLiveBus } from './live-bus.js'
import { createReadingNews } from './live-readings.js'
import { createWarningNews } from './live-warnings.js'
import { readMailSettings } from './mail-settings.js'
import { readBrokerSettings, readStoreSettings } from './service-settings.js'
import { claimDataFolder } from './sqlite/data-folder.js'
import { forwardingNotice, logForwarding, type OpenedStore, openStore } from './store/open-store.js'
import type { Reading } from './store/port.js'
import type { CopyableStore } from './store/stored-rows.js'
import { readTlsFiles } from './tls-files.js'
import { createWarningKeeper } from './warnings/warning-keeper.js'
import { closeWithin, findPage, isLoopback, reachable } from './web-server.js'

const DAY_MS = 86_400_000
/** Silence brings no readings that would lead to a look at the garden. */
const LOOK_AGAIN_MS = 5 * 60_000
/** An answer that is still being made when the hub stops has this long to get out. */
const HTTP_CLOSE_MS = 5_000

export interface Hub {
  /** for a browser on this machine */
  readonly httpUrl: string
  /** for a node on this machine */
  readonly mqttUrl: string
  readonly mqttPort: number
  /** where a node of the garden `home` publishes */
  readonly readingsTopic: string
  readonly dataDir: string
  /** can other machines reach the page or the broker? */
  readonly isOpenToNetwork: boolean
  /** does it wait for its owner to choose a passphrase? */
  readonly isWithoutOwner: boolean
  /** Resolves when a part has failed beyond repair; the hub should then be closed and started anew. */
  readonly failed: Promise<Error>
  /** Stops in order: takes nothing more, stores what is under way, ends the pages' connections, closes the data. */
  close(): Promise<void>
}

export interface HubOptions {
  readonly log: Logger
  /** `open`: whoever reaches the hub may do everything, so only this machine may reach it (demo, tests) */
  readonly doors: 'open' | 'closed'
  /** shows the set-up code on the console of the hub, and nowhere else; again when another takes its place */
  readonly onSetUpCode?: (code: string, goodUntilMs: number) => void
  /** UTC ms */
  readonly now?: () => number
  /** opens another store than the embedded one (tests with a slow disk) */
  readonly openStore?: (dataDir: string, onCrash: (error: Error) => void) => Promise<CopyableStore>
  /** a made-up garden: its alerts are marked as an exercise */
  readonly isDemo?: boolean
  /** the weather service at another address (tests) */
  readonly forecastServiceUrl?: string
  /** check every reply against its schema (tests) */
  readonly checkReplies?: boolean
}

/**
 * Starts a hub.
 *
 * @throws DataFolderError, StoreError, GardenError, or a socket's error (EADDRINUSE); what had been started until
 *         then is stopped again
 */
export async function startHub(config: Config, options: HubOptions): Promise<Hub> {
  const { log, now = Date.now } = options
  const isOpenToNetwork = !isLoopback(config.httpHost) || !isLoopback(config.mqttHost)
  if (options.doors === 'open' && isOpenToNetwork) {
    throw new RangeError(`a hub with open doors listens on loopback only, not on ${config.httpHost}`)
  }
  const httpTls = readTlsFiles('http', config.httpTlsCertFile, config.httpTlsKeyFile)
  const mqttTls = readTlsFiles('mqtt', config.mqttTlsCertFile, config.mqttTlsKeyFile)
  const mailServer = readMailSettings(config)
  const ownBroker = readBrokerSettings(config)
  const closers: (() => Promise<void> | void)[] = []
  const close = async (): Promise<void> => {
    // last opened, first closed; one that fails must not keep the others open
    for (let closer = closers.pop(); closer; closer = closers.pop()) {
      try {
        await closer()
      } catch (error) {
        log.error({ err: error }, 'a part did not stop as it should')
      }
    }
  }
  let fail: (error: Error) => void = () => {}
  const failed = new Promise<Error>((resolve) => {
    fail = resolve
  })
  const onCrash = (error: Error): void => {
    log.fatal({ err: error }, 'a database thread has ended')
    fail(error)
  }

  try {
    const folder = claimDataFolder(config.dataDir)
    closers.push(() => folder.release())
    const garden = await openSqliteGarden({ dataDir: folder.dir, onCrash })
    closers.push(() => garden.close())
    const metrics = createMetrics()
    const notices: (() => string | null)[] = []
    const { store, forwarding }: OpenedStore = options.openStore
      ? { store: await options.openStore(folder.dir, onCrash), forwarding: null }
      : await openStore({
          ...readStoreSettings(config),
          dataDir: folder.dir,
          onCrash,
          onForwarding: (state) => logForwarding(log, state),
        })
    if (forwarding) {
      metrics.watchForwarding(forwarding)
      notices.push(() => forwardingNotice(forwarding(), config.spoolLimit))
    }
    closers.push(() => store.close())

    const measurements = createBedMeasurements({ store, garden, now })
    const skies = createBedSkies({ garden, measurements, now })
    const today = createTodayFigures({ garden, measurements, now })
    const live = createLiveBus((error) => log.error({ err: error }, 'a live page could not be told'))
    const news = createReadingNews(garden, live, (error) =>
      log.warn({ err: error }, 'live readings not told'),
    )
    closers.push(() => news.close())
    const door = await openGardenDoor(garden, log)

    let broker: NodeBroker | null = null
    let mqttPort = ownBroker?.port ?? config.mqttPort
    const topics = topicsUnder(config.mqttTopicPrefix)
    const doors: OpenDoors | null =
      options.doors === 'open'
        ? null
        : await openDoors({
            records: garden,
            now,
            topics,
            onSetUpCode: options.onSetUpCode ?? (() => {}),
            onTrouble: (error) => log.error({ err: error }, 'sessions and credentials were not read anew'),
          })
    if (doors) closers.push(() => doors.close())
    const delivery = openDelivery({
      garden,
      mailServer,
      now,
      log,
      onWire: warningOnWire,
      onTried: metrics.messageTried,
      pageUrl: config.publicUrl === '' ? null : config.publicUrl,
      isDemo: options.isDemo ?? false,
    })
    closers.push(() => delivery.outbox.close())
    const tellPages = createWarningNews(garden, live, metrics, (error) =>
      log.warn({ err: error }, 'a warning was not told to pages'),
    )
    const forecasts = createForecastService({
      garden,
      measurements,
      now,
      log,
      source: chosenSource(config.forecastSource, config.forecastContact, {
        now,
        ...(options.forecastServiceUrl === undefined ? {} : { baseUrl: options.forecastServiceUrl }),
      }),
    })
    closers.push(() => forecasts.close())
    const keeper = createWarningKeeper({
      garden,
      measurements,
      store,
      forecasts,
      now,
      onChange(gardenId, warning) {
        tellPages(gardenId, warning)
        delivery.outbox.newsArrived()
      },
      onMessage(gardenId, bed, kind, payload) {
        broker
          ?.publish(topics.warning(gardenId, bed, kind), payload, { retain: true, qos: 1 })
          .catch((error: unknown) => log.warn({ err: error }, 'a warning was not published over MQTT'))
      },
      log,
    })
    closers.push(() => keeper.close())

    const storeReadings: Append = timed(metrics, (readings, receivedAtMs) =>
      measurements.appendAndForget(readings, () => store.append(readings, receivedAtMs)),
    )
    const tellStored = (stored: StoredReadings): void => {
      today.readingsStored(stored.readings)
      forecasts.readingsStored(stored)
      news.add(stored)
      keeper.readingsStored(stored)
    }
    const ingest = createIngest({
      append: storeReadings,
      now,
      horizonMs: config.horizonDays * DAY_MS,
      acceptsGarden: door.accepts,
      onStored: tellStored,
      onForecast: (gardenId, payload, receivedAtMs) =>
        takePublished(forecasts, gardenId, payload, receivedAtMs),
      log,
      topics,
    })
    metrics.watchQueueDepth(() => ingest.totals().waiting)
    metrics.watchConnections(() => broker?.connections() ?? 0)
    metrics.watchRefusals(() => ingest.totals().refused)

    const pageDir = findPage()
    if (pageDir === null) log.warn('the page has not been built: run npm run build; the API works without')
    const app = await buildServer({
      doors,
      nodeGate: ownBroker
        ? null
        : () => ({
            port: mqttPort,
            isTls: mqttTls !== null,
            isReachable: !isLoopback(config.mqttHost),
            topic: (kind, gardenId, node) => topics[kind](gardenId, node),
          }),
      ...(ownBroker
        ? {
            otherBroker: {
              host: ownBroker.host,
              port: ownBroker.port,
              isTls: ownBroker.isTls,
              topic: (kind, gardenId, node) => topics[kind](gardenId, node),
            },
          }
        : {}),
      ...(httpTls ? { tls: httpTls } : {}),
      trustedProxies: config.trustedProxies
        .split(',')
        .map((part) => part.trim())
        .filter((part) => part !== ''),
      garden,
      store,
      measurements,
      skies,
      today,
      forecasts,
      tasks: createSeasonTasks({ garden, measurements, forecasts, now }),
      plans: createSeasonPlans({ garden, measurements, skies, now }),
      reviews: createSeasonReviews({ garden, measurements, now }),
      calendarKeys: createCalendarKeys(garden, now),
      keep: createGardenKeep({
        garden,
        store,
        measurements,
        now,
        async storeReadings(readings, receivedAtMs) {
          const result = await storeReadings(readings, receivedAtMs)
          tellStored({ readings, receivedAtMs })
          return result
        },
      }),
      publicUrl: config.publicUrl === '' ? null : config.publicUrl,
      ingest: {
        heardNodes: ingest.heardNodes,
        presence: ingest.presence,
        refusals: ingest.refusals,
        isListening: () => broker?.isListening() ?? false,
        notices: () => notices.map((notice) => notice()).filter((notice) => notice !== null),
      },
      delivery: delivery.desk,
      live,
      metrics,
      log,
      now,
      pageDir,
      maxLiveStreams: config.maxLiveStreams,
      // a proxy on this machine asks in the name that people type
      loopbackOnly: isLoopback(config.httpHost) && config.trustedProxies === '',
      onGardenChanged(id) {
        door.setUp(id)
        today.gardenChanged(id)
        forecasts.gardenChanged(id)
        keeper.gardenChanged(id)
      },
      checkReplies: options.checkReplies ?? false,
    })
    closers.push(() => closeWithin(app, HTTP_CLOSE_MS))
    await app.listen({ host: config.httpHost, port: config.httpPort })

    if (ownBroker) {
      const external = connectExternalBroker({
        ...ownBroker,
        ingest,
        log,
        maxPacketBytes: config.maxPacketBytes,
      })
      metrics.watchBrokerConnects(external.connects)
      notices.push(external.trouble)
      broker = external
    } else {
      const embedded = await startEmbeddedBroker({
        host: config.mqttHost,
        port: config.mqttPort,
        ingest,
        log,
        ...(doors ? { authenticate: async (login) => doors.mqttLogin(login) } : {}),
        ...(mqttTls ? { tls: mqttTls } : {}),
        maxPacketBytes: config.maxPacketBytes,
        maxConnections: config.maxConnections,
        maxConnectionsPerAddress: config.maxConnections,
      })
      doors?.onChange(embedded.dropRevoked)
      mqttPort = embedded.port
      broker = embedded
    }
    closers.push(broker.close)
    // first of all when stopping: what was taken is stored, and acknowledged while the sockets are still open
    closers.push(() => ingest.close())

    delivery.outbox.start()
    await forecasts.start()
    let looking = keeper.evaluateAll()
    const lookAgain = setInterval(() => {
      looking = keeper.evaluateAll()
    }, LOOK_AGAIN_MS)
    closers.push(() => {
      clearInterval(lookAgain)
      return looking
    })

    const address = app.server.address()
    const httpPort = typeof address === 'object' && address !== null ? address.port : config.httpPort
    return {
      httpUrl: `${httpTls ? 'https' : 'http'}://${reachable(config.httpHost)}:${httpPort}`,
      mqttUrl: ownBroker?.url ?? `${mqttTls ? 'mqtts' : 'mqtt'}://${reachable(config.mqttHost)}:${mqttPort}`,
      mqttPort,
      readingsTopic: topics.readings('home', '<node>'),
      dataDir: folder.dir,
      isOpenToNetwork,
      get isWithoutOwner() {
        return doors !== null && !doors.hasOwner()
      },
      failed,
      close,
    }
  } catch (error) {
    await close()
    throw error
  }
}

type Append = (
  readings: readonly Reading[],
  receivedAtMs: number,
) => Promise<{ stored: number; repeated: number }>

function timed(metrics: Metrics, append: Append): Append {
  return async (readings, receivedAtMs) => {
    const startMs = performance.now()
    try {
      const result = await append(readings, receivedAtMs)
      metrics.committed((performance.now() - startMs) / 1000, result)
      return result
    } catch (error) {
      metrics.commitFailed()
      throw error
    }
  }
}
