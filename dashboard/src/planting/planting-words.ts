/** A planting in sentences: where it stands, what is to come, what it has taken. Pure. */
import type { Planting } from '../../../shared/api/garden.js'
import type { PlantingReport, ProjectedStage, Seen } from '../../../shared/api/progress.js'
import { dayMonthYear, shortDate } from '../format/local-clock.js'
import { capital } from '../format/sentences.js'
import { datesInText } from '../format/told.js'
import { figure, type TempUnit, toShown } from '../format/units.js'

/** The hub's words with its dates as people write them: '2026-11-12' becomes '12 Nov 2026'. */
export const withDates = (text: string): string => datesInText(text, dayMonthYear)

/** 'Cabbage, early ‘Lantern’' */
export const plantingName = (cropName: string, variety: string | null): string =>
  `${cropName}${variety === null ? '' : ` ‘${variety}’`}`

/** 'sown 13 Aug 2026, planted out 20 Sep 2026' */
export function datesOf({
  sownOn,
  plantedOutOn,
  finishedOn,
}: Pick<Planting, 'sownOn' | 'plantedOutOn' | 'finishedOn'>): string {
  return [
    ...(sownOn === null ? [] : [`sown ${dayMonthYear(sownOn)}`]),
    ...(plantedOutOn === null ? [] : [`planted out ${dayMonthYear(plantedOutOn)}`]),
    ...(finishedOn === null ? [] : [`finished ${dayMonthYear(finishedOn)}`]),
  ].join(', ')
}

/** 'about Tue 8 Dec (eight times in ten between Fri 4 Dec and Mon 14 Dec)' */
export function expectedWords({ expectedOn, earliestOn, latestOn }: ProjectedStage): string {
  if (expectedOn === null) return 'later than can be looked ahead'
  const about = `about ${shortDate(expectedOn)}`
  if (earliestOn === null || latestOn === null) return about
  if (earliestOn === latestOn) return about
  return `${about} (eight times in ten between ${shortDate(earliestOn)} and ${shortDate(latestOn)})`
}

/** The planting in a sentence or two: its stage, the next one, and the harvest. */
export function leadSentence(report: PlantingReport): { readonly lead: string; readonly rest: string } {
  const reached = report.stages.find((s) => s.stage === report.stage)?.reachedOn ?? null
  const name = capital(report.stageName)
  const lead = reached === null ? name : `${name} since ${shortDate(reached)}`
  const next = report.projection.stages[0]
  const { harvest } = report.projection
  const coming = next === undefined ? '' : ` Next: ${next.stageName}, ${expectedWords(next)}.`
  const cut =
    harvest === null || harvest.to === null
      ? ''
      : ` At its best from ${shortDate(harvest.from)} to ${shortDate(harvest.to)}.`
  return { lead: `${lead}.`, rest: `${coming}${cut}` }
}

export const tempText = (tempC: number, unit: TempUnit): string =>
  `${figure(toShown(tempC, '°C', unit), 1)}\u00a0°${unit}`

const LIMIT_WORDS: Readonly<Record<string, string>> = {
  published: 'a published limit',
  'common practice': 'a limit of common practice',
  memory: 'a limit remembered from the literature, not checked',
  derived: 'a limit worked out from other figures, a first guess',
  grower: 'a limit of your own',
}

export const limitWords = (source: string): string => LIMIT_WORDS[source] ?? source

/** What a grower can have seen, in the words of what the crop forms. */
export function seenWords(seen: Seen, forms: string): string {
  const formed =
    forms === 'leaves' ? 'leaves fill out' : /s$/.test(forms) ? `${forms} form` : `${forms}s form`
  switch (seen) {
    case 'emerged':
      return 'seedlings are up'
    case 'first-leaves':
      return 'first true leaves'
    case 'heads-started':
      return formed
    case 'firm':
      return 'fit to cut or pull'
    case 'split':
      return 'split or past its best'
    case 'bolted':
      return 'bolted'
  }
}

export const SEEN: readonly Seen[] = ['emerged', 'first-leaves', 'heads-started', 'firm', 'split', 'bolted']

/** '4 in 10', never certain: 'fewer than 1 in 20', 'more than 19 in 20' */
export function oddsWords(chance: number): string {
  if (chance < 0.05) return 'less than 1 in 20'
  if (chance > 0.95) return 'more than 19 in 20'
  return `${Math.max(1, Math.min(9, Math.round(chance * 10)))} in 10`
}
