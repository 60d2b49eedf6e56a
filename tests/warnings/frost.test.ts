import { describe, expect, it } from 'vitest'
import { coolingCurveC, nightOutlook } from '../../hub/warnings/night-cooling.js'
import type { Finding } from '../../hub/warnings/rule.js'
import { frost } from '../../hub/warnings/rules/frost.js'
import { FLAG } from '../../shared/quality-flags.js'
import { bedView, columns, contextOf, HOUR_MS, MINUTE_MS, plantingView } from './rule-context.js'

/** 03:00 on a night in March */
const NIGHT_MS = Date.parse('2027-03-20T02:00:00Z')
const SUNSET_MS = Date.parse('2027-03-19T17:25:00Z')
const SUNRISE_MS = Date.parse('2027-03-20T05:10:00Z')

interface Night {
  readonly airC?: readonly number[]
  readonly plantings?: ReturnType<typeof plantingView>[]
  readonly open?: boolean
  readonly lastMs?: number
  readonly flags?: number
  readonly nowMs?: number
}

function look({
  airC = [8],
  plantings = [],
  open = false,
  lastMs,
  flags = 0,
  nowMs = NIGHT_MS,
}: Night): Finding | null {
  const bed = bedView({
    plantings,
    airTemp: columns(lastMs ?? nowMs - MINUTE_MS, 10 * MINUTE_MS, airC, () => flags),
    night: { sunsetMs: SUNSET_MS, sunriseMs: SUNRISE_MS },
  })
  return frost.find(contextOf({ nowMs, beds: [bed], open: open ? ['frost/south'] : [] }))[0] ?? null
}

const longOut = (crop: string) => {
  const view = plantingView(crop)
  return { ...view, planting: { ...view.planting, plantedOutOn: '2026-09-01' } }
}

describe('frost that is observed', () => {
  it('is told in a bed of which nothing is known once water may freeze there', () => {
    expect(look({ airC: [0.6] })).toBeNull()
    expect(look({ airC: [0.4] })).toMatchObject({
      severity: 'Minor',
      urgency: 'Immediate',
      certainty: 'Observed',
    })
  })

  it('depends on what stands there: lettuce is marked where hardened cabbage is not', () => {
    expect(look({ airC: [-3], plantings: [longOut('cabbage-mid')] })).toBeNull()
    const warning = look({ airC: [-3], plantings: [longOut('cabbage-mid'), longOut('lettuce-head')] })
    expect(warning).toMatchObject({ severity: 'Moderate', planting: 'p-lettuce-head' })
    expect(warning!.why).toContain('−3.0 °C')
  })

  it('is severe where the plants would be lost', () => {
    expect(look({ airC: [-7], plantings: [longOut('cabbage-mid')] })!.severity).toBe('Moderate')
    expect(look({ airC: [-9.8], plantings: [longOut('cabbage-mid')] })!.severity).toBe('Severe')
  })

  it('comes earlier to plants that have just come out of shelter', () => {
    const young = plantingView('cabbage-mid')
    const justOut = { ...young, planting: { ...young.planting, plantedOutOn: '2027-03-12' } }
    expect(look({ airC: [-5], plantings: [longOut('cabbage-mid')] })).toBeNull()
    expect(look({ airC: [-5], plantings: [justOut] })!.why).toContain('not yet hardened')
  })

  it('holds a little above the limit once it is open, so that it does not flap', () => {
    expect(look({ airC: [1.2] })).toBeNull()
    expect(look({ airC: [1.2], open: true })).not.toBeNull()
    expect(look({ airC: [1.8], open: true })).toBeNull()
  })

  it('is never told from a reading that is old or flagged', () => {
    expect(look({ airC: [-8], lastMs: NIGHT_MS - 50 * MINUTE_MS })).toBeNull()
    expect(look({ airC: [-8], flags: FLAG.step })).toBeNull()
    expect(look({ airC: [] })).toBeNull()
  })

  it('says what to do and what to leave alone', () => {
    expect(look({ airC: [-1] })!.advice).toMatch(/fleece.*Do not touch/s)
  })
})

describe('frost that may come', () => {
  const startMs = SUNSET_MS + 2 * HOUR_MS
  /** ten-minute readings since sunset that cool by the square-root law */
  const cooling = (startC: number, slope: number, untilMs: number): number[] => {
    const values: number[] = []
    for (let t = untilMs; t > SUNSET_MS; t -= 10 * MINUTE_MS) {
      values.unshift(t <= startMs ? startC : coolingCurveC(startC, slope, (t - startMs) / HOUR_MS))
    }
    return values
  }
  const nowMs = startMs + 2 * HOUR_MS

  it('is told when a clear night’s cooling heads below the limit', () => {
    const warning = look({ airC: cooling(4, -1.8, nowMs), lastMs: nowMs, nowMs })
    expect(warning).toMatchObject({ urgency: 'Expected', certainty: 'Possible', severity: 'Minor' })
    // 4 − 1.8 √(sunrise − start)
    const hours = (SUNRISE_MS - startMs) / HOUR_MS
    expect(warning!.why).toContain(`−${Math.abs(4 - 1.8 * Math.sqrt(hours)).toFixed(1)} °C by sunrise`)
    expect(warning!.advice).toContain('never heat a cover with a flame')
  })

  it('is not told when the night cools too little, or warms', () => {
    expect(look({ airC: cooling(8, -1.8, nowMs), lastMs: nowMs, nowMs })).toBeNull()
    expect(look({ airC: cooling(4, 0.5, nowMs), lastMs: nowMs, nowMs })).toBeNull()
  })

  it('is not told from less than an hour and a half of night, nor after sunrise', () => {
    const early = startMs + HOUR_MS
    expect(look({ airC: cooling(4, -1.8, early), lastMs: early, nowMs: early })).toBeNull()
    const day = SUNRISE_MS + HOUR_MS
    expect(look({ airC: [4, 3, 2, 1.5], lastMs: day, nowMs: day })).toBeNull()
  })

  it('is not told where the sun does not set', () => {
    const bed = bedView({ airTemp: columns(nowMs, 10 * MINUTE_MS, cooling(4, -2, nowMs)) })
    expect(frost.find(contextOf({ nowMs, beds: [bed] }))).toEqual([])
  })

  it('fits the slope to the bed’s own readings', () => {
    const readings = columns(nowMs, 10 * MINUTE_MS, cooling(5, -1.5, nowMs))
    const outlook = nightOutlook(readings, SUNSET_MS, SUNRISE_MS, nowMs)!
    expect(outlook.startC).toBeCloseTo(5, 0)
    expect(outlook.lowestC).toBeCloseTo(5 - 1.5 * Math.sqrt((SUNRISE_MS - startMs) / HOUR_MS), 0)
  })
})
