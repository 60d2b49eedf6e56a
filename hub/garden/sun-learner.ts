/** Learns the sun of one garden's placements, fed one after the other. Runs in a thread of its own, or at once. */
import type { Place } from '../core/readings.js'
import type { LightReadings } from '../core/sun/bed-light.js'
import type { DrawnSkyline } from '../core/sun/drawn-skyline.js'
import { type SunEvidence, skylineBeside, sunEvidence } from '../core/sun/garden-sun.js'
import { type LearnedSun, learnedSun } from '../core/sun/learned-sun.js'

export interface LearnerInput {
  readonly placement: string
  readonly bed: string
  readonly readings: LightReadings
  readonly drawn: DrawnSkyline | null
}

export interface SunLearner {
  /** Takes the readings of one placement; those of a job are learned together. */
  add(job: number, place: Place, input: LearnerInput): void
  /** What was learned of a placement, with all that were added to the job, for the month between the two moments. */
  learn(job: number, placement: string, monthStartMs: number, monthEndMs: number): LearnedSun
  /** Ends the job. */
  drop(job: number): void
}

export function createSunLearner(): SunLearner {
  const jobs = new Map<number, { placement: string; bed: string; evidence: SunEvidence }[]>()
  return {
    add(job, place, { placement, bed, readings, drawn }) {
      const taken = jobs.get(job) ?? []
      jobs.set(job, taken)
      taken.push({ placement, bed, evidence: sunEvidence(readings, place, drawn ?? undefined) })
    },
    learn(job, placement, monthStartMs, monthEndMs) {
      const taken = jobs.get(job) ?? []
      const own = taken.find((t) => t.placement === placement)
      if (!own) throw new RangeError(`nothing was added of the placement ${placement}`)
      // what stands before one sensor of a bed stands before the next as well: only other beds see past it
      const others = taken.filter((t) => t.bed !== own.bed).map((t) => t.evidence)
      return learnedSun(own.evidence, skylineBeside(own.evidence, others), monthStartMs, monthEndMs)
    },
    drop(job) {
      jobs.delete(job)
    },
  }
}
