/** What the hub counts about itself, served at /metrics in the OpenMetrics text format. */
import { Counter, collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client'

export interface Metrics {
  readonly contentType: string
  render(): Promise<string>
  /** one group commit: how long it took until durable, and what it held */
  committed(seconds: number, result: { stored: number; repeated: number }): void
  commitFailed(): void
  warningRaised(kind: string): void
  /** an attempt to send news of warnings out: `sent`, or the code of what went wrong */
  messageTried(channel: string, outcome: string): void
  /** read whenever metrics are asked for: packs refused so far, by reason */
  watchRefusals(read: () => Readonly<Record<string, number>>): void
  watchQueueDepth(read: () => number): void
  watchConnections(read: () => number): void
  watchLiveStreams(read: () => number): void
  /** a database behind the hub's own disk */
  watchForwarding(
    read: () => { readonly isUp: boolean | null; readonly waiting: number; readonly refused: number },
  ): void
  /** connections made to a broker of its own */
  watchBrokerConnects(read: () => number): void
  requestServed(route: string, status: number, seconds: number): void
}

/** Own registry per hub, so that several in one process (tests) do not count into each other. */
export function createMetrics(): Metrics {
  const registry = new Registry<typeof Registry.OPENMETRICS_CONTENT_TYPE>()
  registry.setContentType(Registry.OPENMETRICS_CONTENT_TYPE)
  const registers = [registry]
  collectDefaultMetrics({ register: registry, eventLoopMonitoringPrecision: 20 })

  const stored = new Counter({
    name: 'hearting_readings_stored',
    help: 'Readings made durable',
    registers,
  })
  const repeated = new Counter({
    name: 'hearting_readings_repeated',
    help: 'Readings delivered again and already there',
    registers,
  })
  const failures = new Counter({ name: 'hearting_commit_failures', help: 'Commits that failed', registers })
  const warnings = new Counter({
    name: 'hearting_warnings_raised',
    help: 'Warnings raised, by kind',
    labelNames: ['kind'],
    registers,
  })
  const messages = new Counter({
    name: 'hearting_messages_tried',
    help: 'Attempts to send news of warnings out, by channel and outcome',
    labelNames: ['channel', 'outcome'],
    registers,
  })
  const commitSeconds = new Histogram({
    name: 'hearting_commit_seconds',
    help: 'Time until a group of readings was durable',
    buckets: [0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10],
    registers,
  })
  const requestSeconds = new Histogram({
    name: 'hearting_http_request_seconds',
    help: 'Time to answer a request, by route and status',
    labelNames: ['route', 'status'],
    buckets: [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10],
    registers,
  })
  const watch = (name: string, help: string) => (read: () => number) => {
    new Gauge({
      name,
      help,
      registers,
      collect() {
        this.set(read())
      },
    })
  }

  return {
    contentType: registry.contentType,
    render: () => registry.metrics(),
    committed(seconds, result) {
      commitSeconds.observe(seconds)
      stored.inc(result.stored)
      repeated.inc(result.repeated)
    },
    commitFailed: () => failures.inc(),
    watchRefusals(read) {
      new Counter({
        name: 'hearting_packs_refused',
        help: 'Packs turned away, by reason',
        labelNames: ['reason'],
        registers,
        collect() {
          this.reset()
          for (const [reason, count] of Object.entries(read())) this.inc({ reason }, count)
        },
      })
    },
    warningRaised: (kind) => warnings.inc({ kind }),
    messageTried: (channel, outcome) => messages.inc({ channel, outcome }),
    watchQueueDepth: watch('hearting_queue_depth', 'Readings waiting to be stored'),
    watchConnections: watch('hearting_mqtt_connections', 'Nodes connected'),
    watchLiveStreams: watch('hearting_live_streams', 'Pages that follow a garden live'),
    watchForwarding(read) {
      watch(
        'hearting_database_up',
        'The database behind the hub answers',
      )(() => (read().isUp === true ? 1 : 0))
      watch(
        'hearting_readings_waiting',
        'Readings on disk that the database does not have yet',
      )(() => read().waiting)
      watch(
        'hearting_readings_not_taken',
        'Readings that the database will not take, kept on the hub’s disk',
      )(() => read().refused)
    },
    watchBrokerConnects: watch('hearting_broker_connects', 'Connections made to the broker since the start'),
    requestServed: (route, status, seconds) => requestSeconds.observe({ route, status }, seconds),
  }
}
