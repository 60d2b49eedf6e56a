/**
 * Forecast skill on measured weather, as text: every forecast made only from what was known before it. Printed by
 * `npm run accuracy`.
 */
import { interval80 } from '../../hub/core/forecast/normal-odds.js'
import {
  type ErrorScores,
  errorScores,
  intervalCoverage,
  skillScore,
} from '../../hub/core/forecast/scores.js'
import type { SpellVerification } from '../../hub/core/forecast/spell-verification.js'
import {
  FIRST_SEASON_CHANCE,
  LIKELY_SPELL_CHANCE,
  POSSIBLE_SPELL_CHANCE,
} from '../../hub/core/forecast/warm-spell-odds.js'
import { scoreFirstWeeks } from '../core/forecast/support/first-weeks.js'
import { frostBrier, hindcast, type LeadScores, scoreHindcast } from '../core/forecast/support/hindcast.js'
import { scoreHourlyCourse, scoreRunningDay } from '../core/forecast/support/hourly-hindcast.js'
import {
  correctAll,
  ECMWF_COLUMNS,
  ECMWF_FILES,
  ecmwfPoints,
  type VerifiedPoint,
  valenciaPoints,
} from '../core/forecast/support/public-forecasts.js'
import { type DailyRecord, dailyOfTimed, longRecords, timedRecord } from '../core/forecast/support/records.js'
import { compareSpellWarnings, SPELL_DAYS } from '../core/forecast/support/spell-hindcast.js'
import { hasReferenceData, skipNote } from '../support/reference-data.js'

const HOT_ABOVE_C = 27
const SECOND_YEAR = 365

/** Columns padded to line up; the first to the left, the others to the right. */
function table(rows: readonly (readonly string[])[]): string {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((row) => row[i]!.length)))
  return rows
    .map((row) =>
      row.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!))).join('  '),
    )
    .map((line) => `  ${line}`)
    .join('\n')
}

const fixed = (value: number | null, decimals: number): string =>
  value === null ? '–' : value.toFixed(decimals)
const percent = (value: number | null): string => (value === null ? '–' : `${(100 * value).toFixed(0)} %`)

type Rivals = Readonly<Record<'forecast' | 'persistence' | 'pastYears' | 'usual', ErrorScores>>

const errorRow = (label: string, { forecast, persistence, pastYears, usual }: Rivals, held: number) => [
  label,
  fixed(forecast.maeC, 2),
  fixed(persistence.maeC, 2),
  fixed(pastYears.maeC, 2),
  fixed(usual.maeC, 2),
  fixed(forecast.biasC, 2),
  percent(held),
]

function dailySection(
  record: DailyRecord,
  outlooks: ReturnType<typeof hindcast>,
  fromIndex: number,
  since: string,
): string {
  const scores: readonly LeadScores[] = scoreHindcast(record, outlooks, HOT_ABOVE_C, fromIndex)
  const errors = [
    [
      'mean absolute error, °C',
      'forecast',
      'as today',
      'past years',
      'usual course',
      'bias',
      '80 % interval',
    ],
    ...scores.flatMap(({ lead, max, min, maxCoverage, minCoverage }) => [
      errorRow(`maximum, ${lead} d ahead`, max, maxCoverage),
      errorRow(`minimum, ${lead} d ahead`, min, minCoverage),
    ]),
  ]
  const chances = [
    [
      `maximum above ${HOT_ABOVE_C} °C`,
      'Brier score',
      'as today',
      'past years',
      'usual course',
      'skill on today',
      'on past years',
      'on usual course',
      'hot days',
    ],
    ...scores.map((one) => [
      `${one.lead} d ahead`,
      fixed(one.brier.forecast, 4),
      fixed(one.brier.persistence, 4),
      fixed(one.brier.pastYears, 4),
      fixed(one.brier.usual, 4),
      fixed(one.skillAgainstPersistence, 3),
      fixed(one.skillAgainstPastYears, 3),
      fixed(one.skillAgainstUsual, 3),
      String(one.events),
    ]),
  ]
  const frosts = [
    [
      'minimum below 0 °C',
      'Brier score',
      'as today',
      'past years',
      'usual course',
      'skill on past years',
      'frosts',
    ],
    ...scores.map(({ lead }) => {
      const one = frostBrier(record, outlooks, lead, fromIndex)
      return [
        `${lead} d ahead`,
        fixed(one.forecast, 4),
        fixed(one.persistence, 4),
        fixed(one.pastYears, 4),
        fixed(one.usual, 4),
        fixed(skillScore(one.forecast, one.pastYears), 3),
        String(one.frosts),
      ]
    }),
  ]
  return [
    `${record.name} (${scores[0]!.max.forecast.count} days, ${since})`,
    table(errors),
    table(chances),
    table(frosts),
  ].join('\n')
}

function firstWeeksSection(records: readonly DailyRecord[]): string {
  const spans: readonly (readonly [number, number])[] = [
    [0, 5],
    [5, 20],
    [20, 60],
  ]
  return table([
    ['tomorrow’s extremes, °C', 'error', 'as today', 'usual course', '80 % interval', 'its width'],
    ...records.flatMap((record) =>
      spans.map(([fromDay, toDay]) => {
        const one = scoreFirstWeeks(record, fromDay, toDay)
        return [
          `${record.name}, day ${fromDay + 1} to ${toDay}`,
          fixed(one.maeC, 2),
          fixed(one.persistenceMaeC, 2),
          fixed(one.usualMaeC, 2),
          percent(one.coverage),
          fixed(one.meanWidthC, 1),
        ]
      }),
    ),
  ])
}

const spellRow = (label: string, scores: SpellVerification): string[] => [
  label,
  String(scores.spells),
  percent(scores.hitRate),
  percent(scores.hitRateBeforeFirstDay),
  fixed(scores.meanLeadDays, 2),
  String(scores.warnings),
  percent(scores.falseAlarmRatio),
]

function spellSection(record: DailyRecord, outlooks: ReturnType<typeof hindcast>, fromIndex: number): string {
  const { byChance, whenHot, brier, reliability } = compareSpellWarnings(
    record,
    outlooks,
    HOT_ABOVE_C,
    fromIndex,
    [POSSIBLE_SPELL_CHANCE, 0.3, FIRST_SEASON_CHANCE, LIKELY_SPELL_CHANCE],
  )
  const rows = [
    [record.name, 'spells', 'hit', 'before 1st hot day', 'lead, d', 'warnings', 'false alarms'],
    ...byChance.map(({ chance, scores }) => spellRow(`warn from a chance of ${chance}`, scores)),
    spellRow('warn when the day was hot', whenHot),
  ]
  const said = reliability
    .map(({ said, happened, count }) => `${percent(said)} → ${percent(happened)} (${count})`)
    .join(', ')
  return [
    table(rows),
    `  Brier score of the chance ${fixed(brier.forecast, 4)}, of “when hot” ${fixed(brier.whenHot, 4)}; said → came true: ${said}`,
  ].join('\n')
}

async function hoursSection(name: 'tharandt' | 'winters', title: string): Promise<string> {
  const daily = await dailyOfTimed(name)
  const record = await timedRecord(name)
  const course = scoreHourlyCourse(name, daily, record)
  const running = scoreRunningDay(name, daily, record, [0, 6, 9, 12, 15, 18, 21])
  return [
    table([
      [title, 'error, °C', 'as at this hour of the last day', '80 % band'],
      ...course.map(({ lead, maeC, sameHourMaeC, coverage }) => [
        `hours of day ${lead} ahead`,
        fixed(maeC, 2),
        fixed(sameHourMaeC, 2),
        percent(coverage),
      ]),
    ]),
    table([
      ['issued at', ...running.map(({ hour }) => `${hour} h`)],
      ["error of today's maximum, °C", ...running.map((one) => fixed(one.todayMaxMaeC, 2))],
      ["of tomorrow's maximum", ...running.map((one) => fixed(one.tomorrowMaxMaeC, 2))],
      ["of tomorrow's minimum", ...running.map((one) => fixed(one.tomorrowMinMaeC, 2))],
      ["80 % interval, tomorrow's maximum", ...running.map((one) => percent(one.tomorrowMaxCoverage))],
    ]),
  ].join('\n')
}

function correctionRow(label: string, points: readonly VerifiedPoint[]): string[] {
  const verified = points.filter(({ truthC }) => Number.isFinite(truthC))
  const raw = errorScores(verified)!
  const ours = errorScores(
    verified.map(({ corrected, truthC }) => ({ forecastC: corrected.odds.meanC, truthC })),
  )!
  const held = intervalCoverage(
    verified.map(({ corrected, truthC }) => ({ ...interval80(corrected.odds), truthC })),
  )
  return [
    label,
    String(ours.count),
    fixed(raw.maeC, 3),
    fixed(ours.maeC, 3),
    fixed(raw.biasC, 2),
    fixed(ours.biasC, 2),
    percent(held),
  ]
}

async function correctionSection(): Promise<string> {
  const rows = [['forecast', 'count', 'raw, °C', 'corrected', 'raw bias', 'corrected', '80 % interval']]
  for (const lead of Object.keys(ECMWF_FILES) as (keyof typeof ECMWF_FILES)[]) {
    for (const kind of Object.keys(ECMWF_COLUMNS) as (keyof typeof ECMWF_COLUMNS)[]) {
      rows.push(correctionRow(`ECMWF, ${kind}, ${lead}`, correctAll(await ecmwfPoints(lead, kind))))
    }
  }
  rows.push(
    correctionRow('a town’s forecast at a house, 29 days, hourly', correctAll(await valenciaPoints())),
  )
  return table(rows)
}

/** The whole report; a plain note where the measured records are absent. */
export async function forecastReport(): Promise<string> {
  if (!hasReferenceData) return `Forecast skill${skipNote}`
  const sections: string[] = [
    'Forecast skill (everything learned only from the past of each day)',
    '“past years”: mean or share of the days within 15 of the calendar day in earlier years of the record;',
    '“usual course”: the forecast’s own annual cycle, without the present weather.',
    '',
    'From the bed’s own days alone',
  ]
  const spells: string[] = []
  const long = await longRecords()
  const short = [
    { ...(await dailyOfTimed('tharandt')), name: 'Tharandt 1998, a garden’s first year' },
    { ...(await dailyOfTimed('winters')), name: 'Winters 2008, a garden’s first eight months' },
  ]
  for (const record of [...long, ...short]) {
    const fromIndex = long.includes(record) ? SECOND_YEAR : 1
    const outlooks = hindcast(record)
    const since = long.includes(record) ? 'from the second year on' : 'from the second day on'
    sections.push(dailySection(record, outlooks, fromIndex, since), '')
    spells.push(spellSection(record, outlooks, fromIndex), '')
  }
  sections.push(
    'A garden’s first weeks, begun anew every 45 days of the record, knowing only latitude and height',
    firstWeeksSection(long),
    '',
    `Warm spells: ${SPELL_DAYS} days or more in a row above ${HOT_ABOVE_C} °C, warned of up to 3 days ahead`,
    ...spells,
    'The hours to come, issued at midnight, and the forecast while a day runs',
    await hoursSection('tharandt', 'Tharandt 1998'),
    '',
    await hoursSection('winters', 'Winters 2008'),
    '',
    'A public forecast corrected to the bed (mean absolute error)',
    await correctionSection(),
  )
  return sections.join('\n')
}
