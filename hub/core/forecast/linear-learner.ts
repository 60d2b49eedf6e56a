/**
 * A linear relation learned one observation at a time: y = w·x + noise. Bayesian linear regression, which is the
 * Kalman filter with a constant state; with `driftVariance` the weights may wander (random walk).
 * A value, never changed in place: learning returns the next one.
 * Source: West & Harrison 1997, Bayesian Forecasting and Dynamic Models, ch. 4.
 */
export interface LinearLearner {
  readonly weights: readonly number[]
  /** covariance of the weights, row by row */
  readonly covariance: readonly number[]
}

/** What is believed before any observation: weights, and how far each may be off (standard deviation). */
export function linearLearner(weights: readonly number[], sds: readonly number[]): LinearLearner {
  const n = weights.length
  if (sds.length !== n) throw new RangeError(`${n} weights but ${sds.length} standard deviations`)
  const covariance = new Array<number>(n * n).fill(0)
  for (const [i, sd] of sds.entries()) covariance[i * n + i] = sd * sd
  return { weights: [...weights], covariance }
}

/** The relation's value at x. */
export function valueAt(learner: LinearLearner, x: readonly number[]): number {
  let sum = 0
  for (let i = 0; i < x.length; i++) sum += learner.weights[i]! * x[i]!
  return sum
}

/** Variance of that value from not knowing the weights. */
export function varianceAt(learner: LinearLearner, x: readonly number[]): number {
  const n = x.length
  let sum = 0
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) sum += x[i]! * learner.covariance[i * n + j]! * x[j]!
  }
  return Math.max(sum, 0)
}

/**
 * The learner after one more observation.
 *
 * @param noiseVariance  of y around the relation; larger: trusted less
 * @param driftVariance  added to each weight's variance before learning
 */
export function learned(
  learner: LinearLearner,
  x: readonly number[],
  y: number,
  noiseVariance: number,
  driftVariance?: readonly number[],
): LinearLearner {
  const n = x.length
  const covariance = [...learner.covariance]
  if (driftVariance) for (let i = 0; i < n; i++) covariance[i * n + i]! += driftVariance[i]!
  const projected = new Array<number>(n).fill(0)
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) projected[i]! += covariance[i * n + j]! * x[j]!
  }
  let totalVariance = noiseVariance
  for (let i = 0; i < n; i++) totalVariance += x[i]! * projected[i]!
  const surprise = y - valueAt(learner, x)
  const weights = learner.weights.map((weight, i) => weight + (projected[i]! / totalVariance) * surprise)
  for (let i = 0; i < n; i++) {
    for (let j = i; j < n; j++) {
      const next = covariance[i * n + j]! - (projected[i]! * projected[j]!) / totalVariance
      covariance[i * n + j] = next
      covariance[j * n + i] = next
    }
  }
  return { weights, covariance }
}
