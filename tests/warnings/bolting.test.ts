import { describe, expect, it } from 'vitest'
import type { ColdDose } from '../../hub/core/crops/cold-bolting.js'
import { type Dose, doseAgainst } from '../../hub/core/crops/dose.js'
import { findCrop } from '../../hub/core/crops/library.js'
import type { Finding } from '../../hub/warnings/rule.js'
import { coldBolting } from '../../hub/warnings/rules/cold-bolting.js'
import { coldSoil } from '../../hub/warnings/rules/cold-soil.js'
import { heatBolting } from '../../hub/warnings/rules/heat-bolting.js'
import { bedView, contextOf, plantingView } from './rule-context.js'
import { comingWeather } from './weather-ahead.js'

const TODAY = '2027-06-15'
const NO_DOSES = { heat: null, chill: null, warmDays: null }

describe('bolting from warm, long days', () => {
  const hot = findCrop('spinach')!.heatBolting!
  const dose = (days: number, unknown = 0): Dose =>
    doseAgainst(days, 'd', hot.watchDays, hot.likelyDays, unknown)
  const look = (
    days: number,
    more: {
      maximaC?: readonly number[]
      open?: boolean
      stage?: string
      dayLengthHours?: number
      unknown?: number
    } = {},
  ): Finding | null => {
    const { maximaC, open = false, stage = 'leafing', dayLengthHours = 17.5, unknown = 0 } = more
    const view = plantingView('spinach', {
      stage,
      doses: { ...NO_DOSES, warmDays: dose(days, unknown) },
      dayLengthHours,
    })
    const ahead = maximaC ? comingWeather({ today: TODAY, maximaC }) : null
    const bed = bedView({ plantings: [view], ahead })
    const opened = open ? ['heat-bolting/p-spinach'] : []
    return heatBolting.find(contextOf({ beds: [bed], open: opened }))[0] ?? null
  }
  const watch = hot.watchDays.value
  const likely = hot.likelyDays.value

  it('is told from the crop’s limits on, with how long the day is', () => {
    expect(look(watch - 2)).toBeNull()
    expect(look(watch)).toMatchObject({ severity: 'Minor', certainty: 'Possible' })
    expect(look(likely)).toMatchObject({ severity: 'Moderate', certainty: 'Likely', urgency: 'Immediate' })
    expect(look(watch)!.why).toContain('Today is 17.5 h long')
    expect(look(watch)!.advice).toContain('shade does not shorten the day')
  })

  it('is told before, when the forecast takes the dose there', () => {
    const hotDays = [24, 32, 32, 32]
    expect(look(watch - 2, { maximaC: hotDays })).toMatchObject({ urgency: 'Future', certainty: 'Possible' })
    expect(look(watch - 2, { maximaC: hotDays })!.why).toContain(
      'Of the next 3 days about 3 are expected to be so',
    )
    expect(look(watch - 2, { maximaC: [15, 15, 15, 15] })).toBeNull()
    expect(look(watch - 2, { maximaC: hotDays, dayLengthHours: 10 })).toBeNull()
  })

  it('is held when corrected records take a little away, and over when the crop is', () => {
    expect(look(watch * 0.9)).toBeNull()
    expect(look(watch * 0.9, { open: true })).not.toBeNull()
    expect(look(likely, { stage: 'finished' })).toBeNull()
  })

  it('says when readings are missing', () => {
    expect(look(watch, { unknown: 3 })!.why).toContain('On 3 days too few readings came in')
  })
})

describe('bolting from chill', () => {
  const cold = findCrop('cabbage-early')!.coldBolting!
  const look = (
    days: number,
    parts: Partial<ColdDose> = {},
    open = false,
    stage = 'leafing',
  ): Finding | null => {
    const chill: ColdDose = {
      ...doseAgainst(days, 'd', cold.watchDays, cold.likelyDays, 0),
      undoneDays: 0,
      feelsColdFrom: '2027-04-02',
      ...parts,
    }
    const view = plantingView('cabbage-early', { stage, doses: { ...NO_DOSES, chill } })
    const opened = open ? ['cold-bolting/p-cabbage-early'] : []
    return coldBolting.find(contextOf({ beds: [bedView({ plantings: [view] })], open: opened }))[0] ?? null
  }

  it('is told from the crop’s limits on, and since when the plants could feel it', () => {
    expect(look(9)).toBeNull()
    expect(look(10)).toMatchObject({ severity: 'Minor', certainty: 'Possible' })
    expect(look(10)!.why).toContain(
      '10 days of full chill (daily means of 2.0 °C to 8.0 °C count whole) since 2027-04-02',
    )
    expect(look(28)).toMatchObject({ severity: 'Moderate', certainty: 'Likely' })
  })

  it('says what warm days have undone, and holds while they take a little', () => {
    expect(look(10, { undoneDays: 2.5 })!.why).toContain('Warm days have undone 2.5 days of it')
    expect(look(8.5)).toBeNull()
    expect(look(8.5, {}, true)).not.toBeNull()
    expect(look(7.5, {}, true)).toBeNull()
  })

  it('is no matter of what is ready to cut', () => {
    expect(look(28, {}, false, 'ready')).toBeNull()
  })
})

describe('cold soil', () => {
  const crop = findCrop('cabbage-early')!
  const look = (soilMeanC: number, sownOn: string, open = false): Finding | null => {
    const planting = { ...plantingView('cabbage-early').planting, sownOn, plantedOutOn: null }
    const sowing = { planting, crop, name: 'early cabbage', sownOn, soilMeanC }
    const opened = open ? [`cold-soil/${planting.id}`] : []
    return coldSoil.find(contextOf({ beds: [bedView({ sowings: [sowing] })], open: opened }))[0] ?? null
  }

  it('is told before and after sowing, with what to do', () => {
    const before = look(3, '2027-06-17')!
    expect(before).toMatchObject({ severity: 'Moderate', urgency: 'Future', certainty: 'Likely' })
    expect(before.headline).toBe('The soil of South bed is too cold for early cabbage, to be sown in 2 days')
    expect(before.advice).toContain('Wait')
    const after = look(3, '2027-06-14')!
    expect(after.headline).toContain(', sown on 2027-06-14')
    expect(after.advice).toContain('sow again')
  })

  it('that is only slow is a small matter', () => {
    expect(look(8, '2027-06-16')).toMatchObject({ severity: 'Minor', certainty: 'Possible' })
    expect(look(18, '2027-06-16')).toBeNull()
  })

  it('does not flap about its limit', () => {
    expect(look(4.6, '2027-06-14')!.severity).toBe('Minor')
    expect(look(4.6, '2027-06-14', true)!.severity).toBe('Moderate')
  })
})
