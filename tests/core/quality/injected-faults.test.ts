/**
 * Faults put into real records at random places: how many the quality checks find, and that what is not a fault is left in.
 * The places are drawn by a fixed generator, so that a failure can be repeated.
 */
import { describe, expect, test } from 'vitest'
import { contextFlags } from '../../../hub/core/quality/context-checks.js'
import type { ReadingColumns } from '../../../hub/core/readings.js'
import { EXCLUDING_FLAGS, isGood } from '../../../shared/quality-flags.js'
import { loadSubdaily, readingsOf, type SubdailyFile } from '../../support/measured-readings.js'
import { hasReferenceData, skipNote } from '../../support/reference-data.js'

/** Reading months of minutes takes a while on a busy machine. */
const READING_TIMEOUT_MS = 120_000

const RECORDS: readonly [SubdailyFile, column: string, quantity: string][] = [
  ['dtu-lyngby-1min/dtu_2016_05', 'air_temp_c', 'air-temp'],
  ['sml2010-15min/sml2010-1', 'air_temp_c', 'air-temp'],
  ['tharandt-30min/tharandt-1998', 'air_temp_c', 'air-temp'],
  ['tharandt-30min/tharandt-1998', 'soil_temp_c', 'soil-temp'],
  ['winters-hourly/winters-2008', 'air_temp_c', 'air-temp'],
]

/** Park & Miller's minimal standard generator. */
function generator(seed: number): () => number {
  let state = seed
  return () => {
    state = (state * 48_271) % 2_147_483_647
    return state / 2_147_483_647
  }
}

/** Places at least so many readings apart, none near the ends. */
function places(n: number, apart: number, random: () => number): number[] {
  const found: number[] = []
  for (let i = apart; i < n - 2 * apart; i += apart + Math.floor(random() * apart)) found.push(i)
  return found
}

const copyOf = ({ timeMs, value, flags }: ReadingColumns): ReadingColumns => ({
  timeMs,
  value: Float64Array.from(value),
  flags: Uint16Array.from(flags),
})

interface Outcome {
  readonly found: number
  readonly put: number
  /** good readings thrown out with the bad */
  readonly bystanders: number
}

/** Puts faults in and counts; `fault` returns the readings it spoilt. */
function outcome(
  quantity: string,
  clean: ReadingColumns,
  fault: (spoilt: ReadingColumns) => number[],
): Outcome {
  const spoilt = copyOf(clean)
  const bad = new Set(fault(spoilt))
  const flags = contextFlags(quantity, spoilt)
  let found = 0
  let bystanders = 0
  for (const [i, bits] of flags.entries()) {
    if ((bits & EXCLUDING_FLAGS) === 0) continue
    if (bad.has(i)) found++
    else if (isGood(clean.flags[i]!)) bystanders++
  }
  return { found, put: bad.size, bystanders }
}

describe.skipIf(!hasReferenceData)(`faults put into measured records${skipNote}`, () => {
  test.each(RECORDS)(
    '%s %s',
    async (file, column, quantity) => {
      const clean = readingsOf(await loadSubdaily(file), column, quantity)
      const n = clean.timeMs.length
      const spikes = (size: number, readings: number) =>
        outcome(quantity, clean, (spoilt) => {
          const random = generator(size * 10 + readings)
          return places(n, 40, random).flatMap((at) => {
            const by = random() < 0.5 ? size : -size
            return Array.from({ length: readings }, (_, k) => {
              spoilt.value[at + k] = spoilt.value[at + k]! + by
              return at + k
            })
          })
        })
      const one = spikes(20, 1)
      const three = spikes(20, 3)
      const zeros = outcome(quantity, clean, (spoilt) =>
        places(n, 40, generator(7)).filter((at) => {
          if (Math.min(...[-1, 0, 1].map((k) => Math.abs(clean.value[at + k]!))) < 8) return false
          spoilt.value[at] = 0
          return true
        }),
      )
      const fronts = outcome(quantity, clean, (spoilt) => {
        // every few days the whole record falls or rises by twelve degrees within one reading and stays
        let shift = 0
        let next = 200
        for (let i = 0; i < n; i++) {
          if (i === next) {
            shift = shift === 0 ? -12 : 0
            next += 200
          }
          spoilt.value[i] = spoilt.value[i]! + shift
        }
        return []
      })
      const percent = ({ found, put }: Outcome): string =>
        put === 0 ? 'none to find' : `${((100 * found) / put).toFixed(1)} % of ${put}`
      console.log(
        `${file} ${quantity}: spikes of 20 °C found ${percent(one)}, of three readings ${percent(three)}, zeros ${percent(zeros)}; good readings lost ${one.bystanders + three.bystanders + zeros.bystanders}, to fronts ${fronts.bystanders}`,
      )
      expect(one.found / one.put).toBeGreaterThan(0.98)
      // three hours of hourly readings are too long to tell from weather
      if (!file.includes('hourly')) expect(three.found / three.put).toBeGreaterThan(0.95)
      if (zeros.put > 0) expect(zeros.found / zeros.put).toBeGreaterThan(0.98)
      expect(one.bystanders + three.bystanders + zeros.bystanders).toBe(0)
      expect(fronts.bystanders).toBe(0)
    },
    READING_TIMEOUT_MS,
  )
})
