import { describe, expect, it } from 'vitest'
import { createNodeArrivals } from '../../hub/warnings/node-arrivals.js'
import type { Finding, NodeView, WrongClock } from '../../hub/warnings/rule.js'
import { nodeSilent } from '../../hub/warnings/rules/node-silent.js'
import { sensorFault } from '../../hub/warnings/rules/sensor-fault.js'
import { FLAG } from '../../shared/quality-flags.js'
import { columns, contextOf, HOUR_MS, MINUTE_MS, NOW_MS, nodeView } from './rule-context.js'

describe('a silent node', () => {
  const look = (silentMs: number | null, parts: Partial<NodeView> = {}, open = false): Finding | null => {
    const lastMs = silentMs === null ? null : NOW_MS - silentMs
    const node = nodeView({ lastMs, lastReceivedMs: lastMs, ...parts })
    return nodeSilent.find(contextOf({ nodes: [node], open: open ? ['node-silent/n1'] : [] }))[0] ?? null
  }

  it('is missed after a quarter of an hour when it usually sends every minute', () => {
    expect(look(14 * MINUTE_MS)).toBeNull()
    expect(look(16 * MINUTE_MS)).toMatchObject({
      severity: 'Minor',
      urgency: 'Immediate',
      node: 'n1',
      bed: 'south',
    })
  })

  it('is missed after five missing readings when it sends seldom', () => {
    expect(look(140 * MINUTE_MS, { spacingMs: 30 * MINUTE_MS })).toBeNull()
    expect(look(155 * MINUTE_MS, { spacingMs: 30 * MINUTE_MS })).not.toBeNull()
  })

  it('is worse after six hours', () => {
    expect(look(5 * HOUR_MS)!.severity).toBe('Minor')
    expect(look(7 * HOUR_MS)!.severity).toBe('Moderate')
  })

  it('is not blamed for the time the hub was not listening, unless it was silent before', () => {
    const parts = { listeningSinceMs: NOW_MS - 5 * MINUTE_MS }
    expect(look(20 * HOUR_MS, parts)).toBeNull()
    expect(look(20 * HOUR_MS, parts, true)).not.toBeNull()
  })

  it('gets an hour for its first reading', () => {
    expect(look(null, { placedSinceMs: NOW_MS - 50 * MINUTE_MS })).toBeNull()
    expect(look(null, { placedSinceMs: NOW_MS - 2 * HOUR_MS })!.headline).toContain(
      'has not sent anything yet',
    )
  })

  it('is described by its last reading, and with care about batteries and mains', () => {
    const { why, advice } = look(3 * HOUR_MS)!
    expect(why).toContain('09:00 on 2027-06-15; it usually sends every 1 minute')
    expect(advice).toMatch(/lithium.*licensed electrician/s)
  })
})

describe('a faulty sensor', () => {
  const look = (
    values: readonly number[],
    flags: (i: number) => number,
    more: { quantity?: string; spacingMs?: number; open?: readonly string[]; wrongClock?: WrongClock } = {},
  ): Finding[] => {
    const { quantity = 'soil-temp', spacingMs = MINUTE_MS, open = [], wrongClock = null } = more
    const recent = new Map([[quantity, columns(NOW_MS, spacingMs, values, flags)]])
    return sensorFault.find(contextOf({ nodes: [nodeView({ recent, wrongClock })], open }))
  }
  const many = (value: number): number[] => Array.from({ length: 180 }, () => value)

  it('is one whose readings of the last hours are mostly flagged', () => {
    expect(look(many(12), () => 0)).toEqual([])
    expect(look(many(85), (i) => (i % 3 === 0 ? FLAG.sentinel : 0))).toEqual([])
    const [warning] = look(many(85), () => FLAG.sentinel)
    expect(warning).toMatchObject({
      cause: 'sensor-fault/n1/soil-temp',
      severity: 'Moderate',
      certainty: 'Observed',
    })
    expect(warning!.headline).toBe('The soil temperature sensor of First node (South bed) gives no readings')
    expect(warning!.why).toContain('180 readings of its last 180')
    expect(warning!.why).toContain('latest 85.0 °C')
  })

  it('is named by its commonest fault', () => {
    const [warning] = look(many(20), (i) => (i % 4 === 0 ? FLAG.range : FLAG.stuck))
    expect(warning!.headline).toContain('stands still')
  })

  it('is not told from one or two readings', () => {
    expect(look([85, 85], () => FLAG.sentinel)).toEqual([])
  })

  it('holds until nearly all readings are good again', () => {
    const some = (i: number): number => (i % 5 === 0 ? FLAG.dropout : 0)
    expect(look(many(0), some)).toEqual([])
    expect(look(many(0), some, { open: ['sensor-fault/n1/soil-temp'] })).toHaveLength(1)
  })

  it('of light that is at its ceiling for an hour of the day is told how to see more', () => {
    const ceiling = (n: number) => (i: number) => (i < n ? FLAG.ceiling : 0)
    const light = { quantity: 'light' }
    expect(look(many(54612), ceiling(40), light)).toEqual([])
    const [warning] = look(many(54612), ceiling(90), light)
    expect(warning).toMatchObject({ cause: 'sensor-fault/n1/light-ceiling', severity: 'Minor' })
    expect(warning!.why).toContain('1.5 h of the last day it could not show more than 54 612 lx')
  })

  it('may be the node’s clock', () => {
    const wrongClock = { count: 5, lastReceivedAtMs: NOW_MS - MINUTE_MS, lastTimeMs: 0 }
    const [warning] = look([], () => 0, { wrongClock })
    expect(warning).toMatchObject({ cause: 'sensor-fault/n1/clock' })
    expect(warning!.why).toContain('a clock that said 01:00 on 1970-01-01')
    expect(look([], () => 0, { wrongClock: { ...wrongClock, count: 1 } })).toEqual([])
    expect(
      look([], () => 0, { wrongClock: { ...wrongClock, lastReceivedAtMs: NOW_MS - 4 * HOUR_MS } }),
    ).toEqual([])
  })
})

describe('arrivals of a node’s packs', () => {
  const pack = (receivedAtMs: number, flags: readonly number[]) => ({
    receivedAtMs,
    readings: flags.map((f, i) => ({
      garden: 'home',
      node: 'n1',
      quantity: 'light',
      timeMs: i,
      value: 1,
      flags: f,
    })),
  })

  it('tell how often it usually sends', () => {
    const arrivals = createNodeArrivals()
    expect(arrivals.gapMs('home', 'n1')).toBeNull()
    for (const hour of [0, 1, 2, 3, 9, 10]) arrivals.note(pack(hour * HOUR_MS, [0, 0]))
    expect(arrivals.gapMs('home', 'n1')).toBe(HOUR_MS)
    expect(arrivals.gapMs('home', 'n2')).toBeNull()
  })

  it('count wrong clocks until a pack has a right time in it', () => {
    const arrivals = createNodeArrivals()
    arrivals.note(pack(1000, [FLAG.clock, FLAG.clock]))
    arrivals.note(pack(2000, [FLAG.clock]))
    expect(arrivals.wrongClock('home', 'n1')).toEqual({ count: 3, lastReceivedAtMs: 2000, lastTimeMs: 0 })
    // an old backlog with a good reading at its end
    arrivals.note(pack(3000, [FLAG.clock, 0]))
    expect(arrivals.wrongClock('home', 'n1')).toBeNull()
  })
})
