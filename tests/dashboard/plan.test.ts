/** The plan in words and places: what its sentences say, and where the picture puts a date. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ownCropInput, packetDaysOf } from '../../dashboard/src/garden/own-crop.js'
import { planAddressIn, planPath } from '../../dashboard/src/plan/plan-address.js'
import {
  chanceWords,
  riskSentence,
  soilSentence,
  span,
  trustSentence,
  weekGrade,
  weekSentence,
  windowSentence,
  windowToShow,
} from '../../dashboard/src/plan/plan-words.js'
import { monthStarts, segmentsOf, shownDays, weekAt, yearScale } from '../../dashboard/src/plan/year-scale.js'
import type { GardenCrop } from '../../shared/api/crops.js'
import type { Plan, PlanWeek, PlanWindow } from '../../shared/api/plan.js'
import { addDays } from '../../shared/local-time.js'

const WEEK: PlanWeek = {
  way: 'under cover',
  sowOn: '2027-06-04',
  emergedOn: '2027-06-10',
  plantOutOn: '2027-07-16',
  headingFrom: '2027-08-20',
  readyFrom: '2027-10-05',
  readyTo: '2027-11-12',
  readyEarly: '2027-09-28',
  readyLate: '2027-10-14',
  season: 'cooling',
  headingMeanC: 17.7,
  readyChance: 1,
  heat: { watch: 0.55, likely: 0.3 },
  coldBolting: { watch: 0, likely: 0 },
  heatBolting: null,
  youngFrost: 0,
  killingFrost: 0,
  soil: null,
  soilMeanC: null,
  score: 0.7,
}
const DIRECT: PlanWeek = {
  ...WEEK,
  way: 'direct',
  plantOutOn: null,
  soil: 'too cold',
  soilMeanC: 3,
  score: 0.05,
}
const WINDOW: PlanWindow = {
  way: 'under cover',
  season: 'cooling',
  grade: 'good',
  sowFrom: '2027-06-04',
  sowTo: '2027-06-25',
  plantOutFrom: '2027-07-16',
  plantOutTo: '2027-08-12',
  headingFrom: '2027-08-20',
  readyFrom: '2027-10-05',
  readyTo: '2027-12-01',
  best: WEEK,
}
const PLAN: Plan = {
  crop: 'cabbage-mid',
  cropName: 'Cabbage, mid-season',
  forms: 'head',
  usualStart: 'planted-out',
  family: null,
  basis: 'normals',
  words: '',
  bases: [],
  years: 20,
  from: '2027-03-01',
  bestMeanFromC: 15.6,
  bestMeanToC: 18.3,
  usualMeanC: [],
  coverDays: 42,
  coverNote: '',
  weeks: [],
  windows: [],
  soil: null,
}

describe('a window', () => {
  it('is told from sowing to the last cut', () => {
    expect(windowSentence(WINDOW, PLAN, '2027-03-01', 'C')).toBe(
      'Sow under cover 4 to 25 Jun 2027, plant out 16 Jul to 12 Aug; heads form from 20 Aug while the mean falls through 18\u00a0°C; ready from 5 Oct to 1 Dec 2027.',
    )
  })
  it('that has begun is told by its end, and in the reader’s degrees', () => {
    const words = windowSentence(WINDOW, PLAN, '2027-06-10', 'F')
    expect(words).toMatch(/^Sow under cover until 25 Jun 2027,/)
    expect(words).toContain('64\u00a0°F')
  })
  it('of a crop sown in place has no planting out', () => {
    const direct: PlanWindow = { ...WINDOW, way: 'direct', plantOutFrom: null, plantOutTo: null }
    expect(windowSentence(direct, { ...PLAN, forms: 'leaves' }, '2027-03-01', 'C')).toMatch(
      /^Sow in place 4 to 25 Jun 2027; leaves fill out from/,
    )
  })
  it('to show first is the best one that is not over', () => {
    const fair: PlanWindow = {
      ...WINDOW,
      grade: 'fair',
      sowTo: '2027-04-30',
      best: { ...WEEK, sowOn: '2027-04-05' },
    }
    expect(windowToShow([fair, WINDOW], 'under cover', '2027-03-01')).toBe(WINDOW)
    expect(windowToShow([fair, WINDOW], 'under cover', '2027-07-01')).toBeNull()
    expect(windowToShow([fair, WINDOW], 'direct', '2027-03-01')).toBeNull()
  })
})

describe('a week', () => {
  it('is told with its dates and its risks', () => {
    expect(weekSentence(WEEK, PLAN)).toBe(
      'Sown under cover in the week of 4 Jun 2027: planted out 16 Jul, heads form from 20 Aug, ready about 5 Oct 2027 (eight years in ten between 28 Sep and 14 Oct), past its best by 12 Nov. A good week.',
    )
    expect(riskSentence(WEEK, PLAN)).toBe('Heat while heads form is likely in 3 years of ten.')
  })
  it('into cold soil says so', () => {
    expect(weekSentence(DIRECT, PLAN)).toMatch(/the soil is too cold for the seed, up 10 Jun/)
    expect(weekSentence(DIRECT, PLAN)).toMatch(/Not a week to sow it\.$/)
  })
  it('that never gets there says so', () => {
    const never = {
      ...WEEK,
      headingFrom: null,
      readyFrom: null,
      readyTo: null,
      readyEarly: null,
      readyLate: null,
    }
    expect(weekSentence(never, PLAN)).toMatch(/never ready/)
  })
  it('is graded by the limits of windows', () => {
    expect([0.6, 0.59, 0.3, 0.29, 0.1, 0.09].map(weekGrade)).toEqual([
      'good',
      'fair',
      'fair',
      'risky',
      'risky',
      'no use',
    ])
  })
  it('of one year only has no odds', () => {
    expect(chanceWords(1, 1)).toBe('in the year looked at')
    expect(chanceWords(0, 1)).toBe('not in the year looked at')
    expect([0, 0.04, 0.1, 0.34, 0.97, 1].map((chance) => chanceWords(chance, 20))).toEqual([
      'in no year',
      'in fewer than one year of ten',
      'in one year of ten',
      'in 3 years of ten',
      'in nearly every year',
      'in every year',
    ])
  })
})

describe('soil and trust', () => {
  it('says when sowing in place pays, and by what', () => {
    const soil = { basis: 'from air', weeks: [], fit: [{ from: '2027-04-02', to: '2027-06-20' }] } as const
    expect(soilSentence({ ...soil, weeks: [], fit: [...soil.fit] })).toMatch(
      /^Sowing in place pays from 2 Apr to 20 Jun: .* guessed from the air/,
    )
    expect(soilSentence({ basis: 'measured', weeks: [], fit: [] })).toMatch(/^In no week .* was measured\.$/)
  })
  it('counts where the crop’s numbers are from', () => {
    const figure = (source: GardenCrop['figures'][number]['source']) => ({
      name: '',
      value: 1,
      unit: '',
      note: '',
      source,
    })
    expect(trustSentence([figure('published'), figure('derived'), figure('derived')])).toMatch(
      /^This crop is reckoned by 3 numbers: 1 is published and 2 worked out from others, first guesses\. Take the weeks as first guesses/,
    )
  })
  it('spans days of one month shortly', () => {
    expect(span('2027-06-04', '2027-06-25')).toBe('4 to 25 Jun')
    expect(span('2027-05-25', '2027-06-07')).toBe('25 May to 7 Jun')
    expect(span('2027-06-04', '2027-06-04')).toBe('4 Jun')
  })
})

describe('the picture', () => {
  it('shows a year, and more where the last cut comes later', () => {
    expect(shownDays('2027-03-01', [])).toBe(364)
    const late = { ...WINDOW, best: { ...WEEK, readyTo: '2028-05-01' } }
    expect(shownDays('2027-03-01', [late])).toBe(437)
    expect(shownDays('2027-03-01', [{ ...late, best: { ...WEEK, readyTo: '2030-05-01' } }])).toBe(560)
  })
  it('finds the week under a finger wherever it was drawn', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 51 }), fc.integer({ min: 200, max: 1500 }), (week, width) => {
        const scale = yearScale('2027-03-01', 420, width)
        const middle = scale.x(addDays('2027-03-01', 7 * week)) + (3.5 / 420) * width
        expect(weekAt(middle, scale, 52)).toBe(week)
      }),
    )
    const scale = yearScale('2027-03-01', 420, 700)
    expect(weekAt(-20, scale, 52)).toBe(0)
    expect(weekAt(9999, scale, 52)).toBe(51)
    expect(scale.x('2026-01-01')).toBe(0)
    expect(scale.x('2029-01-01')).toBe(700)
    expect(monthStarts(scale)[0]).toBe('2027-03-01')
  })
  it('draws a life without gaps, as far as it comes', () => {
    const whole = segmentsOf(WEEK)
    expect(whole.map(({ phase }) => phase)).toEqual(['cover', 'growing', 'forming', 'ready'])
    for (const [i, { from }] of whole.entries()) if (i > 0) expect(from).toBe(whole[i - 1]?.to)
    expect(segmentsOf(DIRECT).map(({ phase }) => phase)).toEqual(['growing', 'forming', 'ready'])
    expect(segmentsOf({ ...WEEK, headingFrom: null, readyFrom: null, readyTo: null })).toHaveLength(1)
  })
})

describe('addresses', () => {
  it('come back as they were, and nonsense is left out', () => {
    const address = { crop: 'kale', bed: 'east', basis: 'chosen year' } as const
    expect(planAddressIn(planPath(address).slice('/plan'.length))).toEqual(address)
    expect(planAddressIn('?basis=stars&crop=')).toEqual({ crop: null, bed: null, basis: null })
    expect(planPath({ crop: null, bed: null, basis: null })).toBe('/plan')
  })
})

describe('a crop of one’s own', () => {
  const adjustable = (field: string, libraryValue: number) => ({
    field,
    label: '',
    min: 1,
    max: 9999,
    libraryValue,
    ownValue: null,
  })
  const crop: GardenCrop = {
    id: 'cabbage-early',
    name: 'Cabbage, early',
    botanical: 'Brassica oleracea',
    forms: 'head',
    usualStart: 'planted-out',
    spacingM: 0.4,
    containerLitres: 10,
    feeding: '',
    readiness: '',
    heatHarm: null,
    germination: [],
    by: 'library',
    basedOn: 'cabbage-early',
    figures: [
      {
        name: 'days from planting out to ready, in cool weather',
        value: 65,
        unit: 'd',
        source: 'memory',
        note: '',
      },
    ],
    adjustable: [
      adjustable('degreeDaysToHeading', 410),
      adjustable('degreeDaysToReady', 819),
      adjustable('heatAboveC', 27),
    ],
  }

  it('takes the packet’s days in the library’s proportion, unless numbers are typed', () => {
    expect(packetDaysOf(crop)).toBe(65)
    expect(ownCropInput(crop, 'Anna', 80, new Map()).adjustments).toEqual({
      degreeDaysToHeading: 505,
      degreeDaysToReady: 1008,
    })
    expect(ownCropInput(crop, 'Anna', 80, new Map([['degreeDaysToReady', 950]])).adjustments).toEqual({
      degreeDaysToHeading: 505,
      degreeDaysToReady: 950,
    })
    expect(ownCropInput(crop, 'Anna', null, new Map([['heatAboveC', 25]]))).toEqual({
      basedOn: 'cabbage-early',
      name: 'Anna',
      adjustments: { heatAboveC: 25 },
    })
  })
})
