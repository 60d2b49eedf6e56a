/** The outlook in words: labels by season, and the weeks that reach six and eight hours. Pure. */
import type { SunOutlook } from '../../../shared/api/sun.js'
import { hoursInWords, listInWords, numberWord } from '../format/durations.js'
import { monthName } from '../format/local-clock.js'
import { capital } from '../format/sentences.js'

const day = (date: string): string => `${Number(date.slice(8))} ${monthName(date, true)}`

type Stretch = SunOutlook['possibleSixHours'][number]

/** 'from 12 Mar to 30 Sep', 'all year', 'never' */
export function stretchWords(stretches: readonly Stretch[], first: string, last: string): string {
  if (stretches.length === 0) return 'never'
  const [only] = stretches
  if (stretches.length === 1 && only !== undefined && only.from <= first && only.to >= last) return 'all year'
  return listInWords(stretches.map((s) => `from ${day(s.from)} to ${day(s.to)}`))
}

/** Shorter runs of days are noise in a curve that grows by steps of the skyline. */
const SHORTEST_RUN_DAYS = 7

/** Runs of a week or more of days that are so. */
function runs(days: SunOutlook['days'], isSo: (d: SunOutlook['days'][number]) => boolean): Stretch[] {
  const found: { from: string; to: string; length: number }[] = []
  let wasSo = false
  for (const d of days) {
    const last = found[found.length - 1]
    const is = isSo(d)
    if (is && wasSo && last) {
      last.to = d.date
      last.length += 1
    } else if (is) found.push({ from: d.date, to: d.date, length: 1 })
    wasSo = is
  }
  return found.filter(({ length }) => length >= SHORTEST_RUN_DAYS)
}

/**
 * One sentence a mark: 'Six hours are possible from 12 Mar to 30 Sep, and to be expected from 2 May to 1 Sep.' Where the
 * skyline is not known well enough, a second one says for which days that is in doubt.
 */
export function markSentence(outlook: SunOutlook, hours: 6 | 8): string {
  const first = outlook.days[0]?.date ?? ''
  const last = outlook.days[outlook.days.length - 1]?.date ?? ''
  const possible = hours === 6 ? outlook.possibleSixHours : outlook.possibleEightHours
  const expected = hours === 6 ? outlook.expectedSixHours : outlook.expectedEightHours
  const word = numberWord(hours)
  const lead = `${capital(word)} hours are`
  if (possible.length === 0) {
    const perhaps = runs(outlook.days, (d) => d.possibleHigh >= hours)
    return perhaps.length === 0
      ? `${lead} never possible here.`
      : `${lead} not to be had by the likeliest skyline; it is not known well enough to rule them out ${stretchWords(perhaps, first, last)}.`
  }
  const isExpectedKnown = outlook.days.some((d) => d.expectedSunHours !== null)
  const tail = !isExpectedKnown
    ? ''
    : expected.length === 0
      ? ', but with the usual clouds never to be expected'
      : `, and with the usual clouds to be expected ${stretchWords(expected, first, last)}`
  const unsure = runs(
    outlook.days,
    (d) => d.possibleLow < hours && possible.some(({ from, to }) => from <= d.date && d.date <= to),
  )
  const doubt =
    unsure.length === 0
      ? ''
      : ` The skyline is not known well enough to be sure ${stretchWords(unsure, first, last)}.`
  return `${lead} possible ${stretchWords(possible, first, last)}${tail}.${doubt}`
}

/** 'full sun in summer (9 h 10 min), …'; a label that is not certain says what else it may be. */
export function labelWords(outlook: SunOutlook): string {
  return listInWords(
    outlook.labels.map((l) => {
      const doubt = l.atWorst === l.atBest ? '' : `, between ${l.atWorst} and ${l.atBest}`
      return `${l.label} in ${l.season} (${hoursInWords(l.possibleSunHours)}${doubt})`
    }),
  )
}

/** 'Full sun means six hours … possible a day or more, part sun …': what the labels mean, and whose limits these are. */
export function labelMeaning({ labelHours: { fullSun, partSun, partShade, source } }: SunOutlook): string {
  return `Full sun means ${fullSun} possible hours of sun a day and more, part sun ${partSun} to ${fullSun}, part shade ${partShade} to ${partSun}, full shade less (${source}).`
}

export interface MonthOutlook {
  /** first day of the month */
  readonly date: string
  readonly possible: number
  readonly low: number
  readonly high: number
  readonly expected: number | null
}

/** Means by month, for the table. */
export function byMonth(outlook: SunOutlook): MonthOutlook[] {
  const months = new Map<string, SunOutlook['days'][number][]>()
  for (const d of outlook.days) {
    const key = d.date.slice(0, 7)
    months.set(key, [...(months.get(key) ?? []), d])
  }
  return [...months].map(([month, days]) => {
    const mean = (of: (d: SunOutlook['days'][number]) => number): number =>
      days.reduce((sum, d) => sum + of(d), 0) / days.length
    const isExpectedKnown = days.every((d) => d.expectedSunHours !== null)
    return {
      date: `${month}-01`,
      possible: mean((d) => d.possibleSunHours),
      low: mean((d) => d.possibleLow),
      high: mean((d) => d.possibleHigh),
      expected: isExpectedKnown ? mean((d) => d.expectedSunHours ?? 0) : null,
    }
  })
}
