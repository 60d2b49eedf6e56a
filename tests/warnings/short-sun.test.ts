import { describe, expect, it } from 'vitest'
import type { ClearDay, Finding, SunHistory } from '../../hub/warnings/rule.js'
import { shortSun } from '../../hub/warnings/rules/short-sun.js'
import { bedView, contextOf } from './rule-context.js'

const clear = (sunHours: number, more: Partial<ClearDay> = {}): ClearDay => ({
  date: '2027-06-10',
  sunHours,
  possibleSunHours: 15,
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
    expect(look([4, 4, 4], {}, false, { possibleSunHours: 6.5 })).toBeNull()
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
      'at least 97 % of it was measured and its own light kept to the curve of a cloudless sky',
    )
    expect(advice).toContain('leaf crops')
    expect(look([5, 5, 5], {}, false, { toldBy: 'another bed' })!.why).toContain(
      'another bed had nearly all the sun',
    )
    expect(look([2, 2, 2])!.headline).toBe('South bed gets only a few hours of sun')
  })
})
