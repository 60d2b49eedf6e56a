import { describe, expect, it } from 'vitest'
import { createAppendLedger } from '../../hub/garden/append-ledger.js'
import { influenceMs, touchedDays } from '../../hub/garden/day-influence.js'
import type { StoredPlacement } from '../../hub/garden/port.js'
import type { Reading } from '../../hub/store/port.js'
import { localDate } from '../../shared/local-time.js'

const HOUR_MS = 3_600_000
const NOON_MS = Date.parse('2027-05-10T10:00:00Z')
const ZONE = 'Europe/Copenhagen'
const REACH_MS = influenceMs('air-temp')!
/** The dates that see an instant. */
const seenFrom = (firstMs: number, lastMs = firstMs): { bed: string; fromDate: string; toDate: string } => ({
  bed: 'south',
  fromDate: localDate(firstMs - REACH_MS, ZONE),
  toDate: localDate(lastMs + REACH_MS, ZONE),
})

const reading = (timeMs: number, quantity = 'air-temp', node = 'n1'): Reading => ({
  garden: 'home',
  node,
  quantity,
  timeMs,
  value: 1,
  flags: 0,
})
const placed = (bed: string, fromMs: number, toMs: number | null, node = 'n1'): StoredPlacement => ({
  id: `${bed}${fromMs}`,
  node,
  bed,
  fromMs,
  toMs,
})

describe('days that a reading touches', () => {
  it('are its own and those around it that see it through windows and flags', () => {
    expect(touchedDays([reading(NOON_MS)], [placed('south', 0, null)], ZONE)).toEqual([seenFrom(NOON_MS)])
    expect(REACH_MS).toBeGreaterThan(24 * HOUR_MS)
  })

  it('are none for quantities that no day record uses', () => {
    expect(touchedDays([reading(NOON_MS, 'battery')], [placed('south', 0, null)], ZONE)).toEqual([])
  })

  it('are those of the beds where the node stood at about that time', () => {
    const placements = [
      placed('before', 0, NOON_MS - REACH_MS - HOUR_MS),
      placed('south', NOON_MS - REACH_MS - HOUR_MS, NOON_MS + HOUR_MS),
      placed('wall', NOON_MS + HOUR_MS, null),
      placed('other', 0, null, 'n2'),
    ]
    expect(touchedDays([reading(NOON_MS)], placements, ZONE).map((t) => t.bed)).toEqual(['south', 'wall'])
  })

  it('of readings far apart do not fill the time between', () => {
    const later = NOON_MS + 30 * 24 * HOUR_MS
    expect(touchedDays([reading(later), reading(NOON_MS)], [placed('south', 0, null)], ZONE)).toEqual([
      seenFrom(NOON_MS),
      seenFrom(later),
    ])
  })

  it('of a pack full of scattered times are forgotten as one stretch, which does no harm', () => {
    const scattered = Array.from({ length: 1000 }, (_, i) => reading(NOON_MS + i * 10 * REACH_MS))
    expect(touchedDays(scattered, [placed('south', 0, null)], ZONE)).toEqual([
      seenFrom(NOON_MS, NOON_MS + 999 * 10 * REACH_MS),
    ])
  })

  it('stay within the calendar, whatever a clock says', () => {
    const far = touchedDays([reading(8e15), reading(-8e15)], [placed('south', -8.6e15, null)], ZONE)
    for (const { fromDate, toDate } of far) {
      expect([fromDate, toDate].map((date) => date.length)).toEqual([10, 10])
      expect(fromDate <= toDate).toBe(true)
    }
  })

  it('of a backlog join to one stretch', () => {
    const backlog = Array.from({ length: 200 }, (_, i) => reading(NOON_MS + i * HOUR_MS))
    expect(touchedDays(backlog, [placed('south', 0, null)], ZONE)).toEqual([
      seenFrom(NOON_MS, NOON_MS + 199 * HOUR_MS),
    ])
  })
})

describe('the ledger of appends', () => {
  const span = [{ node: 'n1', fromMs: 0, toMs: 100 }]

  it('overtakes computations that run while readings they rest on are stored', () => {
    const ledger = createAppendLedger()
    const before = ledger.beginComputation()
    const end = ledger.beginAppend([reading(50)])
    const during = ledger.beginComputation()
    expect([before.isOvertaken('home', span), during.isOvertaken('home', span)]).toEqual([true, true])
    end()
    const after = ledger.beginComputation()
    expect([before, during, after].map((c) => c.isOvertaken('home', span))).toEqual([true, true, false])
  })

  it('leaves alone what rests on other times, nodes and gardens', () => {
    const ledger = createAppendLedger()
    const computation = ledger.beginComputation()
    ledger.beginAppend([reading(150), reading(50, 'light', 'n2'), { ...reading(50), garden: 'other' }])
    expect(computation.isOvertaken('home', span)).toBe(false)
  })

  it('remembers an append for as long as a computation from before it runs', () => {
    const ledger = createAppendLedger()
    const long = ledger.beginComputation()
    ledger.beginAppend([reading(50)])()
    ledger.beginComputation().end()
    ledger.beginAppend([reading(5000)])()
    expect(long.isOvertaken('home', span)).toBe(true)
  })
})
