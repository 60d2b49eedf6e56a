/** A bed's readings: the series of the nodes that stood in it, joined over its placements. */
import { NO_READINGS, type ReadingColumns } from '../core/readings.js'
import type { LatestReading, ReadingStore, SeriesSummary, StepColumns } from '../store/port.js'
import { type BedSegment, bedSegments, overlapping, segmentsWithin } from './bed-timeline.js'
import type { GardenRepository, StoredPlacement } from './port.js'
import { joinSteps, type StepPart } from './step-joining.js'

export interface BedSeries {
  /** who speaks for the bed, by quantity; one look at placements and series for all quantities asked */
  segments(garden: string, bed: string, quantities: readonly string[]): Promise<BedSegment[][]>
  /** the same for a bed whose placements are known */
  segmentsOf(
    garden: string,
    placements: readonly StoredPlacement[],
    quantities: readonly string[],
  ): Promise<BedSegment[][]>
  quantities(garden: string, bed: string): Promise<string[]>
  readRange(
    garden: string,
    quantity: string,
    segments: readonly BedSegment[],
    fromMs: number,
    toMs: number,
  ): Promise<ReadingColumns>
  countRange(
    garden: string,
    quantity: string,
    segments: readonly BedSegment[],
    fromMs: number,
    toMs: number,
  ): Promise<number>
  readSteps(
    garden: string,
    quantity: string,
    segments: readonly BedSegment[],
    fromMs: number,
    toMs: number,
    stepMs: number,
  ): Promise<StepColumns>
  latest(garden: string, bed: string, nowMs: number): Promise<LatestReading[]>
}

export function createBedSeries(store: ReadingStore, garden: GardenRepository): BedSeries {
  /** Which placements have which quantity, `placement id/quantity`; asked of the store only where it matters. */
  const sentDuring = async (
    gardenId: string,
    placements: readonly StoredPlacement[],
    series: readonly SeriesSummary[],
  ): Promise<Set<string>> => {
    const sent = new Set<string>()
    await Promise.all(
      placements.flatMap((p) => {
        const endMs = p.toMs ?? Number.MAX_SAFE_INTEGER
        return series
          .filter((s) => s.node === p.node && s.firstMs < endMs && s.lastMs >= p.fromMs)
          .map(async (s) => {
            const isEdgeInside = s.firstMs >= p.fromMs || s.lastMs < endMs
            const key = { garden: gardenId, node: p.node, quantity: s.quantity }
            if (isEdgeInside || (await store.countRange(key, p.fromMs, endMs)) > 0) {
              sent.add(`${p.id}/${s.quantity}`)
            }
          })
      }),
    )
    return sent
  }

  const segmentsOf: BedSeries['segmentsOf'] = async (gardenId, placements, quantities) => {
    const rivals = [...overlapping(placements)]
    const sent =
      rivals.length > 0
        ? await sentDuring(gardenId, rivals, await store.listSeries(gardenId))
        : new Set<string>()
    return quantities.map((quantity) => bedSegments(placements, (p) => sent.has(`${p.id}/${quantity}`)))
  }

  return {
    async segments(gardenId, bed, quantities) {
      return segmentsOf(gardenId, await garden.listPlacements(gardenId, bed), quantities)
    },

    segmentsOf,

    async quantities(gardenId, bed) {
      const placements = await garden.listPlacements(gardenId, bed)
      const sent = await sentDuring(gardenId, placements, await store.listSeries(gardenId))
      return [...new Set([...sent].map((key) => key.slice(key.indexOf('/') + 1)))].sort()
    },

    async readRange(gardenId, quantity, segments, fromMs, toMs) {
      const parts = await Promise.all(
        segmentsWithin(segments, fromMs, toMs).map((s) =>
          store.readRange({ garden: gardenId, node: s.node, quantity }, s.fromMs, s.toMs),
        ),
      )
      return joinReadings(parts)
    },

    async countRange(gardenId, quantity, segments, fromMs, toMs) {
      const counts = await Promise.all(
        segmentsWithin(segments, fromMs, toMs).map((s) =>
          store.countRange({ garden: gardenId, node: s.node, quantity }, s.fromMs, s.toMs),
        ),
      )
      return counts.reduce((sum, n) => sum + n, 0)
    },

    async readSteps(gardenId, quantity, segments, fromMs, toMs, stepMs) {
      const read = (part: StepPart): Promise<StepColumns> =>
        store.readSteps({ garden: gardenId, node: part.node, quantity }, part.fromMs, part.toMs, part.stepMs)
      return joinSteps(segmentsWithin(segments, fromMs, toMs), fromMs, toMs, stepMs, read)
    },

    async latest(gardenId, bed, nowMs) {
      const standing = (await garden.listPlacements(gardenId, bed))
        .filter((p) => p.fromMs <= nowMs && (p.toMs === null || p.toMs > nowMs))
        .sort((a, b) => a.fromMs - b.fromMs || (a.id < b.id ? -1 : 1))
      if (standing.length === 0) return []
      const byQuantity = new Map<string, LatestReading>()
      const latest = await store.latest(gardenId)
      // the placement that started last comes last, and speaks
      for (const placement of standing) {
        for (const reading of latest) {
          if (reading.node === placement.node && reading.timeMs >= placement.fromMs) {
            byQuantity.set(reading.quantity, reading)
          }
        }
      }
      return [...byQuantity.values()].sort((a, b) => (a.quantity < b.quantity ? -1 : 1))
    },
  }
}

/** One after the other; segments never overlap, so times stay ascending. */
export function joinReadings(parts: readonly ReadingColumns[]): ReadingColumns {
  const filled = parts.filter((p) => p.timeMs.length > 0)
  if (filled.length === 0) return NO_READINGS
  if (filled.length === 1) return filled[0]!
  const length = filled.reduce((sum, p) => sum + p.timeMs.length, 0)
  const joined = {
    timeMs: new Float64Array(length),
    value: new Float64Array(length),
    flags: new Uint16Array(length),
  }
  let at = 0
  for (const part of filled) {
    joined.timeMs.set(part.timeMs, at)
    joined.value.set(part.value, at)
    joined.flags.set(part.flags, at)
    at += part.timeMs.length
  }
  return joined
}
