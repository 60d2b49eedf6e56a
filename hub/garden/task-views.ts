/** Gathers what the rules of the to-do list look at: plantings with their stages, beds, soil, flights, hot days. */
import type { Bed, Garden, Planting } from '../../shared/api/garden.js'
import type { JournalEntry } from '../../shared/api/journal.js'
import type { PlantingReport } from '../../shared/api/progress.js'
import { addDays } from '../../shared/local-time.js'
import { findGardenCrop } from '../core/crops/garden-crops.js'
import { plantingName } from '../core/crops/spoken-name.js'
import type { Stage } from '../core/crops/stages.js'
import { standsOn } from '../core/crops/standing.js'
import { DEFAULT_DAY_OPTIONS } from '../core/days/day-record.js'
import { entriesAbout } from '../core/journal/entries-about.js'
import type { BedView } from '../core/tasks/all-tasks.js'
import { hotSpell, SPELL_DAYS } from '../core/tasks/hot-spell.js'
import type { PestFlight } from '../core/tasks/pest-flight.js'
import { isOfCabbageFamily } from '../core/tasks/rules/net.js'
import { type HotSpell, type PlantingView, plantsLeft, type StageAhead } from '../core/tasks/task.js'
import type { Forecasts } from '../forecast/port.js'
import type { BedMeasurements, TemperatureDay } from './measured.js'
import type { PestFlights } from './pest-flights.js'
import { recentSoilC } from './planting-report.js'
import type { GardenRepository, StoredCrop } from './port.js'

/** Soil and air of the last days speak for the next. */
const RECENT_DAYS = 3

export interface ViewDeps {
  readonly garden: GardenRepository
  readonly measurements: Pick<BedMeasurements, 'temperatures' | 'report'>
  readonly forecasts: Pick<Forecasts, 'ahead'>
  readonly flights: PestFlights
}

/** What is quickly read and decides what must be looked at anew. */
export interface TaskGround {
  readonly today: string
  readonly beds: readonly Bed[]
  /** those that are not over */
  readonly plantings: readonly Planting[]
  readonly journal: readonly JournalEntry[]
  readonly crops: readonly StoredCrop[]
}

export interface TaskViews {
  readonly plantings: readonly PlantingView[]
  readonly beds: readonly BedView[]
}

export async function taskViews(deps: ViewDeps, garden: Garden, ground: TaskGround): Promise<TaskViews> {
  const { today, crops } = ground
  const known = ground.plantings.flatMap((planting) => {
    const crop = findGardenCrop(planting.crop, crops)?.crop
    const bed = ground.beds.find((one) => one.id === planting.bed)
    return crop && bed ? [{ planting, crop, bed }] : []
  })
  const used = ground.beds.filter(({ id }) => known.some(({ bed }) => bed.id === id))
  const isNeeded = known.some(isOfCabbageFamily)
  // each of these may have years to add up the first time
  const [flights, recent, reports] = await Promise.all([
    isNeeded ? deps.flights.of(garden, today, await deps.garden.getTemperatureNormals(garden.id)) : [],
    Promise.all(
      used.map(async ({ id }): Promise<[string, TemperatureDay[]]> => {
        const from = addDays(today, 1 - RECENT_DAYS)
        return [id, await deps.measurements.temperatures(garden.id, id, from, today)]
      }),
    ),
    Promise.all(known.map(({ planting }) => deps.measurements.report(garden.id, planting))),
  ])
  const recentOf = new Map(recent)
  const plantings = known.map((one, i) =>
    viewOf(one, reports[i]!, ground.journal, recentOf.get(one.bed.id) ?? [], flights),
  )
  const beds = await Promise.all(
    used.map(async (bed): Promise<BedView> => {
      const standing = plantings.filter(
        (view) => view.bed.id === bed.id && standsOn(view.planting, today) && plantsLeft(view) > 0,
      )
      return {
        bed,
        standing: standing.map(({ name }) => name),
        hot: standing.length === 0 ? null : await hotOf(deps, garden, bed, standing),
        journal: journalOf(ground.journal, bed.id, standing, addDays(today, -DAYS_OF_WATER)),
      }
    }),
  )
  return { plantings, beds }
}

/** Waterings that are counted for a bed: those of about a season. */
const DAYS_OF_WATER = 180

function viewOf(
  { planting, crop, bed }: Pick<PlantingView, 'planting' | 'crop' | 'bed'>,
  report: PlantingReport,
  journal: readonly JournalEntry[],
  recent: readonly TemperatureDay[],
  flights: readonly PestFlight[],
): PlantingView {
  const air = recent.flatMap(({ airTempMeanC }) => airTempMeanC ?? [])
  return {
    planting,
    crop,
    bed,
    name: plantingName(crop.name, planting.variety),
    stage: isStage(report.stage) ? report.stage : null,
    reachedOn: new Map(
      report.stages.flatMap(({ stage, reachedOn }): [Stage, string][] =>
        isStage(stage) && reachedOn !== null ? [[stage, reachedOn]] : [],
      ),
    ),
    ahead: new Map(
      report.projection.stages.flatMap(({ stage, ...dates }): [Stage, StageAhead][] =>
        isStage(stage) ? [[stage, dates]] : [],
      ),
    ),
    aheadWords: report.projection.words,
    journal: entriesAbout(planting, journal),
    soilMeanC: recentSoilC(recent),
    airMeanC: air.length === 0 ? null : air.reduce((sum, c) => sum + c, 0) / air.length,
    flights,
  }
}

const STAGES: ReadonlySet<string> = new Set<Stage>([
  'sown',
  'emerged',
  'leafing',
  'heading',
  'ready',
  'finished',
])
const isStage = (stage: string): stage is Stage => STAGES.has(stage)

const journalOf = (
  journal: readonly JournalEntry[],
  bed: string,
  standing: readonly PlantingView[],
  since: string,
): JournalEntry[] =>
  journal.filter(
    ({ on, bed: of, planting }) =>
      on >= since &&
      (of === bed || standing.some((view) => planting !== null && view.planting.id === planting)),
  )

async function hotOf(
  { forecasts }: ViewDeps,
  garden: Garden,
  bed: Bed,
  standing: readonly PlantingView[],
): Promise<HotSpell | null> {
  const ahead = await forecasts.ahead(garden, bed.id)
  if (!ahead.forecast || !ahead.isFresh) return null
  const limitC = standing.reduce(
    (least, { crop }) => Math.min(least, crop.heat?.aboveC.value ?? DEFAULT_DAY_OPTIONS.heatAboveC),
    DEFAULT_DAY_OPTIONS.heatAboveC,
  )
  const odds = ahead.spellOdds(limitC, SPELL_DAYS)
  return hotSpell(ahead.forecast.days, odds, ahead.isFirstSeason, limitC, ahead.words)
}
