/**
 * Taking an export in: all of it is checked first; then the garden comes in whole or not at all, then the readings, some
 * thousand at a time. Broken off among the readings it is simply done again: what is there already is not doubled.
 */
import { createHash } from 'node:crypto'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { gardenLoader } from '../garden/sqlite/garden-dump.js'
import { type ExportFolder, openExportFolder } from '../keep/export-folder.js'
import { checkGardenJson, type GardenSurvey } from '../keep/garden-check.js'
import { checkedRecord, readGardenJson } from '../keep/garden-json-reader.js'
import { KeepError } from '../keep/port.js'
import { readReadingsCsv } from '../keep/readings-csv.js'
import { utf8Text } from '../keep/text-lines.js'
import type { OwnParts } from './own-parts.js'
import type { ProgressLine } from './progress-line.js'

const MOST_PROBLEMS = 20
/** After so many the store gets time to put them where they belong. */
const READINGS_UNTIL_SETTLED = 100_000

export interface TakenExport {
  readonly garden: string
  readonly name: string
  /** false: it was there already, exactly so, or only readings were wanted */
  readonly isNewGarden: boolean
  readonly readings: number
  readonly stored: number
  readonly repeated: number
}

/**
 * @param readingsOnly  add the readings to a garden that is there; what the file says of the garden is left aside
 * @throws KeepError    something in the files cannot be used, or the hub has another garden of that id; nothing was changed
 */
export async function takeExport(
  dir: string,
  parts: OwnParts,
  readingsOnly: boolean,
  progress: ProgressLine,
): Promise<TakenExport> {
  const folder = await openExportFolder(dir)
  const survey = await checkGardenJson(folder.read('garden.json'))
  const readings = await checkReadings(folder, survey.garden, progress)
  const isThere = (await parts.garden.getGarden(survey.garden)) !== null
  const isNewGarden = !readingsOnly && !isThere
  if (isNewGarden) await loadGarden(folder, parts, survey)
  else if (!isThere) throw new KeepError(`There is no garden "${survey.garden}" to add readings to.`)
  else if (!readingsOnly && !(await isSameGarden(folder, parts, survey.garden))) {
    throw new KeepError(
      `This hub has a garden "${survey.garden}" with other data; nothing was changed. Take the export into an empty data folder (HEARTING_DATA_DIR), or add only its readings with --readings-only.`,
    )
  }
  const { stored, repeated } = await addReadings(folder, parts, survey.garden, readings, progress)
  return { garden: survey.garden, name: survey.name, isNewGarden, readings, stored, repeated }
}

async function checkReadings(folder: ExportFolder, garden: string, progress: ProgressLine): Promise<number> {
  const problems: string[] = []
  let readings = 0
  progress.start('checking', 0, 'readings')
  const text = utf8Text(folder.read('readings.csv'))
  for await (const { rows } of readReadingsCsv(text, garden, (problem) => problems.push(problem))) {
    readings += rows.timeMs.length
    progress.at(readings)
    if (problems.length >= MOST_PROBLEMS) break
  }
  progress.stop()
  if (problems.length === 0) return readings
  throw new KeepError(
    'readings.csv cannot be taken in; nothing was changed.',
    problems.slice(0, MOST_PROBLEMS),
  )
}

async function isSameGarden(folder: ExportFolder, parts: OwnParts, garden: string): Promise<boolean> {
  const ofFile = createHash('sha256')
  for await (const some of folder.read('garden.json')) ofFile.update(some)
  const ofHub = createHash('sha256')
  for await (const piece of parts.keep.gardenJson(garden)) ofHub.update(piece)
  return ofFile.digest('hex') === ofHub.digest('hex')
}

/** Whole or not at all: one transaction, on a connection of its own beside the claimed folder's others. */
async function loadGarden(folder: ExportFolder, parts: OwnParts, { garden }: GardenSurvey): Promise<void> {
  const db = new Database(join(parts.dir, 'garden.sqlite'), { timeout: 10_000, fileMustExist: true })
  try {
    db.pragma('synchronous = FULL')
    db.pragma('foreign_keys = ON')
    db.exec('BEGIN IMMEDIATE')
    const loader = gardenLoader(db, garden)
    for await (const part of readGardenJson(folder.read('garden.json'))) {
      const checked = checkedRecord(part)
      if ('problems' in checked)
        throw new KeepError('garden.json changed while it was read.', checked.problems)
      if (checked.record === null) continue
      try {
        if ('single' in part) loader.single(part.single, checked.record)
        else loader.record(part.list, checked.record)
      } catch (cause) {
        if (!(cause instanceof Database.SqliteError) || !cause.code.startsWith('SQLITE_CONSTRAINT'))
          throw cause
        throw new KeepError(`garden.json, line ${part.line}: ${whyNotStored(cause.code)}`, [], { cause })
      }
    }
    db.exec('COMMIT')
  } finally {
    // a transaction that did not come to its end is taken back
    db.close()
  }
}

/** The file agrees with itself: it has been checked. */
const whyNotStored = (code: string): string =>
  code === 'SQLITE_CONSTRAINT_PRIMARYKEY' || code === 'SQLITE_CONSTRAINT_UNIQUE'
    ? 'another garden of this hub has this id already. Take the export into an empty data folder.'
    : `the database does not take it (${code}). Nothing was changed; report it with this line of the file.`

async function addReadings(
  folder: ExportFolder,
  { garden: repository, store }: OwnParts,
  garden: string,
  total: number,
  progress: ProgressLine,
): Promise<{ stored: number; repeated: number }> {
  const forget = async (): Promise<void> => {
    for (const { id } of await repository.listBeds(garden)) await repository.forgetDays(garden, id)
    await repository.forgetLearnedSun(garden, Number.MIN_SAFE_INTEGER, Number.MAX_SAFE_INTEGER)
  }
  // before and after: a crash at any moment leaves no day record that is stale
  await forget()
  let stored = 0
  let repeated = 0
  let unsettled = 0
  progress.start('storing', total, 'readings')
  const text = utf8Text(folder.read('readings.csv'))
  for await (const { series, rows } of readReadingsCsv(text, garden, (problem) => {
    throw new KeepError('readings.csv changed while it was read; import it again.', [problem])
  })) {
    const result = await store.appendStored(series, rows)
    stored += result.stored
    repeated += result.repeated
    unsettled += rows.timeMs.length
    progress.at(stored + repeated)
    if (unsettled < READINGS_UNTIL_SETTLED) continue
    await store.settleCopies()
    unsettled = 0
  }
  await store.settleCopies()
  await forget()
  progress.stop()
  return { stored, repeated }
}
