/**
 * Broker, ingest and store in a process of their own, to be killed. Arguments: data folder, port (0: any).
 * Prints one line with its port when it takes connections.
 */
import pino from 'pino'
import { startEmbeddedBroker } from '../../hub/ingest/embedded-broker.js'
import { createIngest } from '../../hub/ingest/ingest.js'
import { claimDataFolder } from '../../hub/sqlite/data-folder.js'
import { openSqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'

const [, , dataDir, port] = process.argv
const claim = claimDataFolder(dataDir!)
const store = await openSqliteStore({ dataDir: claim.dir })
const log = pino({ level: 'error' }, pino.destination(2))
const ingest = createIngest({
  append: (readings, receivedAtMs) => store.append(readings, receivedAtMs),
  now: () => Date.now(),
  horizonMs: Number.POSITIVE_INFINITY,
  acceptsGarden: (garden) => garden === 'home',
  log,
})
const broker = await startEmbeddedBroker({ host: '127.0.0.1', port: Number(port), ingest, log })
process.stdout.write(`${broker.port}\n`)
