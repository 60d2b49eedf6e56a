/** Gathers what the rules look at: the only part of the warnings that asks the store and the garden's database. */
import type { BaseLogger } from 'pino'
import type { Bed, Garden, Planting } from '../../shared/api/garden.js'
import { addDays, daysBetween, localDate, localDay } from '../../shared/local-time.js'
import { findGardenCrop } from '../core/crops/garden-crops.js'
import { plantingName } from '../core/crops/spoken-name.js'
import { standsOn } from '../core/crops/standing.js'
import { typicalSpacingMs } from '../core/quality/completeness.js'
import type { ReadingColumns } from '../core/readings.js'
import { sunTimes } from '../core/sun/sun-times.js'
import type { BedAhead, Forecasts } from '../forecast/port.js'
import type { BedMeasurements } from '../garden/measured.js'
import { plantingProgress } from '../garden/planting-progress.js'
import type { GardenRepository, StoredCrop, StoredPlacement } from '../garden/port.js'
import type { ReadingStore } from '../store/port.js'
import type { NodeArrivals } from './node-arrivals.js'
import type { BedView, Night, NodeView, PlantingView, RuleContext, SowingView } from './rule.js'
import type { SunHistories } from './sun-histories.js'

const HOUR_MS = 3_600_000
const RECENT_MS = 24 * HOUR_MS
/** Nodes' clocks may run ahead by this much (core/quality/arrival-checks.ts). */
const AHEAD_MS = 10 * 60_000
const FORTNIGHT_DAYS = 14

export interface ViewDeps {
  readonly garden: GardenRepository
  readonly measurements: BedMeasurements
  readonly store: ReadingStore
  readonly arrivals: NodeArrivals
  readonly sunHistories: SunHistories
  /** null: rules that look ahead have nothing to look at */
  readonly forecasts: Pick<Forecasts, 'ahead'> | null
  readonly log: Pick<BaseLogger, 'error'>
  readonly listeningSinceMs: number
}

/** Everything of a garden as it is at nowMs; all of a context but which warnings are open. */
export async function viewGarden(
  deps: ViewDeps,
  garden: Garden,
  nowMs: number,
): Promise<Omit<RuleContext, 'isOpen'>> {
  const date = localDate(nowMs, garden.timeZone)
  const [beds, plantings, placements, crops] = await Promise.all([
    deps.garden.listBeds(garden.id),
    deps.garden.listPlantings(garden.id),
    deps.garden.listPlacements(garden.id),
    deps.garden.listCrops(garden.id),
  ])
  const nodes = await viewNodes(deps, garden, beds, placements, nowMs)
  const sunHistories = await deps.sunHistories.of(
    garden,
    beds.map((b) => b.id),
    date,
  )
  const night = nightOf(garden, nowMs)
  const views: BedView[] = []
  for (const bed of beds) {
    const standing = plantings.filter((p) => p.bed === bed.id && standsOn(p, date))
    const plantingViews: PlantingView[] = []
    for (const planting of standing) plantingViews.push(await viewPlanting(deps, garden, planting, date))
    const isHeading = plantingViews.some((p) => p.progress.stage === 'heading')
    views.push({
      bed,
      plantings: plantingViews,
      days: isHeading
        ? await deps.measurements.days(garden.id, bed.id, addDays(date, 1 - FORTNIGHT_DAYS), date)
        : [],
      airTemp: await deps.measurements.readRange(
        garden.id,
        bed.id,
        'air-temp',
        nowMs - RECENT_MS,
        nowMs + AHEAD_MS,
      ),
      night,
      sunHistory: sunHistories.get(bed.id)!,
      ahead: standing.length > 0 ? await viewAhead(deps, garden, bed.id) : null,
      sowings: await viewSowings(
        deps,
        garden,
        plantings.filter((p) => p.bed === bed.id),
        crops,
        plantingViews,
        date,
      ),
    })
  }
  return { garden, nowMs, date, beds: views, nodes }
}

async function viewPlanting(
  { measurements }: ViewDeps,
  garden: Garden,
  planting: Planting,
  date: string,
): Promise<PlantingView> {
  const season = await measurements.season(garden.id, planting)
  const progress = plantingProgress(season)
  const crop = season.known?.crop ?? null
  const reachedOn = (stage: string): string | null =>
    progress.stages.find((s) => s.stage === stage)?.reachedOn ?? null
  const headingSince = reachedOn('heading')
  const headingUntil = reachedOn('ready') ?? date
  const headingAtC = season.marks.find((mark) => mark.stage === 'heading')?.degreeDaysC
  return {
    planting,
    progress,
    crop,
    name: plantingName(crop?.name ?? planting.crop, planting.variety),
    headingDays:
      headingSince === null
        ? []
        : season.records.filter((record) => record.date >= headingSince && record.date <= headingUntil),
    toHeadingC:
      headingAtC === undefined || headingSince !== null ? null : headingAtC - (season.degreeDaysC ?? 0),
    doses: season.doses,
    dayLengthHours: sunTimes(localDay(date, garden.timeZone), garden).daylightHours,
  }
}

/** A forecast that fails must not keep the other rules from looking. */
async function viewAhead(
  { forecasts, log }: ViewDeps,
  garden: Garden,
  bed: string,
): Promise<BedAhead | null> {
  try {
    return (await forecasts?.ahead(garden, bed)) ?? null
  } catch (error) {
    log.error({ err: error, garden: garden.id, bed }, 'no forecast for the warnings')
    return null
  }
}

/** Sowings are looked at from so many days before to so many after; by then they are up, or lost. */
const SOWING_AHEAD_DAYS = 10
const SOWING_BEHIND_DAYS = 28
/** Soil of the last days speaks for the next. */
const SOIL_DAYS = 3

async function viewSowings(
  { measurements }: ViewDeps,
  garden: Garden,
  plantings: readonly Planting[],
  crops: readonly StoredCrop[],
  standing: readonly PlantingView[],
  date: string,
): Promise<SowingView[]> {
  const sown = plantings.flatMap((planting) => {
    const { sownOn, plantedOutOn, finishedOn, crop: id, variety } = planting
    if (sownOn === null || plantedOutOn !== null || finishedOn !== null) return []
    const inDays = daysBetween(date, sownOn)
    if (inDays > SOWING_AHEAD_DAYS || inDays < -SOWING_BEHIND_DAYS) return []
    const view = standing.find((one) => one.planting.id === planting.id)
    if (view && view.progress.stage !== 'sown') return []
    const crop = findGardenCrop(id, crops)?.crop
    return crop ? [{ planting, crop, name: plantingName(crop.name, variety), sownOn }] : []
  })
  const [first] = sown
  if (!first) return []
  const records = await measurements.days(garden.id, first.planting.bed, addDays(date, 1 - SOIL_DAYS), date)
  const means = records.flatMap((record) => record.soilTempMeanC ?? [])
  if (means.length === 0) return []
  const soilMeanC = means.reduce((sum, c) => sum + c, 0) / means.length
  return sown.map((one) => ({ ...one, soilMeanC }))
}

/** The night that an instant falls in, else the coming one. */
function nightOf(garden: Garden, nowMs: number): Night {
  const date = localDate(nowMs, garden.timeZone)
  const arcs = [-1, 0, 1].map((n) => sunTimes(localDay(addDays(date, n), garden.timeZone), garden))
  for (let i = 0; i + 1 < arcs.length; i++) {
    const sunsetMs = arcs[i]!.sunsetMs
    const sunriseMs = arcs[i + 1]!.sunriseMs
    if (sunsetMs !== null && sunriseMs !== null && sunriseMs > nowMs) return { sunsetMs, sunriseMs }
  }
  return { sunsetMs: null, sunriseMs: null }
}

async function viewNodes(
  deps: ViewDeps,
  garden: Garden,
  beds: readonly Bed[],
  placements: readonly StoredPlacement[],
  nowMs: number,
): Promise<NodeView[]> {
  const standing = placements.filter((p) => p.fromMs <= nowMs && (p.toMs === null || p.toMs > nowMs))
  if (standing.length === 0) return []
  const [nodes, latest] = await Promise.all([deps.garden.listNodes(garden.id), deps.store.latest(garden.id)])
  const views: NodeView[] = []
  for (const placement of standing) {
    const node = nodes.find((n) => n.id === placement.node)
    const bed = beds.find((b) => b.id === placement.bed)
    if (!node || !bed) continue
    const ofNode = latest.filter((r) => r.node === node.id)
    const fromMs = Math.max(nowMs - RECENT_MS, placement.fromMs)
    const recent = new Map<string, ReadingColumns>()
    for (const { quantity, timeMs } of ofNode) {
      if (timeMs < fromMs) continue
      const series = { garden: garden.id, node: node.id, quantity }
      recent.set(quantity, await deps.store.readRange(series, fromMs, nowMs + AHEAD_MS))
    }
    const { stretches } = await deps.measurements.sky(garden.id, bed.id, localDate(nowMs, garden.timeZone))
    const since = ofNode.filter((r) => r.timeMs >= placement.fromMs)
    views.push({
      node,
      bed,
      placedSinceMs: placement.fromMs,
      lastMs: newest(since.map((r) => r.timeMs)),
      lastReceivedMs: newest(since.map((r) => r.receivedAtMs)),
      listeningSinceMs: deps.listeningSinceMs,
      spacingMs: spacingOf([...recent.values()], deps.arrivals.gapMs(garden.id, node.id)),
      recent,
      light: stretches.findLast((s) => s.placement === placement.id)?.learned ?? null,
      wrongClock: deps.arrivals.wrongClock(garden.id, node.id),
    })
  }
  return views
}

const newest = (times: readonly number[]): number | null => (times.length > 0 ? Math.max(...times) : null)

/** Of its quickest quantity; a node that gathers readings is only expected as often as its packs come. */
function spacingOf(recent: readonly ReadingColumns[], packGapMs: number | null): number | null {
  const spacings = recent.map((r) => typicalSpacingMs(r.timeMs)).filter((ms) => ms !== null)
  if (spacings.length === 0) return packGapMs
  return Math.max(Math.min(...spacings), packGapMs ?? 0)
}
