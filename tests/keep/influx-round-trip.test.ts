/** The export of a hub whose readings are in InfluxDB, taken in by one with another database, and by one without. */
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type OwnParts, openOwnParts } from '../../hub/cli/own-parts.js'
import { progressLine } from '../../hub/cli/progress-line.js'
import { takeExport } from '../../hub/cli/take-export.js'
import { Config } from '../../hub/config.js'
import { EXPORT_FILES, writeExportFolder } from '../../hub/keep/export-folder.js'
import { hasInfluxd, type InfluxdForTest, influxdNote, startInfluxd } from '../support/influxd.js'
import { fillGarden, NOW_MS, oddReadings } from './full-garden.js'

const quiet = progressLine(false)

describe.skipIf(!hasInfluxd)(`an export out of InfluxDB${influxdNote}`, { timeout: 120_000 }, () => {
  let server: InfluxdForTest
  let root = ''
  /** of a full garden, all of whose readings are in InfluxDB and nowhere else */
  let first = ''
  const opened: OwnParts[] = []
  beforeAll(async () => {
    server = await startInfluxd()
    root = await mkdtemp(join(tmpdir(), 'hearting-influx-keep-'))
    const original = await open('original', 'influx')
    await fillGarden(original)
    await original.store.settleCopies()
    first = await exported(original, 'first')
  }, 120_000)
  afterAll(async () => {
    for (const parts of opened) await parts.close()
    await server?.dispose()
    await rm(root, { recursive: true, force: true })
  })

  async function open(name: string, store: 'influx' | 'sqlite'): Promise<OwnParts> {
    const config = Config.parse({
      dataDir: join(root, name),
      store,
      influxUrl: server.url,
      influxUser: server.user,
      influxPassword: server.password,
      influxDatabase: `keep_${name}`,
      spoolKeepDays: 0,
    })
    const parts = await openOwnParts(config, () => NOW_MS)
    if (!parts) throw new Error('the folder is in use')
    opened.push(parts)
    return parts
  }

  async function exported({ keep }: OwnParts, name: string): Promise<string> {
    const dir = join(root, name)
    await writeExportFolder(dir, (file) => {
      if (file === 'garden.json') return keep.gardenJson('home')
      return file === 'days.csv' ? keep.daysCsv('home') : keep.readingsCsv('home')
    })
    return dir
  }

  it.each(['influx', 'sqlite'] as const)('gives the same bytes out of another hub (%s)', async (store) => {
    const copy = await open(`copy_${store}`, store)
    const count = oddReadings().length
    expect(await takeExport(first, copy, false, quiet)).toMatchObject({ readings: count, stored: count })
    const second = await exported(copy, `second_${store}`)
    for (const file of [...EXPORT_FILES, 'SHA256SUMS']) {
      expect(await readFile(join(second, file), 'utf8'), file).toBe(await readFile(join(first, file), 'utf8'))
    }
  })

  it('doubles nothing when it is taken in again, though the spool has forgotten what it forwarded', async () => {
    const copy = await open('again', 'influx')
    await takeExport(first, copy, false, quiet)
    await copy.close()
    const again = await open('again', 'influx')
    await takeExport(first, again, false, quiet)
    const series = await again.store.listSeries('home')
    expect(series.reduce((sum, one) => sum + one.count, 0)).toBe(oddReadings().length)
    const second = await exported(again, 'second_again')
    expect(await readFile(join(second, 'SHA256SUMS'), 'utf8')).toBe(
      await readFile(join(first, 'SHA256SUMS'), 'utf8'),
    )
  })
})
