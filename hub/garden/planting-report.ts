/** All that is told of a planting, in the form it has on the wire, with the words that go with its figures. Pure. */
import type { DayRecord } from '../../shared/api/measurements.js'
import type { TemperatureNormals } from '../../shared/api/normals.js'
import type { Dose as DoseOnWire, PlantingReport } from '../../shared/api/progress.js'
import { addDays, daysBetween } from '../../shared/local-time.js'
import type { Crop, Sourced } from '../core/crops/crop.js'
import type { Dose } from '../core/crops/dose.js'
import { type SoilForSowing, soilForSowing } from '../core/crops/emergence.js'
import { daysToEmergence } from '../core/crops/germination.js'
import type { WarmthDay } from '../core/heat/season-degree-days.js'
import { celsius, counted } from '../core/words.js'
import { plantingProgress } from './planting-progress.js'
import type { PlantingSeason } from './planting-season.js'
import { seasonAhead } from './season-ahead.js'

/** @param past  see seasonAhead */
export function plantingReport(
  season: PlantingSeason,
  past: readonly WarmthDay[] | null,
  normals: TemperatureNormals | null,
): PlantingReport {
  const { known, days, records, sums, today } = season
  const crop = known?.crop ?? null
  return {
    ...plantingProgress(season),
    today: today.date,
    cropBy: known === null || known.by === 'library' ? 'library' : 'grower',
    filledC: sums.filledC,
    openDays: sums.openDays,
    notes: notesOf(season),
    observations: [...season.observations],
    days: {
      date: days.map((day) => day.date),
      degreeDaysC: days.map((day) => day.degreeDaysC),
      minC: records.map((record) => record.airTempMinC),
      meanC: records.map((record) => record.airTempMeanC),
      maxC: records.map((record) => record.airTempMaxC),
      heatHours: records.map((record) => record.heatHours),
    },
    ...seasonAhead(season, past, normals),
    comfort: crop && {
      bestFromC: crop.bestMeanC.from.value,
      bestToC: crop.bestMeanC.to.value,
      minMeanC: crop.minMeanC.value,
      maxMeanC: crop.maxMeanC.value,
    },
    doses: crop ? dosesOf(crop, season) : { heat: null, chill: null, warmDays: null },
    emergence: crop ? emergenceOf(crop, season) : null,
  }
}

/** Readings older than this are no longer "now". */
const QUIET_DAYS = 7

function notesOf({
  planting,
  known,
  counted: begun,
  records,
  sums,
  today,
  degreeDaysC,
}: PlantingSeason): string[] {
  const notes: string[] = []
  if (!known) {
    notes.push(`The crop "${planting.crop}" is not known any more: choose another, or add it as your own.`)
  }
  if (!begun) notes.push('Without the date it was sown or planted out nothing can be counted: give it.')
  if (records.length > 0 && degreeDaysC === null) {
    notes.push('No air temperature was measured in this bed since it began: does a node stand in it?')
  }
  const lastMeasured = records.findLast((record) => record.degreeDaysC !== null)?.date
  const lastDay = records.at(-1)?.date
  if (lastMeasured && lastDay) {
    const quiet = daysBetween(lastMeasured, lastDay)
    if (quiet >= QUIET_DAYS) {
      notes.push(
        `No readings for ${quiet} days, the last on ${lastMeasured}: the figures stand where they stood then.`,
      )
    }
  }
  if (sums.openDays > 0) {
    notes.push(
      `On ${counted(sums.openDays, 'day')} too little was measured to fill in: the sum is a lower bound, and it may be further along.`,
    )
  }
  if (known && known.by !== 'library' && planting.finishedOn === null && begun && begun.date <= today.date) {
    notes.push('It is judged by your own figures, from its first day on.')
  }
  return notes
}

const rounded = (value: number): string => (Math.round(value * 2) / 2).toFixed(1)

export const SOURCE_WORDS: Readonly<Record<Sourced['source'], string>> = {
  published: 'published',
  'common practice': "growers' common practice",
  memory: 'from the literature, not checked',
  derived: 'a first guess',
  grower: 'your own figure',
}

function onWire(dose: Dose, likely: Sourced, what: string): DoseOnWire {
  const { amount, unit, watchAt, likelyAt, level, unknownDays } = dose
  const unknown =
    unknownDays > 0 ? ` On ${counted(unknownDays, 'day')} too little was measured: it may be more.` : ''
  return {
    amount,
    unit,
    watchAt,
    likelyAt,
    level,
    unknownDays,
    limitSource: likely.source,
    words: `${rounded(amount)} ${unit} ${what}; worth a look from ${watchAt}, harm likely from ${likelyAt} (${SOURCE_WORDS[likely.source]}).${unknown}`,
  }
}

function dosesOf(crop: Crop, { doses }: PlantingSeason): PlantingReport['doses'] {
  const { heat, coldBolting: cold, heatBolting: hot } = crop
  return {
    heat:
      heat && doses.heat
        ? {
            ...onWire(
              doses.heat,
              heat.likelyHours,
              `above ${celsius(heat.aboveC.value)} while what is eaten forms`,
            ),
            aboveC: heat.aboveC.value,
            harm: heat.harm,
          }
        : null,
    chill:
      cold && doses.chill
        ? {
            ...onWire(
              doses.chill,
              cold.likelyDays,
              doses.chill.feelsColdFrom === null
                ? 'of chill: the plants are still too small to feel it'
                : `of chill since ${doses.chill.feelsColdFrom}, when the plants were big enough to feel it`,
            ),
            undoneDays: doses.chill.undoneDays,
            feelsColdFrom: doses.chill.feelsColdFrom,
          }
        : null,
    warmDays:
      hot && doses.warmDays
        ? {
            ...onWire(
              doses.warmDays,
              hot.likelyDays,
              `above ${celsius(hot.maxAboveC.value)}${hot.dayLongerThanHours ? ` and longer than ${hot.dayLongerThanHours.value} h` : ''}`,
            ),
            aboveC: hot.maxAboveC.value,
            dayLongerThanHours: hot.dayLongerThanHours?.value ?? null,
          }
        : null,
  }
}

/** Soil of the last days speaks for the next. */
const SOIL_DAYS = 3

/** Mean soil temperature of the newest days, °C; null: not measured. */
export function recentSoilC(records: readonly Pick<DayRecord, 'soilTempMeanC'>[]): number | null {
  const measured = records.slice(-SOIL_DAYS).flatMap(({ soilTempMeanC }) => soilTempMeanC ?? [])
  return measured.length === 0 ? null : measured.reduce((sum, c) => sum + c, 0) / measured.length
}

function emergenceOf(
  crop: Crop,
  { counted, emergence, records, today }: PlantingSeason,
): PlantingReport['emergence'] {
  if (counted?.start !== 'sown' || crop.germination.points.length === 0) return null
  const soilC = recentSoilC(records)
  const soil: SoilForSowing | 'unknown' = soilC === null ? 'unknown' : soilForSowing(crop, soilC)
  if (emergence === null) {
    return {
      part: 0,
      emergedOn: null,
      expectedOn: null,
      unknownDays: records.filter((record) => record.soilTempMeanC === null).length,
      soil,
      words: 'The soil was not measured on enough days to say when seedlings come up.',
    }
  }
  const { part, emergedOn, unknownDays } = emergence
  const pace = soilC === null ? null : daysToEmergence(crop, soilC)
  const expectedOn =
    emergedOn === null && pace?.days
      ? addDays(today.date, Math.max(1, Math.ceil((1 - part) * pace.days)))
      : null
  return {
    part,
    emergedOn,
    expectedOn,
    unknownDays,
    soil,
    words: emergenceWords(part, emergedOn, expectedOn, soilC, soil),
  }
}

function emergenceWords(
  part: number,
  emergedOn: string | null,
  expectedOn: string | null,
  soilC: number | null,
  soil: SoilForSowing | 'unknown',
): string {
  if (emergedOn !== null) return `By the soil’s warmth seedlings were up on ${emergedOn}.`
  const far = `${Math.round(part * 100)} % of the way to emergence`
  if (soilC === null) return `${far}; the soil is not measured now.`
  const now = `the soil at ${celsius(soilC)} is ${soil === 'fit' ? 'fit' : soil}`
  return expectedOn === null
    ? `${far}; ${now}: nothing comes up while it stays so.`
    : `${far}; ${now}, and at this warmth seedlings come up about ${expectedOn}.`
}
