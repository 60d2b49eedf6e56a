import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe } from 'vitest'
import { openInfluxStore } from '../../../hub/store/influx/open-influx-store.js'
import { hasInfluxd, type InfluxdForTest, influxdNote, startInfluxd } from '../../support/influxd.js'
import { storeContract } from '../contract.js'

const MAY_MS = Date.UTC(2027, 4, 1)
const DAY_MS = 86_400_000

describe.skipIf(!hasInfluxd)(`a real InfluxDB${influxdNote}`, () => {
  let server: InfluxdForTest
  let databases = 0
  beforeAll(async () => {
    server = await startInfluxd()
  })
  afterAll(() => server?.dispose())

  const open = async (keepDays: number) => {
    const dataDir = await mkdtemp(join(tmpdir(), 'hearting-influx-'))
    const { url, user, password } = server
    const influx = { url, user, password, database: `contract_${databases++}` }
    const store = await openInfluxStore({ dataDir, influx, keepDays })
    return {
      store,
      // all but the days to keep is read from InfluxDB from then on
      async settle() {
        await store.flush()
        await store.tidy(MAY_MS + 5 * DAY_MS)
      },
      async dispose() {
        await store.close()
        await rm(dataDir, { recursive: true })
      },
    }
  }
  storeContract('InfluxDB, nothing kept on the hub,', () => open(0))
  storeContract('InfluxDB, the newest days kept on the hub,', () => open(2))
})
