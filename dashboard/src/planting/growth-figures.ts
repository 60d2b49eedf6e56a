/** The degree-day curve: what was measured, how it is to go on with its band, and the stages as marks. Pure. */
import type { PlantingReport } from '../../../shared/api/progress.js'
import { dayMonth, shortDate } from '../format/local-clock.js'
import { showDegreeDays, shownDegreeDays, type TempUnit } from '../format/units.js'
import { type DayFigures, noonS, type Rule, type Stretch } from './day-figures.js'

type Projected = PlantingReport['projection']['stages'][number]

/** 'ready to cut, about 8 Dec' */
function ruleWords(stageName: string, reachedOn: string | null, ahead: Projected | undefined): string {
  if (reachedOn !== null) return `${stageName}, ${dayMonth(reachedOn)}`
  if (ahead === undefined || ahead.expectedOn === null) return stageName
  return `${stageName}, about ${dayMonth(ahead.expectedOn)}`
}

export function growthFigures(report: PlantingReport, unit: TempUnit): DayFigures {
  const { days, ahead, stages, projection } = report
  const shown = (value: number | null | undefined): number | null =>
    value === null || value === undefined ? null : shownDegreeDays(value, unit)
  const dates = [...days.date, ...ahead.date]
  const before = days.date.length - 1
  // the projection begins where the measured sum ends
  const joined = (values: readonly (number | null)[]): (number | null)[] => [
    ...days.date.map((_, i) => (i === before ? shown(days.degreeDaysC[i]) : null)),
    ...values.map(shown),
  ]
  const hasBand = ahead.lowC.some((v) => v !== null)
  const measured = dates.map((_, i) => (i <= before ? shown(days.degreeDaysC[i]) : null))
  const low = hasBand ? joined(ahead.lowC) : dates.map(() => null)
  const high = hasBand ? joined(ahead.highC) : dates.map(() => null)
  const middle = joined(ahead.middleC)
  const marks = stages.filter((stage) => stage.degreeDaysC > 0)
  const aheadOf = (stage: string): Projected | undefined => projection.stages.find((s) => s.stage === stage)
  const rules = marks.map(
    (stage): Rule => ({
      value: shownDegreeDays(stage.degreeDaysC, unit),
      words: ruleWords(stage.stageName, stage.reachedOn, aheadOf(stage.stage)),
      ink: 'rule-strong',
      isDashed: stage.reachedOn === null,
    }),
  )
  const stretches = marks.flatMap((stage): Stretch[] => {
    const expected = aheadOf(stage.stage)
    if (stage.reachedOn !== null || !expected?.earliestOn || !expected.latestOn) return []
    return [
      {
        value: shownDegreeDays(stage.degreeDaysC, unit),
        fromS: noonS(expected.earliestOn),
        toS: noonS(expected.latestOn),
        ink: 'line-other',
      },
    ]
  })
  const most = Math.max(
    10,
    ...rules.map((rule) => rule.value),
    ...[...measured, ...middle].filter((v) => v !== null),
  )
  return {
    dates,
    lines: [
      { ink: 'line-other', dash: [], width: 2.4, values: measured },
      { ink: 'line-other', dash: [6, 4], width: 1.8, values: middle },
      { ink: 'line-other', dash: [], width: 0, values: high },
      { ink: 'line-other', dash: [], width: 0, values: low },
    ],
    bands: hasBand ? [{ upper: 2, lower: 3, ink: 'line-other', alpha: '38' }] : [],
    washes: [],
    rules,
    stretches,
    today: ahead.date.length > 0 ? report.today : null,
    range: [0, most * 1.1],
  }
}

/** 'Tue 24 Nov: 623 °C·d', 'Wed 9 Dec: about 830 °C·d (790 °C·d to 860 °C·d)' */
export function readGrowth({ days, ahead }: PlantingReport, date: string, unit: TempUnit): string {
  const past = days.date.indexOf(date)
  const sum = days.degreeDaysC[past]
  if (sum !== undefined) return `${shortDate(date)}: ${showDegreeDays(sum, unit)}.`
  const i = ahead.date.indexOf(date)
  const middle = ahead.middleC[i]
  if (middle === undefined) return `${shortDate(date)}: not known.`
  const low = ahead.lowC[i] ?? null
  const high = ahead.highC[i] ?? null
  const band =
    low === null || high === null
      ? ''
      : ` (eight times in ten ${showDegreeDays(low, unit)} to ${showDegreeDays(high, unit)})`
  return `${shortDate(date)}: about ${showDegreeDays(middle, unit)}${band}.`
}
