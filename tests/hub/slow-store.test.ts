import { describe, expect, it, vi } from 'vitest'
import { openSqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'
import type { CopyableStore } from '../../hub/store/stored-rows.js'
import { ask, newDataDir, node, publish, setUpHome, startOn } from './hub-fixture.js'

/** The embedded store on a disk that hangs until released. */
function stallingStore(): { openStore: (folder: string) => Promise<CopyableStore>; release(): void } {
  let release: () => void = () => {}
  const stalled = new Promise<void>((resolve) => {
    release = resolve
  })
  return {
    release: () => release(),
    async openStore(dataDir) {
      const store = await openSqliteStore({ dataDir })
      return {
        ...store,
        append: async (readings, receivedAtMs) => {
          await stalled
          return store.append(readings, receivedAtMs)
        },
      }
    },
  }
}

describe('a hub on a disk that has stalled', () => {
  const atMs = Math.floor(Date.now() / 1000 - 600) * 1000

  it('answers pages and takes connections, acknowledges nothing, and stores all once the disk is back', async () => {
    const { dataDir, remove } = await newDataDir()
    const { openStore, release } = stallingStore()
    const hub = await startOn(dataDir, { openStore })
    await setUpHome(hub)
    const client = await node(hub)
    let acknowledged = 0
    const published = Array.from({ length: 20 }, (_, i) =>
      publish(client, 'n1', atMs + i * 1000, { 'air-temp': i }).then(() => {
        acknowledged++
      }),
    )
    // every kind of answer comes while the commit hangs
    for (const path of ['gardens', 'gardens/home/today', 'gardens/home/beds/long/series?quantity=air-temp']) {
      expect((await ask(hub, 'GET', path)).status).toBe(200)
    }
    const second = await node(hub)
    await second.endAsync()
    expect(acknowledged).toBe(0)

    release()
    await Promise.all(published)
    const { body } = await ask(hub, 'GET', 'gardens/home/beds/long/series?quantity=air-temp')
    expect(body.value).toHaveLength(20)
    await client.endAsync()
    await hub.close()
    await remove()
  })

  it('stores what it has taken before it stops', async () => {
    const { dataDir, remove } = await newDataDir()
    const { openStore, release } = stallingStore()
    const hub = await startOn(dataDir, { openStore })
    const client = await node(hub)
    client.on('error', () => {})
    // acknowledged or not: it was taken
    publish(client, 'n1', atMs, { 'air-temp': 4 }).catch(() => {})
    await vi.waitFor(async () => {
      const metrics = await (await fetch(`${hub.httpUrl}/metrics`)).text()
      expect(metrics).toMatch(/^hearting_queue_depth 1$/m)
    }, 10_000)
    const closed = hub.close()
    release()
    await closed
    client.end(true)

    const again = await startOn(dataDir)
    expect((await ask(again, 'GET', 'gardens/home/nodes/n1')).body.latest).toMatchObject([{ value: 4 }])
    await again.close()
    await remove()
  })
})
