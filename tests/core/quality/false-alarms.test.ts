/**
 * The quality checks on real records of well-kept stations: what is known to be wrong is caught, and next to nothing else
 * is touched. The limits of context-checks.ts were set on these files.
 */
import { describe, expect, test } from 'vitest'
import { FLAG, flagNames } from '../../../shared/quality-flags.js'
import { loadSubdaily, readingsOf, SUBDAILY_FILES } from '../../support/measured-readings.js'
import { hasReferenceData, loadTruth, skipNote } from '../../support/reference-data.js'

/** Reading months of minutes takes a while on a busy machine. */
const READING_TIMEOUT_MS = 120_000

/** columns that are what a node in the open would measure; façades, indoor lamps and forecasts are not */
const COLUMNS: Readonly<Record<string, string>> = {
  air_temp_c: 'air-temp',
  air_temp_gappy_c: 'air-temp',
  soil_temp_c: 'soil-temp',
  soil2_c: 'soil-temp',
  ghi_w_m2: 'irradiance',
  lux: 'light',
  rel_humidity_pct: 'humidity',
}

describe.skipIf(!hasReferenceData)(`quality checks on measured records${skipNote}`, () => {
  test(
    'every known fault is caught, and no other reading is left out',
    async () => {
      const known = new Set(
        (await loadTruth('known-faults.csv')).map(
          (row) => `${row.file} ${row.column} ${Date.parse(row.time_utc!)}`,
        ),
      )
      expect(known.size).toBeGreaterThan(0)
      const caught = new Set<string>()
      const falseAlarms: string[] = []
      const table: string[] = []
      for (const file of SUBDAILY_FILES) {
        const tidy = await loadSubdaily(file)
        const name = `${file.split('/')[1]}.tidy.csv${file.startsWith('us-crt') ? '' : '.gz'}`
        for (const [column, quantity] of Object.entries(COLUMNS)) {
          const { timeMs, value, flags } = readingsOf(tidy, column, quantity)
          if (timeMs.length === 0) continue
          const counts: Record<string, number> = {}
          for (const [i, bits] of flags.entries()) {
            for (const flag of flagNames(bits)) counts[flag] = (counts[flag] ?? 0) + 1
            if ((bits & ~FLAG.ceiling) === 0) continue
            const key = `${name} ${column} ${timeMs[i]}`
            if (known.has(key)) caught.add(key)
            else {
              falseAlarms.push(
                `${file} ${column} ${new Date(timeMs[i]!).toISOString()} ${value[i]}: ${flagNames(bits).join(', ')}`,
              )
            }
          }
          const flagged = Object.entries(counts).map(([flag, n]) => `${n} ${flag}`)
          table.push(`${file} ${column}: ${timeMs.length} readings, ${flagged.join(', ') || 'none flagged'}`)
        }
      }
      console.log(table.join('\n'))
      expect([...caught].sort()).toEqual([...known].sort())
      expect(falseAlarms).toEqual([])
    },
    READING_TIMEOUT_MS,
  )
})
