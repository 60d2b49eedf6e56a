import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { openSqliteStore } from '../../../hub/store/sqlite/open-sqlite-store.js'
import { storeContract } from '../contract.js'

storeContract('SQLite', async () => {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-store-'))
  const store = await openSqliteStore({ dataDir })
  return {
    store,
    settle: () => store.settleRollups(),
    async dispose() {
      await store.close()
      await rm(dataDir, { recursive: true })
    },
  }
})
