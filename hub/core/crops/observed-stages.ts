/**
 * What the grower saw sets the stages right: "heads started today" moves that stage to the degree days reached, and the rest
 * with it.
 */
import type { Stage, StageMark } from './stages.js'

export interface ObservedStage {
  readonly stage: Stage
  /** degree days reached when the stage was seen to begin, since the planting's start */
  readonly degreeDaysC: number
}

/**
 * A variety is hardly this much quicker or slower than the library's first guess; a sighting that says so is more likely of
 * another stage. Beyond it later stages are moved by the same degree days, not in proportion.
 */
const SLOWEST = 1.6
const QUICKEST = 0.6

/**
 * Stage marks with sightings taken in.
 *
 * The marks of stages seen are where they were seen. Later ones keep their proportion: a variety that took a fifth more to
 * head takes a fifth more to be ready, counted from the last sighting. Marks between two sightings are spread between them;
 * earlier ones never lie above later ones.
 *
 * @param marks     ascending (stages.ts)
 * @param observed  any order; stages that are not in marks are passed over, of two sightings of one stage the first holds
 * @throws RangeError  if a sighting's degree days are negative or not finite
 */
export function withObserved(marks: readonly StageMark[], observed: readonly ObservedStage[]): StageMark[] {
  const seenAt = new Map<Stage, number>()
  for (const { stage, degreeDaysC } of observed) {
    if (!(degreeDaysC >= 0 && Number.isFinite(degreeDaysC))) {
      throw new RangeError(`degree days must be 0 or more, got ${degreeDaysC}`)
    }
    const before = seenAt.get(stage)
    seenAt.set(stage, before === undefined ? degreeDaysC : Math.min(before, degreeDaysC))
  }
  // fixed points: the start, then every sighting that does not fall behind the one before it
  const anchors = [{ guessC: 0, seenC: 0 }]
  for (const mark of marks) {
    const seenC = seenAt.get(mark.stage)
    if (seenC !== undefined && mark.degreeDaysC > 0 && seenC >= anchors.at(-1)!.seenC) {
      anchors.push({ guessC: mark.degreeDaysC, seenC })
    }
  }
  return marks.map((mark) => ({ ...mark, degreeDaysC: moved(mark.degreeDaysC, anchors) }))
}

function moved(guessC: number, anchors: readonly { guessC: number; seenC: number }[]): number {
  const next = anchors.findIndex((anchor) => anchor.guessC >= guessC)
  const upper = anchors[next]
  if (upper !== undefined) {
    const lower = anchors[next - 1]
    if (lower === undefined || upper.guessC === lower.guessC) return upper.seenC
    const part = (guessC - lower.guessC) / (upper.guessC - lower.guessC)
    return lower.seenC + part * (upper.seenC - lower.seenC)
  }
  const last = anchors.at(-1)!
  const pace = last.guessC === 0 ? 1 : last.seenC / last.guessC
  const isBelievable = pace >= QUICKEST && pace <= SLOWEST
  return last.seenC + (guessC - last.guessC) * (isBelievable ? pace : 1)
}
