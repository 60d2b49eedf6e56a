import { describe, expect, it } from 'vitest'
import type { SunBudget } from '../../hub/core/sun/lost-sun.js'
import type { BedSkyToday, ClearDay, Finding, SunHistory } from '../../hub/warnings/rule.js'
import { shortSun } from '../../hub/warnings/rules/short-sun.js'
import { bedView, contextOf, plantingView } from './rule-context.js'

const clear = (sunHours: number, more: Partial<ClearDay> = {}): ClearDay => ({
  date: '2027-06-10',
  sunHours,
  openHours: 15,
  coverage: 0.97,
  toldBy: 'this bed',
  ...more,
})

function look(
  sunHours: readonly number[],
  history: Partial<SunHistory> = {},
  open = false,
  day: Partial<ClearDay> = {},
): Finding | null {
  const sunHistory = {
    clearDays: sunHours.map((h) => clear(h, day)),
    reachableHours: 5.5,
    days: 21,
    budget: null,
    sky: null,
    ...history,
  }
  const context = contextOf({ beds: [bedView({ sunHistory })], open: open ? ['short-sun/south'] : [] })
  return shortSun.find(context)[0] ?? null
}

describe('a bed that is short of sun', () => {
  it('has less than six hours on the best of at least three clear days', () => {
    expect(look([5, 5.2])).toBeNull()
    expect(look([5, 5.2, 4.8])).toMatchObject({ severity: 'Minor', certainty: 'Likely' })
    expect(look([5, 6.1, 4.8])).toBeNull()
  })

  it('is not one that clouds robbed at changing hours', () => {
    expect(look([5, 5.2, 4.8], { reachableHours: 9 })).toBeNull()
  })

  it('is not one in a season that has no more to give', () => {
    expect(look([4, 4, 4], {}, false, { openHours: 6.5 })).toBeNull()
  })

  it('is not one without light readings', () => {
    expect(look([], { reachableHours: null })).toBeNull()
  })

  it('stays so until it does clearly better', () => {
    expect(look([6.2, 6, 6])).toBeNull()
    expect(look([6.2, 6, 6], {}, true)).not.toBeNull()
    expect(look([6.6, 6, 6], {}, true)).toBeNull()
  })

  it('is told how clear days were told, and what still grows there', () => {
    const { why, advice } = look([5, 5.2, 4.8])!
    expect(why).toContain(
      'On its 3 clear days of the last 21 days it had 5.0 h of sun, at best 5.0 h, where the open sky gave 15.0 h',
    )
    expect(why).toContain(
      'At least 97 % of each was measured. They count as clear because its own light kept to the curve of a cloudless sky',
    )
    expect(advice).toContain('leaf crops')
    expect(look([5, 5, 5], {}, false, { toldBy: 'another bed' })!.why).toContain(
      'another bed had nearly all the sun',
    )
    expect(look([2, 2, 2])!.headline).toBe('South bed gets only a few hours of sun')
  })
})

/** 12:00 UTC is 14:00 in the garden */
const at = (utc: string): number => Date.parse(`2027-06-15T${utc}:00Z`)

const walled: BedSkyToday = {
  possibleHours: 4.9,
  possibleLow: 4.4,
  possibleHigh: 5.5,
  openHours: 15.4,
  openFromMs: at('03:00'),
  openToMs: at('19:32'),
  lost: [
    { fromMs: at('03:00'), toMs: at('05:10'), fromAzimuthDeg: 50, toAzimuthDeg: 84 },
    { fromMs: at('09:00'), toMs: at('09:08'), fromAzimuthDeg: 130, toAzimuthDeg: 133 },
    { fromMs: at('12:10'), toMs: at('19:30'), fromAzimuthDeg: 206, toAzimuthDeg: 310 },
  ],
  learnedDays: 30,
}
const budget: SunBudget = { sunHours: 3.1, cloudHours: 1.6, shadeHours: 10, unknownHours: 0, days: 21 }

describe('a bed whose skyline is known', () => {
  it('is short of sun when what stands around it leaves less than six hours of a clear sky', () => {
    const { headline, why, certainty } = look([], { sky: walled, budget })!
    expect(headline).toBe('South bed sees less than six hours of sun')
    expect(certainty).toBe('Likely')
    expect(why).toContain('it can have 4.9 h today (4.4 to 5.5), where open ground has 15.4 h')
    expect(why).toContain('by what 30 days of its light show')
    expect(why).toContain('Over the last 21 days it had 3.0 h of sun a day')
    expect(look([], { sky: { ...walled, possibleHours: 3 }, budget })!.headline).toContain('only a few hours')
    expect(look([], { sky: { ...walled, possibleHigh: 7 }, budget })!.certainty).toBe('Possible')
  })

  it('is told where and when it loses the sun', () => {
    expect(look([], { sky: walled, budget })!.why).toContain(
      'It loses the sun until 07:10 from the north-east to the east (50° to 84°) and from 14:10 on from the south-south-west to the north-west (206° to 310°).',
    )
  })

  it('that loses it at midday only is told so', () => {
    const lost = [{ fromMs: at('09:00'), toMs: at('14:00'), fromAzimuthDeg: 130, toAzimuthDeg: 230 }]
    expect(look([], { sky: { ...walled, lost }, budget })!.why).toContain(
      'It loses the sun from 11:00 to 16:00, from the south-east to the south-west (130° to 230°).',
    )
    const allDay = [{ fromMs: at('03:01'), toMs: at('19:30'), fromAzimuthDeg: 50, toAzimuthDeg: 310 }]
    expect(look([], { sky: { ...walled, lost: allDay }, budget })!.why).toContain(
      'It loses the sun all day, from',
    )
  })

  it('is believed over clear days, and drawn skylines at once, but not the first days of learning', () => {
    const enough = { ...walled, possibleHours: 9, possibleHigh: 10 }
    expect(look([5, 5, 5], { sky: enough, budget: { ...budget, sunHours: 7 } })).toBeNull()
    expect(look([], { sky: { ...walled, learnedDays: 0 }, budget })!.why).toContain('that you drew')
    expect(look([], { sky: { ...walled, learnedDays: 4 }, budget })).toBeNull()
    expect(look([5, 5, 5], { sky: { ...walled, learnedDays: 4 }, budget })!.why).toContain('clear days')
  })

  it('under a crown that lets flecks of sun through is short, whatever its skyline says', () => {
    const flecked = { ...walled, possibleHours: 6.1, possibleHigh: 6.2 }
    const { headline, why } = look([], {
      sky: flecked,
      budget: { ...budget, sunHours: 3.5, cloudHours: 0.5 },
    })!
    expect(headline).toBe('South bed sees less than six hours of sun')
    expect(why).toContain('Without a cloud it would have had 4.0 h of sun a day over the last 21 days')
    expect(look([], { sky: flecked, budget: { ...budget, sunHours: 4.5, cloudHours: 2 } })).toBeNull()
  })

  it('is not short in a season that has no more to give', () => {
    expect(look([], { sky: { ...walled, openHours: 6.4 }, budget })).toBeNull()
  })

  it('is told apart from dull weather, which is only told of where plants stand', () => {
    const open = { ...walled, possibleHours: 13, possibleHigh: 14, lost: [] }
    const dull = { sunHours: 2.6, cloudHours: 11, shadeHours: 1, unknownHours: 0, days: 20 }
    expect(look([], { sky: open, budget: dull })).toBeNull()
    const sunHistory = { clearDays: [], reachableHours: 12, days: 21, sky: open, budget: dull }
    const beds = [bedView({ sunHistory, plantings: [plantingView('lettuce-butterhead')] })]
    const [found] = shortSun.find(contextOf({ beds }))
    expect(found).toMatchObject({ headline: 'The weather gave South bed little sun', urgency: 'Past' })
    expect(found!.why).toContain('though it sees the sun for up to 13.0 h: clouds took 11.0 h a day')
    expect(found!.advice).toContain('Nothing is wrong with the bed')
    const bright = { ...sunHistory, budget: { ...dull, sunHours: 6 } }
    expect(shortSun.find(contextOf({ beds: [{ ...beds[0]!, sunHistory: bright }] }))).toEqual([])
  })
})
