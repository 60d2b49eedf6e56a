/**
 * Learns the sun of a garden's beds from their stored light, a calendar month at a time, and keeps what it learned. What a
 * month is judged with follows from the readings in its window (learning-window.ts), from the placements, and from what
 * the grower drew; from nothing else, so that the same stored data always gives the same figures.
 *
 * A late reading before the cut makes the hub forget what was learned from its time, before the reading is stored and
 * again after (bed-measurements.ts), just as day records are forgotten; nothing learned meanwhile is kept. Day records
 * name what they were judged with, and are computed again when that has changed.
 */
import { setImmediate } from 'node:timers/promises'
import type { Garden } from '../../shared/api/garden.js'
import { localDate } from '../../shared/local-time.js'
import { NO_READINGS, type ReadingColumns } from '../core/readings.js'
import { contextOf, judgedWith, LEARNED_SUN_VERSION, type LearnedSun } from '../core/sun/learned-sun.js'
import type { PlacedContext } from '../core/sun/placed-day.js'
import type { AppendLedger } from './append-ledger.js'
import { type BedSeries, joinReadings } from './bed-series.js'
import type { BedSegment } from './bed-timeline.js'
import { drawnSkyline } from './drawn-by-hand.js'
import { createLearnerThread, type Learner } from './learner-thread.js'
import { type BedLightSetup, basisOf, digest, type LearningUnit, restsOn, unitsOf } from './learning-units.js'
import { type LearningWindow, learningWindow, monthOf } from './learning-window.js'
import { lightStretches } from './light-stretches.js'
import { createMonthsAtHand } from './months-at-hand.js'
import type { GardenRepository, KeptLearnedSun } from './port.js'
import type { BedSky, LearnedStretch } from './skies.js'
import { createSunLearner } from './sun-learner.js'

const DAY_MS = 86_400_000
/** Read from the store so many days at a time: others who want something of it get their turn between. */
const CHUNK_DAYS = 10
/** So few readings are learned from at once; to start a thread would take longer. */
const AT_ONCE_READINGS = 2_000

export interface SunLearning {
  /** @param month  YYYY-MM */
  skyOf(garden: Garden, bed: string, month: string): Promise<BedSky>
  /** What is kept was, or is about to be, forgotten for late readings. */
  forget(garden: string): void
}

export function createSunLearning(deps: {
  readonly series: BedSeries
  readonly garden: GardenRepository
  readonly ledger: AppendLedger
  readonly now: () => number
  /** told, before it happens, that something learned from readings up to then is kept */
  readonly onKeep: (garden: string, cutMs: number) => void
}): SunLearning {
  const { series, garden: repository, ledger, now, onKeep } = deps
  const thread = createLearnerThread()
  const underWay = new Map<string, Promise<ReadonlyMap<string, LearnedSun>>>()
  const atHand = createMonthsAtHand()

  const bedsWithLight = async (gardenId: string): Promise<{ beds: BedLightSetup[]; newestMs: number }> => {
    const [placements, drawings] = await Promise.all([
      repository.listPlacements(gardenId),
      repository.drawnSkylines(gardenId),
    ])
    const names = new Set([...placements.map((p) => p.bed), ...drawings.map((d) => d.bed)])
    const beds: BedLightSetup[] = []
    for (const bed of [...names].sort()) {
      const ofBed = placements.filter((p) => p.bed === bed)
      const [light, irradiance] = await series.segmentsOf(gardenId, ofBed, ['light', 'irradiance'])
      const drawing = drawings.find((d) => d.bed === bed)?.drawing
      beds.push({
        bed,
        light: light!,
        irradiance: irradiance!,
        stretches: lightStretches(light!, irradiance!, ofBed),
        drawn: drawing ? drawnSkyline(drawing) : null,
      })
    }
    const newestMs = placements.reduce((ms, p) => Math.max(ms, p.fromMs), Number.NEGATIVE_INFINITY)
    return { beds, newestMs }
  }

  const readInChunks = async (
    garden: string,
    quantity: string,
    segments: readonly BedSegment[],
    { fromMs, cutMs }: LearningWindow,
  ): Promise<ReadingColumns> => {
    const parts: ReadingColumns[] = []
    for (let at = fromMs; at < cutMs; at += CHUNK_DAYS * DAY_MS) {
      const toMs = Math.min(cutMs, at + CHUNK_DAYS * DAY_MS)
      parts.push(await series.readRange(garden, quantity, segments, at, toMs))
    }
    return joinReadings(parts)
  }

  const countReadings = async (garden: string, units: readonly LearningUnit[], window: LearningWindow) => {
    let count = 0
    for (const { light, irradiance } of units) {
      count += await series.countRange(garden, 'light', light, window.fromMs, window.cutMs)
      count += await series.countRange(garden, 'irradiance', irradiance, window.fromMs, window.cutMs)
    }
    return count
  }

  const learnWith = async (
    learner: Learner,
    garden: Garden,
    units: readonly LearningUnit[],
    window: LearningWindow,
  ): Promise<ReadonlyMap<string, LearnedSun>> => {
    const { latitudeDeg, longitudeDeg, elevationM } = garden
    const place = { latitudeDeg, longitudeDeg, elevationM }
    const job = learner.nextJob()
    try {
      for (const { placement, bed, light, irradiance, drawn } of units) {
        const readings = {
          light: await readInChunks(garden.id, 'light', light, window),
          irradiance: await readInChunks(garden.id, 'irradiance', irradiance, window),
        }
        await learner.add(job, place, { placement, bed, readings, drawn })
      }
      const learned = new Map<string, LearnedSun>()
      for (const { placement } of units) {
        const { monthStartMs, monthEndMs } = window
        learned.set(placement, await learner.learn(job, placement, monthStartMs, monthEndMs))
      }
      return learned
    } finally {
      await learner.drop(job)
    }
  }

  const learn = async (
    garden: Garden,
    units: readonly LearningUnit[],
    window: LearningWindow,
    basis: string,
  ): Promise<ReadonlyMap<string, LearnedSun>> => {
    const computation = ledger.beginComputation()
    const remember = atHand.since(garden.id)
    try {
      const work = (learner: Learner) => learnWith(learner, garden, units, window)
      const count = await countReadings(garden.id, units, window)
      const learned = count > AT_ONCE_READINGS ? await thread.use(work) : await work(atOnce())
      if (!computation.isOvertaken(garden.id, restsOn(units))) {
        onKeep(garden.id, window.cutMs)
        remember(`${window.month}/${basis}`, learned)
        // nothing may come between the look at the ledger and this call: the database's thread keeps the order
        await repository.keepLearnedSun(garden.id, keptForm(learned, window, basis))
      }
      return learned
    } finally {
      computation.end()
    }
  }

  /** What is kept, or else learned now; who asks for the same meanwhile waits for the same. */
  const learnedOf = async (
    garden: Garden,
    units: readonly LearningUnit[],
    window: LearningWindow,
  ): Promise<ReadonlyMap<string, LearnedSun>> => {
    if (units.length === 0) return new Map()
    const basis = basisOf(garden, units, window)
    const name = `${window.month}/${basis}`
    const known = atHand.get(garden.id, name)
    if (known) return known
    const remember = atHand.since(garden.id)
    const kept = new Map(
      (await repository.learnedSun(garden.id, window.month))
        .filter((row) => row.version === LEARNED_SUN_VERSION && row.basis === basis)
        .map((row) => [row.placement, row.learned]),
    )
    if (units.every((unit) => kept.has(unit.placement))) {
      remember(name, kept)
      return kept
    }
    const key = `${garden.id}/${name}`
    const running = underWay.get(key)
    if (running) return running
    const mine = learn(garden, units, window, basis)
    underWay.set(key, mine)
    const clear = (): void => {
      underWay.delete(key)
    }
    mine.then(clear, clear)
    return mine
  }

  return {
    async skyOf(garden, bed, asked) {
      // days to come are judged with what is known today
      const today = monthOf(localDate(now(), garden.timeZone))
      const isToCome = asked > today
      const month = isToCome ? today : asked
      const { beds, newestMs } = await bedsWithLight(garden.id)
      const window = learningWindow(month, garden.timeZone, newestMs, now())
      const learned = await learnedOf(
        garden,
        beds.flatMap((setup) => unitsOf(setup, window)),
        window,
      )
      const setup = beds.find((b) => b.bed === bed)
      const stretches = (setup?.stretches ?? []).flatMap((stretch): LearnedStretch[] => {
        const known = learned.get(stretch.placement)
        return known ? [{ ...stretch, learned: known }] : []
      })
      // what was drawn holds wherever nothing has been learned yet
      if (setup?.drawn && stretches.length === 0) {
        stretches.push(drawnOnly(garden, setup, window))
      }
      return { stretches, ...judging(stretches, window) }
    },
    forget: (garden) => atHand.forget(garden),
  }
}

const atOnce = (): Learner => {
  const learner = createSunLearner()
  return {
    nextJob: () => 0,
    // other work gets its turn between two of them
    add: async (...args) => {
      await setImmediate()
      learner.add(...args)
    },
    learn: async (...args) => {
      await setImmediate()
      return learner.learn(...args)
    },
    drop: async (job) => learner.drop(job),
  }
}

function keptForm(
  learned: ReadonlyMap<string, LearnedSun>,
  { month, fromMs, cutMs }: LearningWindow,
  basis: string,
): KeptLearnedSun[] {
  return [...learned].map(([placement, content]) => ({
    placement,
    month,
    version: LEARNED_SUN_VERSION,
    basis,
    fromMs,
    cutMs,
    learned: content,
  }))
}

/** A bed without light readings, but with a skyline drawn. */
function drawnOnly(
  { latitudeDeg, longitudeDeg, elevationM }: Garden,
  { bed, drawn }: BedLightSetup,
  { monthStartMs, monthEndMs }: LearningWindow,
): LearnedStretch {
  const learner = createSunLearner()
  const readings = { light: NO_READINGS, irradiance: NO_READINGS }
  learner.add(0, { latitudeDeg, longitudeDeg, elevationM }, { placement: '', bed, readings, drawn })
  return {
    placement: '',
    node: '',
    fromMs: Number.NEGATIVE_INFINITY,
    toMs: Number.POSITIVE_INFINITY,
    learned: learner.learn(0, '', monthStartMs, monthEndMs),
  }
}

function judging(
  stretches: readonly LearnedStretch[],
  { monthStartMs, monthEndMs }: LearningWindow,
): Pick<BedSky, 'placed' | 'basis'> {
  const contexts = new Map<LearnedSun, PlacedContext['context']>()
  const ofMonth = stretches.filter((s) => s.fromMs < monthEndMs + DAY_MS && s.toMs > monthStartMs - DAY_MS)
  // where no sensor stands in that month, what was last known of the bed says what sun is possible
  const judged =
    ofMonth.length > 0
      ? ofMonth
      : stretches
          .slice(-1)
          .map((s) => ({ ...s, fromMs: Number.NEGATIVE_INFINITY, toMs: Number.POSITIVE_INFINITY }))
  const placed = judged.map(({ fromMs, toMs, learned }) => {
    const context = contexts.get(learned) ?? contextOf(learned)
    contexts.set(learned, context)
    return { fromMs, toMs, context }
  })
  const text = judged.map((s) => [
    Number.isFinite(s.fromMs) ? s.fromMs : null,
    Number.isFinite(s.toMs) ? s.toMs : null,
    judgedWith(s.learned),
  ])
  return { placed, basis: digest(JSON.stringify(text)) }
}
