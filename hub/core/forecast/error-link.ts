/**
 * How alike the errors of neighbouring days of one forecast are: what makes a run of hot days likelier than the
 * product of its days. Learned from standardised errors.
 */
export interface ErrorLink {
  readonly products: number
  readonly firstSquares: number
  readonly secondSquares: number
}

/** First belief: correlation 0.6, weighing as much as thirty forecasts (0.5 to 0.65 on mid-latitude daily records). */
const BELIEVED_CORRELATION = 0.6
const BELIEF_FORECASTS = 30
/** A run is never taken as certain from its first day. */
const HIGHEST = 0.95

export const newErrorLink = (): ErrorLink => ({
  products: BELIEVED_CORRELATION * BELIEF_FORECASTS,
  firstSquares: BELIEF_FORECASTS,
  secondSquares: BELIEF_FORECASTS,
})

/** Errors of the same forecast for one day and the next, in standard deviations. */
export const linkWithErrors = (link: ErrorLink, first: number, second: number): ErrorLink => ({
  products: link.products + first * second,
  firstSquares: link.firstSquares + first * first,
  secondSquares: link.secondSquares + second * second,
})

export function linkCorrelation(link: ErrorLink): number {
  const correlation = link.products / Math.sqrt(link.firstSquares * link.secondSquares)
  return Math.min(Math.max(correlation, -HIGHEST), HIGHEST)
}
