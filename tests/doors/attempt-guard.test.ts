/** The law of waiting: no order of guesses, from whatever addresses, gets more tries than the limits allow. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { createAttemptGuard } from '../../hub/doors/attempt-guard.js'
import { DoorError } from '../../hub/doors/port.js'

const HOUR_MS = 3_600_000

function isLet(guard: ReturnType<typeof createAttemptGuard>, address: string): boolean {
  try {
    guard.attempt(address)
    return true
  } catch (error) {
    if (!(error instanceof DoorError)) throw error
    return false
  }
}

describe('wrong attempts', () => {
  it('of one address are fewer than twenty in an hour, however they are timed', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 120_000 }), { maxLength: 300 }), (pausesMs) => {
        let nowMs = 0
        const guard = createAttemptGuard(() => nowMs)
        let tried = 0
        for (const pauseMs of pausesMs) {
          nowMs += pauseMs
          if (nowMs > HOUR_MS) break
          if (isLet(guard, '192.0.2.7')) tried++
        }
        expect(tried).toBeLessThan(20)
      }),
    )
  })

  it('of any number of addresses together are at most two a minute in the long run', () => {
    let nowMs = 0
    const guard = createAttemptGuard(() => nowMs)
    let tried = 0
    for (let i = 0; nowMs < 10 * HOUR_MS; i++) {
      if (isLet(guard, `198.51.${Math.floor(i / 250) % 250}.${i % 250}`)) tried++
      nowMs += 1_000
    }
    expect(tried).toBeLessThan(10 * 60 * 2 + 60)
  })

  it('of one household’s IPv6 addresses count together, those of another apart', () => {
    const guard = createAttemptGuard(() => 0)
    const alike = ['2001:db8::1', '2001:db8::2', '2001:db8:0:0:9::', '2001:db8:0:0:1:2:3:4', '2001:db8::ffff']
    for (const address of alike) expect(isLet(guard, address)).toBe(true)
    expect(isLet(guard, '2001:db8::77')).toBe(false)
    expect(isLet(guard, '2001:db8:0:1::77')).toBe(true)
  })

  it('of an IPv4 address count the same when it is written as IPv6', () => {
    const guard = createAttemptGuard(() => 0)
    for (let i = 0; i < 5; i++) isLet(guard, '::ffff:192.0.2.7')
    expect(isLet(guard, '192.0.2.7')).toBe(false)
  })

  it('do not lock anybody out when the clock is set back', () => {
    let nowMs = 10 * HOUR_MS
    const guard = createAttemptGuard(() => nowMs)
    while (isLet(guard, '192.0.2.7'));
    nowMs = HOUR_MS
    expect(isLet(guard, '192.0.2.7')).toBe(true)
  })

  it('are forgotten with the right one, for that address', () => {
    const guard = createAttemptGuard(() => 0)
    for (let i = 0; i < 4; i++) isLet(guard, '192.0.2.7')
    guard.attempt('192.0.2.7')()
    for (let i = 0; i < 5; i++) expect(isLet(guard, '192.0.2.7')).toBe(true)
    expect(isLet(guard, '192.0.2.7')).toBe(false)
  })
})
