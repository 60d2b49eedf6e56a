/** The garden database's thread: opens `garden.sqlite` and answers the port's methods, each in one transaction. */
import { workerData } from 'node:worker_threads'
import Database from 'better-sqlite3'
import { migrate } from '../sqlite/migrate.js'
import { serveObject } from '../worker/served.js'
import type { GardenRepository } from './port.js'
import type { Answered } from './sqlite/answered.js'
import { dayCache } from './sqlite/day-cache.js'
import { deliveries } from './sqlite/deliveries.js'
import { type AnsweredDoorRecords, doorRecords } from './sqlite/door-records.js'
import { gardenDump } from './sqlite/garden-dump.js'
import { growing } from './sqlite/growing.js'
import { journal } from './sqlite/journal.js'
import { placements } from './sqlite/placements.js'
import { places } from './sqlite/places.js'
import { planWeather } from './sqlite/plan-weather.js'
import { plantings } from './sqlite/plantings.js'
import { GARDEN_MIGRATIONS } from './sqlite/schema.js'
import { seasonAnswers } from './sqlite/season-answers.js'
import { sunTables } from './sqlite/sun-tables.js'
import { warningNews } from './sqlite/warning-news.js'
import { warnings } from './sqlite/warnings.js'

const { path } = workerData as { path: string }
const db = new Database(path)
db.pragma('journal_mode = WAL')
// FULL: what is answered is on the disk, also after a power cut
db.pragma('synchronous = FULL')
db.pragma('foreign_keys = ON')
migrate(db, GARDEN_MIGRATIONS)

const methods: Answered<keyof GardenRepository> & AnsweredDoorRecords = {
  ...places(db),
  ...placements(db),
  ...plantings(db),
  ...dayCache(db),
  ...growing(db),
  ...planWeather(db),
  ...journal(db),
  ...seasonAnswers(db),
  ...sunTables(db),
  ...warnings(db),
  ...warningNews(db),
  ...deliveries(db),
  ...doorRecords(db),
  ...gardenDump(db),
  close: () => {
    db.close()
  },
}

// a rule that fails half-way leaves nothing behind; a method that only reads costs no sync
const { close, doorsVersion, ...transactional } = methods
serveObject({
  ...Object.fromEntries(
    Object.entries(transactional).map(([name, method]) => [
      name,
      patiently(db.transaction(method as (...args: never[]) => unknown)),
    ]),
  ),
  doorsVersion,
  close,
})

/**
 * The command line may write to the same file. A transaction that has read, and would write after such a write,
 * is refused (SQLITE_BUSY_SNAPSHOT): it is made again with the write lock from its start.
 */
function patiently(transaction: Database.Transaction<(...args: never[]) => unknown>) {
  return (...args: never[]): unknown => {
    try {
      return transaction(...args)
    } catch (error) {
      if (!(error instanceof Database.SqliteError) || !error.code.startsWith('SQLITE_BUSY')) throw error
      return transaction.immediate(...args)
    }
  }
}
