/**
 * Each published daily method beside the integral over the readings, on whole seasons of measured temperature. Held is what
 * such comparisons find: sine and triangle follow a season to within a few per cent. The table: npm run accuracy.
 */
import { describe, expect, test } from 'vitest'
import { methodsBesideIntegral } from '../accuracy/degree-day-methods.js'
import { hasReferenceData, skipNote } from '../support/reference-data.js'

/** Reading months of minutes takes a while on a busy machine. */
const READING_TIMEOUT_MS = 120_000

describe.skipIf(!hasReferenceData)(`daily methods beside the integral${skipNote}`, () => {
  test(
    'sine and triangle are within 4 % of it over whole seasons',
    async () => {
      for (const { file, offPercent } of await methodsBesideIntegral()) {
        for (const method of ['sine', 'double-sine', 'triangle', 'double-triangle'] as const) {
          expect(Math.abs(offPercent.get(method)!), `${method}, ${file}`).toBeLessThan(4)
        }
      }
    },
    READING_TIMEOUT_MS,
  )
})
