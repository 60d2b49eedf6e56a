/**
 * Ingest between a broker of its own and InfluxDB, in a process of its own, to be killed. Arguments: data folder,
 * broker's URL, InfluxDB's URL, user, password, database. Prints a line when it hears what nodes publish.
 */
import pino from 'pino'
import { connectExternalBroker } from '../../hub/ingest/external-broker.js'
import { createIngest } from '../../hub/ingest/ingest.js'
import { claimDataFolder } from '../../hub/sqlite/data-folder.js'
import { openInfluxStore } from '../../hub/store/influx/open-influx-store.js'

const [, , dataDir, brokerUrl, url, user, password, database] = process.argv
const claim = claimDataFolder(dataDir!)
const log = pino({ level: 'fatal' }, pino.destination(2))
const store = await openInfluxStore({
  dataDir: claim.dir,
  influx: { url: url!, user: user!, password: password!, database: database! },
  keepDays: 0,
})
const ingest = createIngest({
  append: (readings, receivedAtMs) => store.append(readings, receivedAtMs),
  now: () => Date.now(),
  horizonMs: Number.POSITIVE_INFINITY,
  acceptsGarden: (garden) => garden === 'home',
  log,
})
const broker = connectExternalBroker({
  url: brokerUrl!,
  user: null,
  password: null,
  clientId: 'hub',
  ingest,
  log,
  maxPacketBytes: 65_536,
  firstPauseMs: 50,
})
while (!broker.isListening()) await new Promise((resolve) => setTimeout(resolve, 10))
process.stdout.write('1\n')
