/** The store of readings that is asked for, and what is to be told of one that forwards to a database. */
import type { Logger } from 'pino'
import type { ForwardingState } from './influx/forwarder.js'
import { type InfluxStoreOptions, openInfluxStore } from './influx/open-influx-store.js'
import { openSqliteStore } from './sqlite/open-sqlite-store.js'
import type { CopyableStore } from './stored-rows.js'

export interface StoreOptions extends Omit<InfluxStoreOptions, 'influx'> {
  /** null: readings are kept in the data folder */
  readonly influx: InfluxStoreOptions['influx'] | null
}

export interface OpenedStore {
  readonly store: CopyableStore
  /** null: readings go nowhere */
  readonly forwarding: (() => ForwardingState) | null
}

/** @throws StoreError */
export async function openStore({ influx, ...options }: StoreOptions): Promise<OpenedStore> {
  if (influx === null) return { store: await openSqliteStore(options), forwarding: null }
  const store = await openInfluxStore({ ...options, influx })
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
