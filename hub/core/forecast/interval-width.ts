/**
 * Keeps an 80 % interval honest: a factor on its width that grows after each miss and shrinks after each hit, so that
 * in the long run four in five hold the truth, whatever the shape of the errors and however they change.
 * Source: Gibbs & Candès 2021, Adaptive conformal inference under distribution shift (NeurIPS 34), on a log scale.
 */
import { HALF_WIDTH_80 } from './normal-odds.js'

const MISS_RATE = 0.2
/** A step per forecast: about a season of daily forecasts until a wrong width is put right. */
const STEP = 0.01
const NARROWEST = 0.5
const WIDEST = 2

/** @param errorSds  the error in standard deviations as they were before the factor */
export function widthAfter(width: number, errorSds: number): number {
  const isMiss = Math.abs(errorSds) > HALF_WIDTH_80 * width
  const next = width * Math.exp(STEP * ((isMiss ? 1 : 0) - MISS_RATE))
  return Math.min(Math.max(next, NARROWEST), WIDEST)
}
