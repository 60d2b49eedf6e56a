/** A crop's year in sentences: its windows, what a week of sowing leads to, and how far to trust it. Pure. */
import type { GardenCrop } from '../../../shared/api/crops.js'
import type { Plan, PlanWay, PlanWeek, PlanWindow } from '../../../shared/api/plan.js'
import { listInWords } from '../format/durations.js'
import { dayMonth, dayMonthYear } from '../format/local-clock.js'
import { capital } from '../format/sentences.js'
import { figure, type TempUnit, toShown } from '../format/units.js'

const FORMING: Readonly<Record<string, string>> = {
  head: 'heads form',
  curd: 'curds form',
  sprouts: 'sprouts form',
  stem: 'stems swell',
  pods: 'pods fill',
  root: 'roots swell',
  stalks: 'stalks fill out',
  leaves: 'leaves fill out',
}

/** 'heads form' */
export const formingWords = (forms: string): string => FORMING[forms] ?? `its ${forms} form`

export const WAY_WORDS: Readonly<Record<PlanWay, string>> = {
  'under cover': 'raised under cover',
  direct: 'sown where it grows',
}

export const usualWay = ({ usualStart }: Pick<Plan, 'usualStart'>): PlanWay =>
  usualStart === 'sown' ? 'direct' : 'under cover'

/** '4 to 25 Jun', '25 May to 7 Jun' */
export function span(from: string, to: string): string {
  if (from === to) return dayMonth(from)
  return from.slice(0, 7) === to.slice(0, 7)
    ? `${Number(from.slice(8))} to ${dayMonth(to)}`
    : `${dayMonth(from)} to ${dayMonth(to)}`
}

/** With the year where it ends: '4 to 25 Jun 2027' */
const spanWithYear = (from: string, to: string): string => `${span(from, to)} ${to.slice(0, 4)}`

const wholeTemp = (tempC: number, unit: TempUnit): string =>
  `${figure(toShown(tempC, '°C', unit), 0)}\u00a0°${unit}`

/** 'Good', 'Fair' or 'Risky', and what that means. */
const GRADES: Readonly<Record<PlanWindow['grade'], string>> = {
  good: 'Good',
  fair: 'Fair, with risks',
  risky: 'Risky: the least bad of its season',
}

/** 'Autumn crop: good' */
export const windowTitle = ({ season, grade }: PlanWindow): string =>
  `${season === 'warming' ? 'Spring' : 'Autumn'} crop: ${GRADES[grade].toLowerCase()}`

/**
 * 'Sow under cover 4 to 25 Jun 2027, plant out 16 Jul to 12 Aug; heads form from 20 Aug while the mean falls through 18 °C;
 * ready from 5 Oct to 1 Dec.'
 */
export function windowSentence(window: PlanWindow, plan: Plan, today: string, unit: TempUnit): string {
  const { sowFrom, sowTo, plantOutFrom, plantOutTo, headingFrom, readyFrom, readyTo, season, best } = window
  const sow =
    sowFrom < today && sowTo >= today ? `until ${dayMonthYear(sowTo)}` : spanWithYear(sowFrom, sowTo)
  const out =
    plantOutFrom === null || plantOutTo === null
      ? `Sow in place ${sow}`
      : `Sow under cover ${sow}, plant out ${span(plantOutFrom, plantOutTo)}`
  const moves = season === 'warming' ? 'rises' : 'falls'
  const mean =
    best.headingMeanC === null ? '' : ` while the mean ${moves} through ${wholeTemp(best.headingMeanC, unit)}`
  return `${out}; ${formingWords(plan.forms)} from ${dayMonth(headingFrom)}${mean}; ready from ${spanWithYear(readyFrom, readyTo)}.`
}

/** A chance by the years looked at: 'in 3 years of ten'; of one year only that it came, or not. */
export function chanceWords(chance: number, years: number): string {
  if (years === 1) return chance > 0 ? 'in the year looked at' : 'not in the year looked at'
  const tenths = Math.round(chance * 10)
  if (tenths === 0) return chance === 0 ? 'in no year' : 'in fewer than one year of ten'
  if (tenths === 10) return chance === 1 ? 'in every year' : 'in nearly every year'
  return tenths === 1 ? 'in one year of ten' : `in ${tenths} years of ten`
}

export interface Risk {
  readonly name: string
  /** 0 to 1; null: the crop does not mind */
  readonly likely: number | null
  /** worth a look; at least as much */
  readonly watch: number | null
}

/** What can go wrong with a week of sowing, in the order in which it comes. */
export function risksOf(week: PlanWeek, forms: string): Risk[] {
  const frost = Math.max(week.youngFrost, week.killingFrost)
  return [
    { name: 'frost that kills', likely: frost, watch: frost },
    {
      name: 'flowering after cold',
      likely: week.coldBolting?.likely ?? null,
      watch: week.coldBolting?.watch ?? null,
    },
    {
      name: `heat while ${formingWords(forms)}`,
      likely: week.heat?.likely ?? null,
      watch: week.heat?.watch ?? null,
    },
    {
      name: 'flowering in warm, long days',
      likely: week.heatBolting?.likely ?? null,
      watch: week.heatBolting?.watch ?? null,
    },
  ]
}

/** Rarer than this it is left to the picture. */
const WORTH_A_WORD = 0.05

/** 'Risks: heat while heads form likely in 3 years of ten.' */
export function riskSentence(week: PlanWeek, { forms, years }: Pick<Plan, 'forms' | 'years'>): string {
  const told = risksOf(week, forms).flatMap(({ name, likely, watch }) => {
    if (likely !== null && likely >= WORTH_A_WORD) return [`${name} is likely ${chanceWords(likely, years)}`]
    if (watch !== null && watch >= WORTH_A_WORD)
      return [`${name} is worth a look ${chanceWords(watch, years)}`]
    return []
  })
  if (told.length === 0) return 'No risk of heat, cold or frost stands out.'
  return `${capital(listInWords(told))}.`
}

/** A week is called good, fair or risky by the same limits as windows are. */
export function weekGrade(score: number): 'good' | 'fair' | 'risky' | 'no use' {
  if (score >= 0.6) return 'good'
  if (score >= 0.3) return 'fair'
  return score >= 0.1 ? 'risky' : 'no use'
}

/** What a week of sowing leads to, from its first day to the last cut. */
export function weekSentence(week: PlanWeek, plan: Plan): string {
  const sown = `Sown ${week.way === 'direct' ? 'in place' : 'under cover'} in the week of ${dayMonthYear(week.sowOn)}`
  const steps = [
    ...(week.soilMeanC === null || week.soil === 'fit' || week.soil === null
      ? []
      : [`the soil is ${SOIL_WORDS[week.soil]}`]),
    ...(week.plantOutOn === null ? [] : [`planted out ${dayMonth(week.plantOutOn)}`]),
    ...(week.plantOutOn === null && week.emergedOn !== null ? [`up ${dayMonth(week.emergedOn)}`] : []),
    ...(week.headingFrom === null ? [] : [`${formingWords(plan.forms)} from ${dayMonth(week.headingFrom)}`]),
    ...(week.readyFrom === null ? ['never ready'] : [`ready ${readyWords(week)}`]),
  ]
  return `${sown}: ${steps.join(', ')}. ${gradeSentence(week)}`
}

function readyWords({ readyFrom, readyEarly, readyLate, readyTo }: PlanWeek): string {
  const about = dayMonthYear(readyFrom ?? '')
  const between =
    readyEarly === null || readyLate === null || readyEarly === readyLate
      ? ''
      : ` (eight years in ten between ${dayMonth(readyEarly)} and ${dayMonth(readyLate)})`
  return `about ${about}${between}${readyTo === null ? '' : `, past its best by ${dayMonth(readyTo)}`}`
}

function gradeSentence({ score }: PlanWeek): string {
  const grade = weekGrade(score)
  return grade === 'no use' ? 'Not a week to sow it.' : `A ${grade} week.`
}

export const SOIL_WORDS: Readonly<Record<NonNullable<PlanWeek['soil']>, string>> = {
  'too cold': 'too cold for the seed',
  slow: 'so cool that the seed lies long',
  fit: 'fit to sow into',
  'too hot': 'too hot for the seed',
}

/** 'Sowing in place pays from 2 Apr to 20 Jun and from 1 Aug to 10 Oct, while the soil is warm enough …' */
export function soilSentence(soil: NonNullable<Plan['soil']>): string {
  const basis =
    soil.basis === 'measured'
      ? 'The soil was measured.'
      : 'The soil is guessed from the air; a bed in full sun is warmer, a mulched one cooler.'
  if (soil.fit.length === 0) return `In no week is the soil fit to sow this crop into. ${basis}`
  const [only] = soil.fit
  if (
    soil.fit.length === 1 &&
    only !== undefined &&
    only.from.endsWith('-01-01') &&
    only.to.endsWith('-12-31')
  ) {
    return `The soil is fit to sow into all year. ${basis}`
  }
  const stretches = listInWords(soil.fit.map(({ from, to }) => `from ${span(from, to)}`))
  return `Sowing in place pays ${stretches}: the soil is then warm enough, and not too hot, for seed to be up within two weeks. ${basis}`
}

/** How much of what the crop is reckoned by is known, and what to make of it. */
export function trustSentence(figures: GardenCrop['figures']): string {
  const from = (source: GardenCrop['figures'][number]['source']): number =>
    figures.filter((one) => one.source === source).length
  const parts = [
    { n: from('published'), words: 'published' },
    { n: from('grower'), words: 'your own' },
    { n: from('common practice'), words: 'common practice' },
    { n: from('memory'), words: 'from memory, not checked' },
    { n: from('derived'), words: 'worked out from others, first guesses' },
  ].filter(({ n }) => n > 0)
  return `This crop is reckoned by ${figures.length} numbers: ${listInWords(
    parts.map(({ n, words }, i) => (i === 0 ? `${n} ${n === 1 ? 'is' : 'are'} ${words}` : `${n} ${words}`)),
  )}. Take the weeks as first guesses, give or take two weeks, and put your own harvests in their place as they come.`
}

/** Of windows still ahead the best, then the next; null: there is none. */
export function windowToShow(windows: readonly PlanWindow[], way: PlanWay, today: string): PlanWindow | null {
  const rank = { good: 0, fair: 1, risky: 2 }
  const ahead = windows.filter((one) => one.way === way && one.sowTo >= today)
  return (
    [...ahead].sort((a, b) => rank[a.grade] - rank[b.grade] || (a.best.sowOn < b.best.sowOn ? -1 : 1))[0] ??
    null
  )
}
