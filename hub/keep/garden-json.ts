/**
 * garden.json: one JSON with all that the grower told the hub about a garden. Laid out one record a line, so that a file with
 * years of photos is written and read without being held in memory.
 */
import {
  EXPORT_FORMAT,
  EXPORT_LISTS,
  EXPORT_SINGLES,
  EXPORT_VERSION,
  type ExportList,
  type ExportSingle,
} from '../../shared/api/export.js'
import type { ExportRecord, ExportRepository } from '../garden/export-port.js'
import type { JournalRepository } from '../garden/journal-port.js'
import { GardenError } from '../garden/port.js'

export const SINGLES: readonly ExportSingle[] = [
  'garden',
  'identity',
  'temperatureNormals',
  'clearNormals',
  'planWeather',
  'delivery',
]
export const LISTS: readonly ExportList[] = [
  'beds',
  'nodes',
  'placements',
  'plantings',
  'crops',
  'drawnSkylines',
  'mutes',
  'taskAnswers',
  'journal',
  'journalRemovals',
  'warnings',
  'photos',
]

/** @throws GardenError  UNKNOWN_GARDEN, with the first piece */
export async function* writeGardenJson(
  repository: ExportRepository & Pick<JournalRepository, 'journalPhoto'>,
  garden: string,
  withDelivery: boolean,
): AsyncGenerator<string, void> {
  const dump = await repository.dumpGarden(garden)
  if (dump === null) throw new GardenError('UNKNOWN_GARDEN', `There is no garden "${garden}".`)
  const head = [`"format":${JSON.stringify(EXPORT_FORMAT)}`, `"version":${EXPORT_VERSION}`]
  const singles = withDelivery ? dump.singles : { ...dump.singles, delivery: null }
  for (const name of SINGLES) head.push(`"${name}":${single(name, singles[name])}`)
  yield `{\n${head.join(',\n')}`
  for (const name of LISTS) {
    yield `,\n"${name}":[`
    let isFirst = true
    for await (const line of name === 'photos' ? photos() : lines(name, dump.lists[name])) {
      yield `${isFirst ? '\n' : ',\n'}${line}`
      isFirst = false
    }
    yield isFirst ? ']' : '\n]'
  }
  yield '\n}\n'

  async function* photos(): AsyncGenerator<string, void> {
    for (const { id, entry } of dump?.photos ?? []) {
      const photo = await repository.journalPhoto(garden, entry, id)
      // taken away while the file was being written
      if (photo === null) continue
      const image = Buffer.from(photo.image.buffer, photo.image.byteOffset, photo.image.byteLength)
      yield JSON.stringify({ id, entry, mediaType: photo.mediaType, image: image.toString('base64') })
    }
  }
}

function* lines(
  name: Exclude<ExportList, 'photos'>,
  records: readonly ExportRecord[],
): Generator<string, void> {
  for (const record of records) yield text(EXPORT_LISTS[name].safeParse(record), record)
}

const single = (name: ExportSingle, record: ExportRecord | null): string =>
  text(EXPORT_SINGLES[name].safeParse(record), record)

/**
 * As the schema has it: its order of fields, and what a later version added. What does not fit goes out as it is kept:
 * nobody's data stays behind for a rule that came later.
 */
const text = (
  parsed: { readonly success: boolean; readonly data?: unknown },
  record: ExportRecord | null,
): string => JSON.stringify(parsed.success ? parsed.data : record)
