/**
 * Quality flags of a reading, a bit set. Raw data is never thrown away: a doubtful reading is kept with its
 * flag, shown on the charts, and left out of every computed figure (except `ceiling`, see below).
 */
export const FLAG = {
  /** outside what the quantity can be outdoors (shared/quantities.ts) */
  range: 1,
  /** a value that the sensor's driver uses to say "no reading" (85.0 °C, −127 °C) */
  sentinel: 2,
  /** the node's clock is wrong: time in the future, or older than the configured horizon */
  clock: 4,
  /** a light sensor at its ceiling: the true value is at least this. Counted, as a lower bound. */
  ceiling: 8,
  /** changed faster than the quantity can */
  step: 16,
  /** the same value for longer than the quantity can stand still */
  stuck: 32,
  /** a lone exact zero among readings far from zero */
  dropout: 64,
} as const

export type FlagName = keyof typeof FLAG

/** Flags that leave a reading out of computed figures. */
export const EXCLUDING_FLAGS = FLAG.range | FLAG.sentinel | FLAG.clock | FLAG.step | FLAG.stuck | FLAG.dropout

export const isGood = (flags: number): boolean => (flags & EXCLUDING_FLAGS) === 0

/** Names of the flags set, for the API and the page; empty for a clean reading. */
export function flagNames(flags: number): FlagName[] {
  return (Object.keys(FLAG) as FlagName[]).filter((name) => (flags & FLAG[name]) !== 0)
}
