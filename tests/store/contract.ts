/**
 * What every store adapter must do. An adapter's test calls `storeContract(name, open)`; `open` gives an empty
 * store each time. The expectations are worked out here, from all readings at once, by the plainest means.
 */
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { holdWeights } from '../../hub/core/quality/completeness.js'
import { contextFlags } from '../../hub/core/quality/context-checks.js'
import type { Reading, ReadingStore, SeriesKey, StepColumns } from '../../hub/store/port.js'
import { FLAG, isGood } from '../../shared/quality-flags.js'
import { maxHoldMs } from '../../shared/quantities.js'

const HOUR_MS = 3_600_000
const MINUTE_MS = 60_000
/** 2027-05-01T00:00:00Z */
const MAY_MS = Date.UTC(2027, 4, 1)

export const air: SeriesKey = { garden: 'home', node: 'bed-a', quantity: 'air-temp' }
const light: SeriesKey = { garden: 'home', node: 'bed-a', quantity: 'light' }
const elsewhere: SeriesKey = { garden: 'allotment', node: 'bed-a', quantity: 'air-temp' }

export const reading = (series: SeriesKey, timeMs: number, value: number, flags = 0): Reading => ({
  ...series,
  timeMs,
  // no thermometer tells −0 from 0, and a store need not
  value: value + 0,
  flags,
})

const plainDay = (series: SeriesKey, days = 1, everyMs = MINUTE_MS): Reading[] =>
  Array.from({ length: (days * 24 * HOUR_MS) / everyMs }, (_, i) => {
    const timeMs = MAY_MS + i * everyMs
    return reading(
      series,
      timeMs,
      15 + 8 * Math.sin((timeMs / (24 * HOUR_MS)) * 2 * Math.PI) + (i % 7) * 0.05,
    )
  })

/** Steps by going through all readings of the series, once. */
function plainSteps(all: readonly Reading[], fromMs: number, toMs: number, stepMs: number): StepColumns {
  const sorted = [...all].sort((a, b) => a.timeMs - b.timeMs)
  const timeMs = Float64Array.from(sorted, (r) => r.timeMs)
  const value = Float64Array.from(sorted, (r) => r.value)
  const quantity = sorted[0]?.quantity ?? 'air-temp'
  const flags = contextFlags(quantity, { timeMs, value, flags: Uint16Array.from(sorted, (r) => r.flags) })
  const weights = holdWeights(timeMs, flags, maxHoldMs(quantity))
  const n = Math.ceil((toMs - fromMs) / stepMs)
  const rows = Array.from({ length: n }, (_, step) => {
    const start = fromMs + step * stepMs
    const end = Math.min(start + stepMs, toMs)
    const inside = sorted
      .map((r, i) => ({ value: r.value, timeMs: r.timeMs, weight: weights[i]!, good: isGood(flags[i]!) }))
      .filter((r) => r.good && r.timeMs >= start && r.timeMs < end)
    const covered = inside.reduce((sum, r) => sum + r.weight, 0)
    return {
      start,
      min: inside.length ? Math.min(...inside.map((r) => r.value)) : Number.NaN,
      max: inside.length ? Math.max(...inside.map((r) => r.value)) : Number.NaN,
      mean: inside.length ? inside.reduce((sum, r) => sum + r.value * r.weight, 0) / covered : Number.NaN,
      count: inside.length,
      covered: Math.min(covered, stepMs),
    }
  })
  return {
    stepMs,
    startMs: Float64Array.from(rows, (r) => r.start),
    min: Float64Array.from(rows, (r) => r.min),
    max: Float64Array.from(rows, (r) => r.max),
    mean: Float64Array.from(rows, (r) => r.mean),
    count: Uint32Array.from(rows, (r) => r.count),
    coveredMs: Float64Array.from(rows, (r) => r.covered),
  }
}

/** Means are sums taken in another order: equal to the 9th digit. All else is equal to the bit. */
function expectSameSteps(got: StepColumns, expected: StepColumns): void {
  expect(got.stepMs).toBe(expected.stepMs)
  expect([...got.startMs]).toEqual([...expected.startMs])
  expect([...got.count]).toEqual([...expected.count])
  expect([...got.min]).toEqual([...expected.min])
  expect([...got.max]).toEqual([...expected.max])
  expect([...got.coveredMs]).toEqual([...expected.coveredMs])
  for (const [i, mean] of expected.mean.entries()) {
    if (Number.isNaN(mean)) expect(got.mean[i]).toBeNaN()
    else expect(Math.abs(got.mean[i]! - mean)).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(mean)))
  }
}

export interface ContractSubject {
  readonly store: ReadingStore
  /** brings roll-ups up to date, where the adapter has them */
  settle?(): Promise<void>
  dispose(): Promise<void>
}

export function storeContract(name: string, open: () => Promise<ContractSubject>): void {
  describe(`${name} as a store of readings`, () => {
    let subject: ContractSubject
    let store: ReadingStore
    beforeEach(async () => {
      subject = await open()
      store = subject.store
    })
    afterEach(() => subject.dispose())

    it('gives back what was stored, ascending, whatever the order it came in', async () => {
      await store.append(
        [reading(air, MAY_MS + 2000, 12.5), reading(air, MAY_MS, 12), reading(air, MAY_MS + 1000, 11.9)],
        MAY_MS,
      )
      const got = await store.readRange(air, MAY_MS, MAY_MS + 10_000)
      expect([...got.timeMs]).toEqual([MAY_MS, MAY_MS + 1000, MAY_MS + 2000])
      expect([...got.value]).toEqual([12, 11.9, 12.5])
      expect([...got.flags]).toEqual([0, 0, 0])
    })

    it('keeps every bit of a value and of a flag set', async () => {
      const flags = FLAG.range | FLAG.clock | FLAG.ceiling
      const values = [Math.PI, -Number.MIN_VALUE, Number.MAX_VALUE, -0, 54612.5]
      const odd = { ...air, quantity: 'co2' }
      await store.append(
        values.map((value, i) => reading(odd, MAY_MS + i, value, flags)),
        MAY_MS,
      )
      const got = await store.readRange(odd, MAY_MS, MAY_MS + 10)
      expect([...got.value].map(Math.abs)).toEqual(values.map(Math.abs))
      expect([...got.flags]).toEqual(values.map(() => flags))
    })

    it('takes the start of a range in and leaves its end out', async () => {
      await store.append(
        [0, 1, 2, 3].map((i) => reading(air, MAY_MS + i, i)),
        MAY_MS,
      )
      expect([...(await store.readRange(air, MAY_MS + 1, MAY_MS + 3)).value]).toEqual([1, 2])
      expect(await store.countRange(air, MAY_MS + 1, MAY_MS + 3)).toBe(2)
    })

    it('answers an unknown series, and an empty range, with nothing, again and again', async () => {
      for (let i = 0; i < 3; i++) {
        const got = await store.readRange(air, MAY_MS, MAY_MS + HOUR_MS)
        expect(got.timeMs).toHaveLength(0)
        expect(await store.countRange(air, MAY_MS, MAY_MS + HOUR_MS)).toBe(0)
      }
      const steps = await store.readSteps(air, MAY_MS, MAY_MS + 2 * HOUR_MS, HOUR_MS)
      expect([...steps.count]).toEqual([0, 0])
      expect([...steps.mean]).toEqual([Number.NaN, Number.NaN])
      expect([...steps.coveredMs]).toEqual([0, 0])
      expect(await store.latest('home')).toEqual([])
      expect(await store.listSeries('home')).toEqual([])
    })

    it('counts a second delivery as repeated and keeps the first value', async () => {
      expect(await store.append([reading(air, MAY_MS, 10), reading(air, MAY_MS + 1, 11)], MAY_MS)).toEqual({
        stored: 2,
        repeated: 0,
      })
      expect(
        await store.append([reading(air, MAY_MS + 1, 99), reading(air, MAY_MS + 2, 12)], MAY_MS + 5),
      ).toEqual({ stored: 1, repeated: 1 })
      expect([...(await store.readRange(air, MAY_MS, MAY_MS + 9)).value]).toEqual([10, 11, 12])
      expect(await store.append([], MAY_MS)).toEqual({ stored: 0, repeated: 0 })
    })

    it('keeps gardens, nodes and quantities apart', async () => {
      await store.append(
        [reading(air, MAY_MS, 1), reading(light, MAY_MS, 2), reading(elsewhere, MAY_MS, 3)],
        MAY_MS,
      )
      for (const [series, value] of [
        [air, 1],
        [light, 2],
        [elsewhere, 3],
      ] as const) {
        expect([...(await store.readRange(series, MAY_MS, MAY_MS + 1)).value]).toEqual([value])
      }
      expect((await store.listSeries('home')).map((s) => s.quantity)).toEqual(['air-temp', 'light'])
      expect(await store.listSeries('allotment')).toEqual([
        { ...elsewhere, count: 1, firstMs: MAY_MS, lastMs: MAY_MS },
      ])
    })

    it('refuses a time that is not whole ms and a value that is not finite, and stores nothing of that call', async () => {
      await expect(
        store.append([reading(air, MAY_MS, 1), reading(air, MAY_MS + 0.5, 1)], MAY_MS),
      ).rejects.toThrow(RangeError)
      await expect(store.append([reading(air, MAY_MS, Number.NaN)], MAY_MS)).rejects.toThrow(RangeError)
      expect(await store.countRange(air, 0, MAY_MS * 2)).toBe(0)
    })

    it('names the newest reading of every series, late ones and wrong clocks notwithstanding', async () => {
      await store.append([reading(air, MAY_MS + 1000, 12), reading(light, MAY_MS, 300)], MAY_MS + 2000)
      await store.append(
        [reading(air, MAY_MS - HOUR_MS, 9), reading(air, MAY_MS + 400 * HOUR_MS, 50, FLAG.clock)],
        MAY_MS + 3000,
      )
      expect(await store.latest('home')).toEqual([
        { ...air, timeMs: MAY_MS + 1000, value: 12, flags: 0, receivedAtMs: MAY_MS + 2000 },
        { ...light, timeMs: MAY_MS, value: 300, flags: 0, receivedAtMs: MAY_MS + 2000 },
      ])
    })

    it('merges flags that only neighbours show into what it reads', async () => {
      const leap = plainDay(air).map((r, i) => (i === 700 ? { ...r, value: 55 } : r))
      await store.append(leap, MAY_MS)
      // the range holds the leap alone; its neighbours are found all the same
      const got = await store.readRange(air, leap[700]!.timeMs, leap[700]!.timeMs + 1)
      expect(got.flags[0]! & FLAG.step).toBe(FLAG.step)
      const steps = await store.readSteps(air, MAY_MS, MAY_MS + 24 * HOUR_MS, HOUR_MS)
      expect(Math.max(...steps.max)).toBeLessThan(24)
    })

    it('gives the same steps before and after its roll-ups are settled', async () => {
      const all = plainDay(air, 6)
      await store.append(all, MAY_MS)
      const ask = (): Promise<StepColumns> =>
        store.readSteps(air, MAY_MS, MAY_MS + 6 * 24 * HOUR_MS, 6 * HOUR_MS)
      const before = await ask()
      await subject.settle?.()
      const after = await ask()
      expect(after).toEqual(before)
      expectSameSteps(after, plainSteps(all, MAY_MS, MAY_MS + 6 * 24 * HOUR_MS, 6 * HOUR_MS))
    })

    it('changes settled steps when a late reading changes what its neighbours are worth', async () => {
      const all = plainDay(air, 6).map((r, i) => (i === 2000 ? { ...r, value: 40 } : r))
      const late = [...all.slice(1995, 2000), ...all.slice(2001, 2006)]
      const early = all.filter((r) => !late.includes(r))
      await store.append(early, MAY_MS)
      await subject.settle?.()
      await store.append(late, MAY_MS + HOUR_MS)
      const range = [MAY_MS, MAY_MS + 6 * 24 * HOUR_MS, 2 * HOUR_MS] as const
      expectSameSteps(await store.readSteps(air, ...range), plainSteps(all, ...range))
      await subject.settle?.()
      expectSameSteps(await store.readSteps(air, ...range), plainSteps(all, ...range))
    })

    it('cuts hours where steps do not start on the hour', async () => {
      const all = plainDay(air, 8, 5 * MINUTE_MS)
      await store.append(all, MAY_MS)
      await subject.settle?.()
      for (const range of [
        [MAY_MS + 30 * MINUTE_MS, MAY_MS + 4 * 24 * HOUR_MS, 24 * HOUR_MS],
        [MAY_MS + 17 * MINUTE_MS, MAY_MS + 8 * 24 * HOUR_MS, 90 * MINUTE_MS],
        [MAY_MS - 50 * HOUR_MS, MAY_MS + 20 * 24 * HOUR_MS, 77 * HOUR_MS + 1],
        [MAY_MS, MAY_MS + 24 * HOUR_MS, 7 * MINUTE_MS],
        [MAY_MS, MAY_MS + 47.4 * HOUR_MS, 2 * HOUR_MS],
      ] as const) {
        expectSameSteps(await store.readSteps(air, ...range), plainSteps(all, ...range))
      }
    })

    it('refuses steps that make no sense', async () => {
      await expect(store.readSteps(air, 0, HOUR_MS, 0)).rejects.toThrow(RangeError)
      await expect(store.readSteps(air, 0, Number.MAX_SAFE_INTEGER, 1)).rejects.toThrow(RangeError)
    })

    it('deletes a range and forgets it in steps, counts and the latest', async () => {
      const all = plainDay(air, 6)
      await store.append(all, MAY_MS)
      await subject.settle?.()
      const from = MAY_MS + 50 * HOUR_MS + 1
      const to = MAY_MS + 60 * HOUR_MS + 7
      const left = all.filter((r) => r.timeMs < from || r.timeMs >= to)
      expect(await store.deleteRange(air, from, to)).toBe(all.length - left.length)
      expect(await store.deleteRange(air, from, to)).toBe(0)
      const range = [MAY_MS, MAY_MS + 6 * 24 * HOUR_MS, HOUR_MS] as const
      expectSameSteps(await store.readSteps(air, ...range), plainSteps(left, ...range))
      await subject.settle?.()
      expectSameSteps(await store.readSteps(air, ...range), plainSteps(left, ...range))
      expect(await store.countRange(air, MAY_MS - 1, MAY_MS + 40 * 24 * HOUR_MS)).toBe(left.length)
      expect((await store.listSeries('home'))[0]?.count).toBe(left.length)

      expect(await store.deleteRange(air, 0, MAY_MS * 2)).toBe(left.length)
      expect(await store.latest('home')).toEqual([])
      expect(await store.listSeries('home')).toEqual([])
      // a deleted reading may come again
      expect(await store.append([all[0]!], MAY_MS)).toEqual({ stored: 1, repeated: 0 })
    })

    const someReadings = fc.array(
      fc.record({
        series: fc.constantFrom(air, light, elsewhere, { ...air, quantity: 'battery' }),
        minute: fc.integer({ min: 0, max: 9 * 24 * 60 }),
        value: fc.oneof(fc.integer({ min: -5, max: 40 }), fc.double({ min: -5, max: 40, noNaN: true })),
        flags: fc.constantFrom(0, 0, 0, FLAG.range, FLAG.clock, FLAG.ceiling),
      }),
      { minLength: 1, maxLength: 400 },
    )

    it('is the same for any order, any grouping and any number of deliveries', async () => {
      let garden = 0
      await fc.assert(
        fc.asyncProperty(someReadings, fc.integer(), async (rows, seed) => {
          // one value a key, as a node would send; two gardens a run keep the runs apart
          const unique = new Map(rows.map((r) => [`${r.series.quantity} ${r.minute}`, r]))
          const make = (name: string): Reading[] =>
            [...unique.values()].map((r) =>
              reading({ ...r.series, garden: name }, MAY_MS + r.minute * MINUTE_MS, r.value, r.flags),
            )
          const ordered = make(`once-${garden}`)
          const shuffled = shuffle([...make(`often-${garden}`), ...make(`often-${garden}`)], seed)
          garden++
          await store.append(ordered, MAY_MS)
          for (let i = 0; i < shuffled.length; i += 37) {
            await store.append(shuffled.slice(i, i + 37), MAY_MS)
            if (i % 3 === 0) await subject.settle?.()
          }
          for (const series of await store.listSeries(ordered[0]!.garden)) {
            const twin = { ...series, garden: shuffled[0]!.garden }
            const range = [MAY_MS, MAY_MS + 10 * 24 * HOUR_MS] as const
            expect(await store.readRange(twin, ...range)).toEqual(await store.readRange(series, ...range))
            const mine = ordered.filter((r) => r.quantity === series.quantity && r.node === series.node)
            for (const stepMs of [HOUR_MS, 24 * HOUR_MS]) {
              const steps = await store.readSteps(twin, ...range, stepMs)
              expect(steps).toEqual(await store.readSteps(series, ...range, stepMs))
              expectSameSteps(steps, plainSteps(mine, ...range, stepMs))
            }
          }
        }),
        { numRuns: 25 },
      )
    })

    it('answers STORE_CLOSED after closing, and closing twice is no error', async () => {
      await store.close()
      await store.close()
      await expect(store.append([reading(air, MAY_MS, 1)], MAY_MS)).rejects.toMatchObject({
        name: 'StoreError',
        code: 'STORE_CLOSED',
        retryable: false,
      })
      await expect(store.latest('home')).rejects.toMatchObject({ code: 'STORE_CLOSED' })
    })
  })
}

/** Fisher and Yates, with a small generator so that a failing case can be run again. */
function shuffle<T>(items: T[], seed: number): T[] {
  let state = seed | 0
  const next = (): number => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) | 0
    return (state >>> 0) / 2 ** 32
  }
  for (let i = items.length - 1; i > 0; i--) {
    const j = Math.floor(next() * (i + 1))
    ;[items[i], items[j]] = [items[j]!, items[i]!]
  }
  return items
}
