/** Quality flags in the grower's words: what was odd about the reading. */
import type { FlagName } from '../../../shared/quality-flags.js'

const WORDS: Record<FlagName, string> = {
  range: 'outside what it can be outdoors',
  sentinel: 'the sensor’s own sign for “no reading”',
  clock: 'the node’s clock is wrong',
  ceiling: 'the sensor’s ceiling: the light was at least this',
  step: 'jumped faster than it can',
  stuck: 'stood still too long',
  dropout: 'a lone zero',
}

const isFlagName = (flag: string): flag is FlagName => flag in WORDS

export const flagWord = (flag: string): string => (isFlagName(flag) ? WORDS[flag] : flag)
