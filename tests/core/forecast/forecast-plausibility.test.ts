import { describe, expect, it } from 'vitest'
import { whyImplausible } from '../../../hub/core/forecast/forecast-plausibility.js'

const HOUR_MS = 3_600_000
const hourly = (values: readonly number[], stepHours = 1) =>
  values.map((airTempC, i) => ({ validAtMs: i * stepHours * HOUR_MS, airTempC }))
const day = Array.from({ length: 24 }, (_, hour) => 12 + 6 * Math.sin((2 * Math.PI * (hour - 9)) / 24))

describe('a public forecast', () => {
  it('is listened to when nothing speaks against it', () => {
    expect(whyImplausible(hourly(day))).toBeNull()
    expect(whyImplausible(hourly([10, 22, 9, 21], 6))).toBeNull()
    expect(whyImplausible(hourly([15, 15, 15, 15, 16, 16, 16]))).toBeNull()
  })

  it.each([
    ['it is empty', [], /empty/],
    ['a value is missing', [12, Number.NaN], /missing/],
    ['it is in other units', [285, 286], /285 °C/],
    ['it jumps', [12, 40], /from 12 to 40 °C within 1 h/],
    ['it hangs', new Array<number>(25).fill(15), /hang/],
  ])('is refused where %s', (_, values, reason) => {
    expect(whyImplausible(hourly(values))).toMatch(reason)
  })

  it('is refused where its times do not run forwards', () => {
    expect(whyImplausible(hourly(day).reverse())).toMatch(/forwards/)
  })
})
