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
  /** Ends the job: what was learned, by placement, for the month between the two moments. */
  learn(job: number, monthStartMs: number, monthEndMs: number): Record<string, LearnedSun>
  /** Ends the job without an answer. */
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
    learn(job, monthStartMs, monthEndMs) {
      const taken = jobs.get(job) ?? []
      jobs.delete(job)
      const learned: Record<string, LearnedSun> = {}
      for (const { placement, bed, evidence } of taken) {
        // what stands before one sensor of a bed stands before the next as well: only other beds see past it
        const others = taken.filter((t) => t.bed !== bed).map((t) => t.evidence)
        learned[placement] = learnedSun(evidence, skylineBeside(evidence, others), monthStartMs, monthEndMs)
      }
      return learned
    },
    drop(job) {
      jobs.delete(job)
    },
  }
}
