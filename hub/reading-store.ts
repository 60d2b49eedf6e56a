/** The store of readings that the settings name, and what is told of one that forwards to a database. */
import type { Logger } from 'pino'
import type { Config } from './config.js'
import { readInfluxSettings } from './service-settings.js'
import type { ForwardingState } from './store/influx/forwarder.js'
import { openInfluxStore } from './store/influx/open-influx-store.js'
import { openSqliteStore } from './store/sqlite/open-sqlite-store.js'
import type { CopyableStore } from './store/stored-rows.js'

export interface OpenedStore {
  readonly store: CopyableStore
  /** null: readings are kept in the data folder and go nowhere */
  readonly forwarding: (() => ForwardingState) | null
}

export interface StoreWatch {
  /** told when a thread of the store dies */
  readonly onCrash?: (error: Error) => void
  readonly onForwarding?: (state: ForwardingState) => void
}

/**
 * @param dataDir  claimed by the caller
 * @throws ConfigError, StoreError
 */
export async function openReadingStore(
  config: Config,
  dataDir: string,
  { onCrash = () => {}, onForwarding = () => {} }: StoreWatch = {},
): Promise<OpenedStore> {
  const influx = readInfluxSettings(config)
  if (influx === null) return { store: await openSqliteStore({ dataDir, onCrash }), forwarding: null }
  const { spoolLimit, spoolKeepDays: keepDays } = config
  const store = await openInfluxStore({ dataDir, influx, spoolLimit, keepDays, onCrash, onForwarding })
  return { store, forwarding: store.forwarding }
}

export function logForwarding(log: Logger, state: ForwardingState): void {
  const about = { waiting: state.waiting, notTaken: state.refused }
  if (state.isUp === false)
    log.warn({ ...about, reason: state.trouble }, 'the database does not answer; readings wait on disk')
  else log.info(about, 'the database answers; what waited is forwarded')
}

/** For the page; null: all is well. @param limit  readings that may wait */
export function forwardingNotice(state: ForwardingState, limit: number): string | null {
  const { isUp, waiting, refused, trouble } = state
  const notTaken =
    refused > 0 ? `The database will not take ${refused} readings; they stay on the hub’s disk.` : null
  if (isUp !== false) return notTaken
  return `The database does not answer (${trouble}). ${waiting} readings wait on disk, at most ${limit} may.`
}
