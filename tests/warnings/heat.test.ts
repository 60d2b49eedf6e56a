import { describe, expect, it } from 'vitest'
import type { Finding } from '../../hub/warnings/rule.js'
import { looseHeads } from '../../hub/warnings/rules/loose-heads.js'
import { warmSpell } from '../../hub/warnings/rules/warm-spell.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import { bedView, contextOf, daysEnding, plantingView } from './rule-context.js'

const TODAY = '2027-06-15'
const heading = (crop = 'cabbage-early', headingDays: DayRecord[] = []) =>
  plantingView(crop, { stage: 'heading', headingDays })

describe('a warm spell', () => {
  const look = (
    maximaC: readonly (number | null)[],
    more: { plantings?: ReturnType<typeof plantingView>[]; open?: boolean; rest?: Partial<DayRecord> } = {},
  ): Finding | null => {
    const { plantings = [heading()], open = false, rest } = more
    const bed = bedView({ plantings, days: daysEnding(TODAY, maximaC, rest) })
    return warmSpell.find(contextOf({ beds: [bed], open: open ? ['warm-spell/south'] : [] }))[0] ?? null
  }

  it('is three days in a row above the crop’s limit', () => {
    expect(look([20, 28, 28, 26])).toBeNull()
    expect(look([20, 28, 29, 28])).toMatchObject({
      severity: 'Moderate',
      urgency: 'Immediate',
      certainty: 'Observed',
      planting: 'p-cabbage-early',
    })
  })

  it('is told in the morning too, before today has warmed up', () => {
    expect(look([28, 29, 28, 18])).toMatchObject({ urgency: 'Expected' })
  })

  it('is over when yesterday was cool', () => {
    expect(look([28, 29, 28, 20, 18])).toBeNull()
  })

  it('is severe from two days far above the limit on, even before the third', () => {
    expect(look([20, 30.5, 31])).toMatchObject({ severity: 'Severe' })
    expect(look([20, 28, 28, 28], { rest: { airTempMinC: 20.5 } })).toMatchObject({ severity: 'Severe' })
  })

  it('matters only while something forms that heat can spoil', () => {
    expect(look([29, 29, 29], { plantings: [plantingView('cabbage-early')] })).toBeNull()
    expect(look([29, 29, 29], { plantings: [plantingView('spinach')] })).toBeNull()
    expect(look([29, 29, 29], { plantings: [] })).toBeNull()
  })

  it('goes by the most sensitive planting of the bed and names them all', () => {
    const plantings = [heading('brussels-sprouts'), heading('lettuce-head')]
    const warning = look([26.5, 26.5, 26.5], { plantings })!
    expect(warning.planting).toBeNull()
    expect(warning.headline).toContain('brussels sprouts and lettuce, heading')
    expect(warning.why).toContain('above 26.0 °C')
  })

  it('holds while the days stay within a degree of the limit once it is open', () => {
    expect(look([28, 28, 28, 26.5, 18], { open: true })).not.toBeNull()
    expect(look([28, 28, 28, 25.5, 18], { open: true })).toBeNull()
  })

  it('is not made of days without readings', () => {
    expect(look([28, null, 28, 28])).toBeNull()
  })

  it('says how hot, for how long, and warns people too', () => {
    const warm = daysEnding(TODAY, [28, 29.4, 28], { heatHours: 4.2 })
    const warning = look([28, 29.4, 28], { plantings: [heading('cabbage-early', warm)] })!
    expect(warning.why).toContain(
      '3 days in a row above 27.0 °C up to today, the hottest 29.4 °C, 12.5 h in all',
    )
    expect(warning.advice).toMatch(/shade cloth.*Work in the cool hours/is)
  })
})

describe('the dose of heat while heads form', () => {
  const look = (heatHours: readonly (number | null)[], open = false, airCoverage = 1): Finding | null => {
    const days = heatHours.map((h, i) => ({
      ...daysEnding(`2027-06-${10 + i}`, [28])[0]!,
      heatHours: h,
      airCoverage,
    }))
    const bed = bedView({ plantings: [heading('cabbage-early', days)] })
    const context = contextOf({ beds: [bed], open: open ? ['loose-heads/p-cabbage-early'] : [] })
    return looseHeads.find(context)[0] ?? null
  }

  it('is worth a look from the crop’s first limit on, and likely to harm from the second', () => {
    expect(look([7, 7])).toBeNull()
    expect(look([7, 8])).toMatchObject({ severity: 'Minor', certainty: 'Possible', urgency: 'Expected' })
    expect(look([15, 15, 15])).toMatchObject({ severity: 'Moderate', certainty: 'Likely' })
  })

  it('says how much of what since when, and where the limit comes from', () => {
    const { headline, why } = look([10, 10])!
    expect(headline).toBe('Loose, puffy heads and tip burn are possible: cabbage, early in South bed')
    expect(why).toContain('20.0 h above 27.0 °C since 2027-06-10')
    expect(why).toContain('at about 45 h (a first guess)')
  })

  it('says when readings are missing', () => {
    expect(look([10, 10])!.why).not.toContain('too few readings')
    expect(look([10, 10], false, 0.5)!.why).toContain('On 2 days too few readings came in')
    expect(look([null, null])).toBeNull()
  })

  it('holds when corrected records take a little away', () => {
    expect(look([6, 7])).toBeNull()
    expect(look([6, 7], true)).not.toBeNull()
    expect(look([5, 5], true)).toBeNull()
  })

  it('is not worth a second warning while a warm spell is told of, until harm is likely', () => {
    const during = (heatHours: readonly number[], open: readonly string[] = []): Finding[] => {
      const days = daysEnding(
        TODAY,
        heatHours.map(() => 29),
      ).map((day, i) => ({ ...day, heatHours: heatHours[i]! }))
      const bed = bedView({ days, plantings: [heading('cabbage-early', days)] })
      return looseHeads.find(contextOf({ beds: [bed], open }))
    }
    expect(during([8, 8, 8])).toEqual([])
    expect(during([8, 8, 8], ['loose-heads/p-cabbage-early'])).toHaveLength(1)
    expect(during([16, 16, 16])).toHaveLength(1)
  })

  it('is no matter of crops without a limit', () => {
    const bed = bedView({
      plantings: [plantingView('kale', { headingDays: daysEnding(TODAY, [35], { heatHours: 99 }) })],
    })
    expect(looseHeads.find(contextOf({ beds: [bed] }))).toEqual([])
  })
})
