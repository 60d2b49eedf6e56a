import { describe, expect, it, vi } from 'vitest'
import type { StoredPlacement } from '../../hub/garden/port.js'
import { createLiveBus } from '../../hub/live-bus.js'
import { createReadingNews } from '../../hub/live-readings.js'
import type { Reading } from '../../hub/store/port.js'
import type { LiveEvent } from '../../shared/api/warnings.js'

const reading = (timeMs: number, value: number, quantity = 'air-temp', node = 'n1'): Reading => ({
  garden: 'home',
  node,
  quantity,
  timeMs,
  value,
  flags: 0,
})
const placement = (bed: string, fromMs: number, toMs: number | null): StoredPlacement => ({
  id: bed,
  node: 'n1',
  bed,
  fromMs,
  toMs,
})

function setUp(placements: StoredPlacement[]) {
  const failures: unknown[] = []
  const events: LiveEvent[] = []
  const bus = createLiveBus((error) => failures.push(error))
  bus.subscribe('home', (event) => events.push(event))
  const garden = { listPlacements: () => Promise.resolve(placements) }
  const news = createReadingNews(garden, bus, (error) => failures.push(error))
  return { bus, events, failures, garden, news }
}

describe('readings told to pages', () => {
  it('are the newest of each quantity, a backlog being one event', async () => {
    const { events, news } = setUp([placement('long', 0, null)])
    const backlog = Array.from({ length: 5_000 }, (_, i) => reading(i * 1000, i))
    news.add({ readings: backlog, receivedAtMs: 0 })
    news.add({ readings: [reading(2_000, -1), reading(7_000, 300, 'light')], receivedAtMs: 0 })
    await vi.waitFor(() => expect(events).toHaveLength(1))
    expect(events[0]).toEqual({
      type: 'readings',
      node: 'n1',
      bed: 'long',
      values: [
        { quantity: 'air-temp', time: 4_999, value: 4_999, flags: 0 },
        { quantity: 'light', time: 7, value: 300, flags: 0 },
      ],
    })
    await news.close()
    expect(events).toHaveLength(1)
  })

  it('go to the bed where the node stood at the time', async () => {
    const { events, news } = setUp([placement('old', 0, 1_000), placement('new', 1_000, null)])
    news.add({ readings: [reading(999, 1), reading(1_000, 2, 'light')], receivedAtMs: 0 })
    news.add({ readings: [reading(500, 3, 'air-temp', 'n2')], receivedAtMs: 0 })
    await news.close()
    const beds = events.map((event) => (event.type === 'readings' ? [event.node, event.bed] : null))
    expect(beds).toEqual([
      ['n1', 'old'],
      ['n1', 'new'],
      ['n2', null],
    ])
  })

  it('are still told when the hub stops, and none after', async () => {
    const { events, news } = setUp([])
    news.add({ readings: [reading(1_000, 1)], receivedAtMs: 0 })
    await news.close()
    expect(events).toHaveLength(1)
    news.add({ readings: [reading(2_000, 1)], receivedAtMs: 0 })
    await news.close()
    expect(events).toHaveLength(1)
  })

  it('a garden that cannot be looked up, or a page that fails, stops nothing else', async () => {
    const { bus, events, failures, garden, news } = setUp([])
    bus.subscribe('home', () => {
      throw new Error('broken page')
    })
    bus.publish('home', { type: 'garden' })
    expect(events).toEqual([{ type: 'garden' }])
    garden.listPlacements = () => Promise.reject(new Error('database gone'))
    news.add({ readings: [reading(1_000, 1)], receivedAtMs: 0 })
    await news.close()
    expect(failures.map(String)).toEqual(['Error: broken page', 'Error: database gone'])
  })

  it('reach nobody who has left', () => {
    const bus = createLiveBus(() => {})
    const events: LiveEvent[] = []
    const leave = bus.subscribe('home', (event) => events.push(event))
    leave()
    leave()
    bus.publish('home', { type: 'garden' })
    expect(events).toEqual([])
  })
})
