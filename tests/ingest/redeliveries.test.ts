import { describe, expect, it } from 'vitest'
import { NOW_MS, startHubUnderTest } from './hub-under-test.js'

const TOPIC = 'gardens/home/nodes/bed-a/readings'
const PACK = Buffer.from('[{"n":"air-temp","u":"Cel","t":-60,"v":17.4}]')
const AIR = { garden: 'home', node: 'bed-a', quantity: 'air-temp' }

describe('a pack with times relative to now', () => {
  const run = async (second: { messageId: number; dup: boolean }): Promise<number[]> => {
    let nowMs = NOW_MS
    const hub = await startHubUnderTest({ now: () => nowMs })
    try {
      await hub.ingest.accept(TOPIC, PACK, { messageId: 7, dup: false })
      nowMs += 25_000
      await hub.ingest.accept(TOPIC, PACK, second)
      const { timeMs } = await hub.store.readRange(AIR, 0, 2 * NOW_MS)
      return [...timeMs].map((t) => t - NOW_MS)
    } finally {
      await hub.dispose()
    }
  }

  it('counts from its first delivery when it comes a second time', async () => {
    expect(await run({ messageId: 7, dup: true })).toEqual([-60_000])
  })

  it('is another reading when it is another message with the same value', async () => {
    expect(await run({ messageId: 8, dup: false })).toEqual([-60_000, -35_000])
    expect(await run({ messageId: 7, dup: false })).toEqual([-60_000, -35_000])
  })
})
