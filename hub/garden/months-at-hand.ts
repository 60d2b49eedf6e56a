/** Months learned and asked for of late, in memory. */
import type { LearnedSun } from '../core/sun/learned-sun.js'

/** A year and some: what one answer may look at. */
const MONTHS_AT_HAND = 18

export interface MonthsAtHand {
  get(garden: string, name: string): ReadonlyMap<string, LearnedSun> | undefined
  /** @returns remembers what was found since this call, unless something was forgotten meanwhile */
  since(garden: string): (name: string, learned: ReadonlyMap<string, LearnedSun>) => void
  forget(garden: string): void
}

/** The months asked for of late, so that a year's figures need not read each of them for every bed. */
export function createMonthsAtHand(): MonthsAtHand {
  const gardens = new Map<string, Map<string, ReadonlyMap<string, LearnedSun>>>()
  return {
    get: (garden, name) => gardens.get(garden)?.get(name),
    since(garden) {
      const months = gardens.get(garden) ?? new Map<string, ReadonlyMap<string, LearnedSun>>()
      gardens.set(garden, months)
      return (name, learned) => {
        // forgotten, or begun anew, since
        if (gardens.get(garden) !== months) return
        if (months.size >= MONTHS_AT_HAND) months.delete(months.keys().next().value!)
        months.set(name, learned)
      }
    },
    forget(garden) {
      gardens.delete(garden)
    },
  }
}
