import { describe, expect, it } from 'vitest'
import { createRefusalLog } from '../../hub/ingest/refusal-log.js'
import type { Refusal } from '../../hub/ingest/stored-readings.js'

const refusal = (garden: string, node: string | null, atMs = 0): Refusal => ({
  garden,
  node,
  reason: 'not-json',
  message: 'no',
  atMs,
  excerpt: 'x',
})

describe('the log of refusals', () => {
  it('counts by node and reason and keeps the latest', () => {
    const log = createRefusalLog()
    log.add(refusal('home', 'a', 1))
    log.add({ ...refusal('home', 'a', 2), reason: 'unit' })
    log.add(refusal('home', 'b', 3))
    log.add(refusal('home', null, 4))
    expect(log.of('home', 'a')).toMatchObject({
      total: 2,
      byReason: { 'not-json': 1, unit: 1 },
      latest: { atMs: 2 },
    })
    expect(log.of('home', 'never')).toEqual({ total: 0, byReason: {}, latest: null })
    expect(log.nodes('home')).toEqual(['a', 'b'])
    expect(log.nodes('hom')).toEqual([])
    expect(log.totals()).toEqual({ 'not-json': 3, unit: 1 })
  })

  it('stays of a bounded size when anyone makes names up', () => {
    const log = createRefusalLog()
    log.add(refusal('home', 'real'))
    for (let i = 0; i < 10_000; i++) log.add(refusal('home', `made-up-${i}`))
    expect(log.nodes('home').length).toBeLessThanOrEqual(2_000)
    log.add(refusal('home', 'real'))
    expect(log.of('home', 'real').total).toBe(2)
    expect(log.totals()['not-json']).toBe(10_002)
    // what has no entry of its own is not forgotten
    expect(log.of('home', null).total).toBeGreaterThan(7_000)
  })
})
