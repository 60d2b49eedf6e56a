/** What a season gave, in sentences; and a planting, and a day of it. Pure. */
import type { Harvest, ReviewPlanting, SeasonReview } from '../../../shared/api/review.js'
import { hoursInWords, listInWords, numberWord } from '../format/durations.js'
import { type LengthUnit, showLength } from '../format/lengths.js'
import { dayMonth, dayMonthYear, shortDate } from '../format/local-clock.js'
import { capital } from '../format/sentences.js'
import {
  percent,
  showDegreeDays,
  showTemperature,
  showTemperatureRange,
  type TempUnit,
} from '../format/units.js'
import { acrossWords, entrySentence, weightWords } from '../journal/journal-words.js'
import { datesOf, plantingName } from '../planting/planting-words.js'

const count = (n: number, thing: string, things = `${thing}s`): string =>
  `${numberWord(n)} ${n === 1 ? thing : things}`

/** What is cut, one or more: '1 head', '14 heads', '3 plants' where leaves are eaten. */
export function headsText(n: number, forms: string): string {
  const one = ['head', 'curd', 'stem', 'root'].includes(forms) ? forms : 'plant'
  return `${n} ${n === 1 ? one : `${one}s`}`
}

/** 'Two plants split, one bolted and three were lost.'; empty where there is nothing to tell. */
export function lossesText({ split, bolted, lost }: Pick<Harvest, 'split' | 'bolted' | 'lost'>): string {
  const parts = [
    { n: split, verb: 'split' },
    { n: bolted, verb: 'bolted' },
    { n: lost, verb: lost === 1 ? 'was lost' : 'were lost' },
  ]
    .filter(({ n }) => n > 0)
    .map(({ n, verb }, i) => `${i === 0 ? count(n, 'plant') : numberWord(n)} ${verb}`)
  return parts.length === 0 ? '' : `${capital(listInWords(parts))}.`
}

export const periodText = (from: string, to: string): string =>
  from.slice(0, 4) === to.slice(0, 4)
    ? `${dayMonth(from)} to ${dayMonthYear(to)}`
    : `${dayMonthYear(from)} to ${dayMonthYear(to)}`

/** The season in two or three sentences: what was cut, what was lost. */
export function seasonSentences({ plantings }: SeasonReview, unit: LengthUnit): string[] {
  if (plantings.length === 0) return []
  const beds = new Set(plantings.map(({ bed }) => bed)).size
  const stood = `${capital(count(plantings.length, 'planting'))} stood in ${count(beds, 'bed')}.`
  const sum = (of: (harvest: Harvest) => number): number =>
    plantings.reduce((total, { harvest }) => total + of(harvest), 0)
  const cuts = sum(({ cuts }) => cuts)
  if (cuts === 0) return [stood, 'Nothing was cut, as far as the journal knows.', ...lossSentence()]
  const [heads, weightKg] = [sum((h) => h.heads), sum((h) => h.weightKg ?? 0)]
  const weighedHeads = sum((h) => h.weighedHeads)
  const weighedKg = sum((h) => (h.weightPerHeadKg ?? 0) * h.weighedHeads)
  const each =
    weighedHeads > 1
      ? `: ${weightWords(weighedKg / weighedHeads, unit)} each of the ${weighedHeads} weighed and counted`
      : ''
  const kinds = new Set(plantings.filter(({ harvest }) => harvest.heads > 0).map(({ forms }) => forms))
  const forms = kinds.size === 1 ? ([...kinds][0] ?? 'plant') : 'plant'
  const got =
    heads === 0
      ? `It was cut ${count(cuts, 'time')}`
      : `${capital(headsText(heads, forms))} ${heads === 1 ? 'was' : 'were'} cut`
  return [
    stood,
    `${got}${weightKg > 0 ? `, ${weightWords(weightKg, unit)} in all${each}` : ', not weighed'}.`,
    ...lossSentence(),
  ]

  function lossSentence(): string[] {
    const losses = lossesText({
      split: sum((h) => h.split),
      bolted: sum((h) => h.bolted),
      lost: sum((h) => h.lost),
    })
    const unsaid = sum((h) => h.uncounted)
    return [
      ...(losses === '' ? [] : [losses]),
      ...(unsaid > 0
        ? [
            `${capital(count(unsaid, 'entry', 'entries'))} of the journal ${unsaid === 1 ? 'does' : 'do'} not say of how many: that is not counted in.`,
          ]
        : []),
    ]
  }
}

/** Mean of what is there; null: nothing. */
export function meanOf(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null)
  return known.length === 0 ? null : known.reduce((sum, value) => sum + value, 0) / known.length
}

/** What stands out in the figures, without guessing at reasons. */
export function standingOut({ beds, plantings }: SeasonReview, unit: TempUnit): string[] {
  const told: string[] = []
  const suns = beds
    .map(({ name, days }) => ({
      name,
      sun: meanOf(days.sunHours),
      days: days.sunHours.filter((h) => h !== null).length,
    }))
    .flatMap(({ name, sun, days }) => (sun === null || days < 7 ? [] : [{ name, sun, days }]))
    .sort((a, b) => b.sun - a.sun)
  const [most, least] = [suns[0], suns.at(-1)]
  if (most !== undefined && least !== undefined && most !== least) {
    told.push(
      `Most sun: ${most.name}, ${hoursInWords(most.sun)} a day over ${most.days} measured days; least: ${least.name}, ${hoursInWords(least.sun)} over ${least.days}.`,
    )
  }
  const hottest = extreme(beds, (days) => days.maxC, Math.max)
  const coldest = extreme(beds, (days) => days.minC, Math.min)
  if (hottest !== null && coldest !== null) {
    told.push(
      `Hottest: ${showTemperature(hottest.valueC, unit)} in ${hottest.name} on ${dayMonthYear(hottest.date)}; coldest: ${showTemperature(coldest.valueC, unit)} in ${coldest.name} on ${dayMonthYear(coldest.date)}.`,
    )
  }
  const warned = plantings.reduce((sum, { warnings }) => sum + warnings.length, 0)
  if (warned > 0) {
    const [most] = [...plantings].sort((a, b) => b.warnings.length - a.warnings.length)
    const whose = most === undefined ? '' : `${plantingName(most.cropName, most.variety)} in ${most.bedName}`
    const theirs = most?.warnings.length ?? 0
    const share = theirs === warned ? '' : `, ${numberWord(theirs)} of them`
    told.push(
      `${capital(count(warned, 'warning'))} ${warned === 1 ? 'was' : 'were'} raised${share} for ${whose}.`,
    )
  }
  for (const { cropName, variety, bedName, doses } of plantings) {
    const over = [
      ...(doses.heat?.level === 'likely' ? ['so much heat'] : []),
      ...(doses.chill?.level === 'likely' ? ['so much chill'] : []),
      ...(doses.warmDays?.level === 'likely' ? ['so many warm, long days'] : []),
    ]
    if (over.length > 0) {
      told.push(
        `${plantingName(cropName, variety)} in ${bedName} had ${listInWords(over)} that harm is likely: the figures are below.`,
      )
    }
  }
  return told
}

function extreme(
  beds: SeasonReview['beds'],
  of: (days: SeasonReview['beds'][number]['days']) => readonly (number | null)[],
  choose: (a: number, b: number) => number,
): { name: string; date: string; valueC: number } | null {
  let found: { name: string; date: string; valueC: number } | null = null
  for (const { name, days } of beds) {
    of(days).forEach((valueC, i) => {
      const date = days.date[i]
      if (valueC === null || date === undefined) return
      if (found === null || choose(valueC, found.valueC) !== found.valueC) found = { name, date, valueC }
    })
  }
  return found
}

/** 'sown 1 Mar 2027, planted out 8 Apr 2027; 12 plants, 45 cm apart' */
export function plantingLine(one: ReviewPlanting, unit: LengthUnit): string {
  const dates = datesOf(one)
  const plants = `${one.plants} ${one.plants === 1 ? 'plant' : 'plants'}, ${showLength(one.spacingM, unit)} apart`
  return dates === '' ? plants : `${dates}; ${plants}`
}

/** What came of it, in a sentence or two. */
export function harvestSentence(
  { harvest, forms, stageName, finishedOn }: ReviewPlanting,
  unit: LengthUnit,
): string {
  const { cuts, heads, weightKg, weightPerHeadKg, weighedHeads, diameterMm, firstCutOn, lastCutOn } = harvest
  const losses = lossesText(harvest)
  const lost = losses === '' ? '' : ` ${losses}`
  if (cuts === 0) {
    return `${finishedOn === null ? `Not cut yet: ${stageName}.` : 'The journal knows of nothing cut.'}${lost}`
  }
  const when =
    firstCutOn === null || lastCutOn === null || firstCutOn === lastCutOn
      ? `on ${dayMonthYear(firstCutOn ?? lastCutOn ?? '')}`
      : `from ${dayMonth(firstCutOn)} to ${dayMonthYear(lastCutOn)}`
  const what = heads === 0 ? `Cut ${count(cuts, 'time')}` : `${capital(headsText(heads, forms))} cut`
  const weight = weightKg === null ? ', not weighed' : `, ${weightWords(weightKg, unit)} in all`
  const each =
    weightPerHeadKg === null || weighedHeads < 2 ? '' : `, ${weightWords(weightPerHeadKg, unit)} each`
  const across = diameterMm === null ? '' : `, ${acrossWords(diameterMm, unit)} across`
  return `${what} ${when}${weight}${each}${across}.${lost}`
}

/** A day of a planting as the cursor reads it. */
export function dayText(one: ReviewPlanting, at: number, temp: TempUnit, length: LengthUnit): string {
  const { days } = one
  const date = days.date[at] ?? ''
  const sun = days.sunHours[at] ?? null
  const range = showTemperatureRange(days.minC[at] ?? null, days.maxC[at] ?? null, temp)
  const heat = days.heatHours[at] ?? 0
  const entries = one.journal.filter((entry) => entry.on === date)
  return (
    `${shortDate(date)}: ${sun === null ? 'sun not known' : `${hoursInWords(sun)} of sun of ${hoursInWords(days.possibleSunHours[at] ?? 0)} possible`}` +
    `; ${range ?? 'temperature not known'}; ${showDegreeDays(days.degreeDaysC[at] ?? 0, temp)} so far` +
    `${heat > 0 ? `; ${hoursInWords(heat)} of heat` : ''}.` +
    `${entries.length === 0 ? '' : ` ${entries.map((entry) => entrySentence(entry, length, one.forms)).join(' ')}`}`
  )
}

export const coverageText = (coverage: number): string => `readings cover ${percent(coverage)} of the time`
