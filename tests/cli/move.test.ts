import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { describeMove, moveReadings } from '../../hub/cli/move-command.js'
import { Config } from '../../hub/config.js'
import { openInfluxStore } from '../../hub/store/influx/open-influx-store.js'
import type { Reading } from '../../hub/store/port.js'
import { openSqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'
import type { CopyableStore } from '../../hub/store/stored-rows.js'
import { FLAG } from '../../shared/quality-flags.js'
import { newDataDir } from '../hub/hub-fixture.js'
import { hasInfluxd, type InfluxdForTest, influxdNote, startInfluxd } from '../support/influxd.js'

const START_MS = Date.UTC(2027, 3, 1)
const DAY_MS = 86_400_000

/** Three months in two gardens, with odd values, flags, late arrivals and a time from a wrong clock. */
function readings(): { readings: Reading[]; receivedAtMs: number }[] {
  const make = (garden: string, quantity: string, from: number, to: number): Reading[] =>
    Array.from({ length: to - from }, (_, i) => ({
      garden,
      node: 'bed-a',
      quantity,
      timeMs: START_MS + (from + i) * 1_800_000 + (i % 7),
      value: (i % 5 === 0 ? Math.PI : 1) * (i - 40) * 0.1,
      flags: i % 50 === 0 ? FLAG.range : 0,
    }))
  return [
    { readings: make('home', 'air-temp', 0, 4_000), receivedAtMs: START_MS + 90 * DAY_MS },
    { readings: make('home', 'light', 100, 600), receivedAtMs: START_MS + 20 * DAY_MS },
    { readings: make('allotment', 'soil-temp', 0, 300), receivedAtMs: START_MS + 7 * DAY_MS },
    {
      readings: [
        { garden: 'home', node: 'bed-a', quantity: 'air-temp', timeMs: 5, value: 20, flags: FLAG.clock },
        { garden: 'home', node: 'bed-b', quantity: 'co2', timeMs: START_MS, value: 1e300, flags: 0 },
      ],
      receivedAtMs: START_MS + DAY_MS,
    },
  ]
}

describe.skipIf(!hasInfluxd)(
  `moving readings between SQLite and InfluxDB${influxdNote}`,
  { timeout: 120_000 },
  () => {
    let server: InfluxdForTest
    let databases = 0
    let config: Config
    let folders: Awaited<ReturnType<typeof newDataDir>>[]
    beforeAll(async () => {
      server = await startInfluxd()
    })
    afterAll(() => server?.dispose())
    beforeEach(async () => {
      folders = [await newDataDir(), await newDataDir()]
      config = Config.parse({
        dataDir: folders[0]!.dataDir,
        influxUrl: server.url,
        influxUser: server.user,
        influxPassword: server.password,
        influxDatabase: `move_${databases++}`,
      })
    })
    afterEach(() => Promise.all(folders.map((folder) => folder.remove())))

    async function contents(store: CopyableStore): Promise<unknown[]> {
      const all = []
      for (const garden of await store.listGardens())
        for (const series of await store.listSeries(garden))
          all.push({ ...series, rows: await store.readStored(series, 0, START_MS * 2) })
      await store.close()
      return all
    }
    const openInflux = () =>
      openInfluxStore({
        dataDir: config.dataDir,
        influx: {
          url: server.url,
          user: server.user,
          password: server.password,
          database: config.influxDatabase,
        },
      })

    it('is exact there and back, with flags and times of arrival, and may be repeated', async () => {
      const original = await openSqliteStore({ dataDir: config.dataDir })
      let total = 0
      for (const { readings: some, receivedAtMs } of readings()) {
        await original.append(some, receivedAtMs)
        total += some.length
      }
      const before = await contents(original)
      expect(before).toHaveLength(4)

      const exact = { series: 4, readings: total, verified: total, different: 0, missing: 0 }
      expect(await moveReadings(config, 'sqlite', 'influx')).toEqual({ ...exact, copied: total })
      expect(await contents(await openInflux())).toEqual(before)
      const again = await moveReadings(config, 'sqlite', 'influx')
      expect(again).toMatchObject(exact)
      expect(describeMove(again, 'influx')).toMatch(/The copy is exact\. Set HEARTING_STORE=influx/)

      // back, on a machine that never had them
      const elsewhere = { ...config, dataDir: folders[1]!.dataDir }
      expect(await moveReadings(elsewhere, 'influx', 'sqlite')).toEqual({ ...exact, copied: total })
      expect(await contents(await openSqliteStore({ dataDir: elsewhere.dataDir }))).toEqual(before)
    })

    it('says what the other store had otherwise, and leaves it', async () => {
      const [one] = readings()
      const original = await openSqliteStore({ dataDir: config.dataDir })
      await original.append(one!.readings.slice(0, 10), one!.receivedAtMs)
      await original.close()
      const other = await openInflux()
      await other.append([{ ...one!.readings[3]!, value: 77 }], one!.receivedAtMs)
      await other.flush()
      await other.close()
      const result = await moveReadings(config, 'sqlite', 'influx')
      expect(result).toMatchObject({ readings: 10, copied: 9, verified: 9, different: 1, missing: 0 })
      expect(describeMove(result, 'influx')).toMatch(/the first value stays/)
    })
  },
)
