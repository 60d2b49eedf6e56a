import { describe, expect, it } from 'vitest'
import type { Finding } from '../../hub/warnings/rule.js'
import { frost } from '../../hub/warnings/rules/frost.js'
import { looseHeads } from '../../hub/warnings/rules/loose-heads.js'
import { warmSpell } from '../../hub/warnings/rules/warm-spell.js'
import { bedView, columns, contextOf, daysEnding, MINUTE_MS, NOW_MS, plantingView } from './rule-context.js'
import { type Coming, comingWeather } from './weather-ahead.js'

const TODAY = '2027-06-15'
const heading = (parts: Parameters<typeof plantingView>[1] = {}) =>
  plantingView('cabbage-early', { stage: 'heading', ...parts })

describe('a warm spell to come', () => {
  const look = (
    coming: Omit<Coming, 'today'>,
    more: {
      plantings?: ReturnType<typeof plantingView>[]
      expected?: readonly string[]
      maximaC?: number[]
    } = {},
  ): Finding | null => {
    const { plantings = [heading()], expected = [], maximaC = [] } = more
    const bed = bedView({
      plantings,
      days: daysEnding(TODAY, maximaC),
      ahead: comingWeather({ today: TODAY, ...coming }),
    })
    return warmSpell.find(contextOf({ beds: [bed], expected }))[0] ?? null
  }

  it('is told days ahead, with how likely it is, when it begins and until when that holds', () => {
    const warning = look({ maximaC: [24, 29, 29, 29] })!
    expect(warning).toMatchObject({
      certainty: 'Likely',
      urgency: 'Future',
      severity: 'Moderate',
      planting: 'p-cabbage-early',
      onsetMs: Date.parse('2027-06-15T22:00:00Z'),
      expiresMs: Date.parse('2027-06-18T22:00:00Z'),
    })
    expect(warning.chance!).toBeGreaterThan(0.8)
    expect(warning.headline).toBe(
      'Warm spell likely in South bed from 2027-06-16, while cabbage, early forms its head',
    )
    expect(warning.why).toMatch(
      /^The odds of 3 days in a row above 27\.0 °C by 2027-06-18 are (about 9|more than 9) in 10; the hottest day to be expected has 29\.0 °C\. From this bed’s own readings/,
    )
    expect(warning.advice).toMatch(/shade cloth.*cut firm ones before it comes.*rest in the shade/is)
  })

  it('is possible below one half, and not told below one in five', () => {
    expect(look({ maximaC: [24, 27.8, 27.8, 27.8], sdC: 1.5 })).toMatchObject({ certainty: 'Possible' })
    expect(look({ maximaC: [24, 25.5, 25.5, 25.5], sdC: 1 })).toBeNull()
  })

  it('is told later in a bed’s first season, when odds rest on beliefs', () => {
    const coming = { maximaC: [24, 27.7, 27.7, 27.7], sdC: 1.5 }
    const chance = look(coming)!.chance!
    expect(chance).toBeGreaterThan(0.2)
    expect(chance).toBeLessThan(0.4)
    expect(look({ ...coming, isFirstSeason: true })).toBeNull()
    expect(look({ maximaC: [24, 29, 29, 29], isFirstSeason: true })).not.toBeNull()
  })

  it('is held once told while the odds sink a little', () => {
    const coming = { maximaC: [24, 27, 27, 27], sdC: 1.5 }
    expect(look(coming)).toBeNull()
    expect(look(coming, { expected: ['warm-spell/south'] })).not.toBeNull()
    expect(look({ maximaC: [24, 25, 25, 25] }, { expected: ['warm-spell/south'] })).toBeNull()
  })

  it('is not called observed before it has come', () => {
    const warning = look(
      { maximaC: [28, 29, 29, 29] },
      { expected: ['warm-spell/south'], maximaC: [20, 20, 28] },
    )
    expect(warning?.certainty).toBe('Likely')
    expect(look({ maximaC: [29, 29, 29, 29] }, { maximaC: [28, 28, 29] })?.certainty).toBe('Observed')
  })

  it('that has come says whether it goes on', () => {
    const measured = { maximaC: [28, 28, 29] }
    expect(look({ maximaC: [29, 29, 26.5] }, measured)?.why).toMatch(
      /The odds that tomorrow is above the limit too are more than 9 in 10, the day after about 3 in 10\.$/,
    )
    expect(look({ maximaC: [29, 29, 26.5], isFresh: false }, measured)?.why).not.toContain('tomorrow')
  })

  it('never rests on a forecast that is not fresh', () => {
    expect(look({ maximaC: [24, 31, 31, 31], isFresh: false })).toBeNull()
  })

  it('is severe from two days far above the limit on', () => {
    expect(look({ maximaC: [24, 30.5, 31, 29] })).toMatchObject({ severity: 'Severe' })
  })

  it('matters to what is about to form too, and to nothing else', () => {
    const leafing = (toHeadingC: number | null) => plantingView('cabbage-early', { toHeadingC })
    const coming = { maximaC: [24, 29, 29, 29] }
    expect(look(coming, { plantings: [leafing(30)] })?.headline).toContain(
      'just when cabbage, early is about to form its head',
    )
    expect(look(coming, { plantings: [leafing(200)] })).toBeNull()
    expect(look(coming, { plantings: [plantingView('spinach')] })).toBeNull()
  })

  it('looks no further ahead than five days', () => {
    expect(look({ maximaC: [20, 20, 20, 20, 20, 20, 29, 29, 29], source: 'public' })).toBeNull()
    expect(look({ maximaC: [20, 20, 20, 29, 29, 29, 20], source: 'public' })?.onsetMs).toBe(
      Date.parse('2027-06-17T22:00:00Z'),
    )
  })
})

describe('heat still to come', () => {
  const look = (heatHours: number, maximaC: readonly number[] | null, isFresh = true): Finding | null => {
    const headingDays = daysEnding(TODAY, [20]).map((day) => ({ ...day, heatHours }))
    const bed = bedView({
      plantings: [heading({ headingDays })],
      ahead: maximaC ? comingWeather({ today: TODAY, maximaC, isFresh }) : null,
    })
    return looseHeads.find(contextOf({ beds: [bed] }))[0] ?? null
  }

  it('is added to the dose in words', () => {
    expect(look(20, [26, 26, 26, 26])?.why).toMatch(/Until 2027-06-18 the forecast adds about \d+\.\d h\./)
    expect(look(20, null)?.why).not.toContain('forecast')
  })

  it('that would make the dose harmful makes it graver, unless it is stale', () => {
    expect(look(40, [26.5, 27.5, 26, 28])).toMatchObject({
      severity: 'Moderate',
      certainty: 'Possible',
      urgency: 'Future',
    })
    expect(look(40, [26.5, 27.5, 26, 28], false)).toMatchObject({ severity: 'Minor' })
  })
})

describe('a frost to come', () => {
  const DATE = '2027-04-20'
  const NOON_MS = Date.parse('2027-04-20T10:00:00Z')
  const young = () => {
    const view = plantingView('lettuce-head')
    return { ...view, planting: { ...view.planting, plantedOutOn: '2027-04-15' } }
  }
  const look = (
    minimaC: readonly number[],
    more: {
      nowMs?: number
      airC?: number
      expected?: readonly string[]
      plantings?: ReturnType<typeof young>[]
    } = {},
  ): Finding | null => {
    const { nowMs = NOON_MS, airC = 9, expected = [], plantings = [young()] } = more
    const today = DATE
    const bed = bedView({
      plantings,
      airTemp: columns(nowMs - MINUTE_MS, 10 * MINUTE_MS, [airC]),
      ahead: comingWeather({ today, maximaC: minimaC.map((c) => c + 10), minimaC, sdC: 1 }),
    })
    return frost.find(contextOf({ nowMs, beds: [bed], expected }))[0] ?? null
  }

  it('is told the days before, with its odds, its morning and what to lay ready', () => {
    const warning = look([6, 4, -3, 3])!
    expect(warning).toMatchObject({ certainty: 'Likely', urgency: 'Future', kind: 'frost' })
    expect(warning.headline).toContain('by the morning of 2027-04-22')
    expect(warning.why).toContain('The night before 2027-04-22 is expected to go down to −3.0 °C')
    expect(warning.onsetMs!).toBeLessThan(warning.expiresMs!)
    expect(warning.advice).toContain('before that evening')
  })

  it('is told at dawn’s side of midnight too, and over once the sun has risen', () => {
    const night = { nowMs: Date.parse('2027-04-20T00:30:00Z'), airC: 3 }
    expect(look([-3, 6, 6, 6], night)?.headline).toContain('by the morning of 2027-04-20')
    expect(look([-3, 6, 6, 6])).toBeNull()
  })

  it('that was only expected is not held as if it had come', () => {
    expect(look([6, -3, 6, 6], { airC: 0.8, expected: ['frost/south'] })?.certainty).toBe('Likely')
  })

  it('is no matter where nothing stands, or the odds are small', () => {
    expect(look([6, -3, 6, 6], { plantings: [] })).toBeNull()
    expect(look([6, 4, 4, 4])).toBeNull()
  })
})

describe('what is told ahead', () => {
  it('says nothing where nothing is known of the days to come', () => {
    const bed = bedView({ plantings: [heading()], ahead: null })
    const context = contextOf({ nowMs: NOW_MS, beds: [bed] })
    expect([warmSpell, frost, looseHeads].flatMap((rule) => rule.find(context))).toEqual([])
  })
})
