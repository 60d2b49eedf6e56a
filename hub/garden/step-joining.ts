/**
 * Chart steps of a bed over several nodes. Steps that lie within one node's time come from the store as they are
 * (so its roll-ups serve); a step that spans two nodes is put together from its parts.
 */
import type { StepColumns } from '../store/port.js'
import type { BedSegment } from './bed-timeline.js'

/** A question to the store about one node. */
export interface StepPart extends BedSegment {
  readonly stepMs: number
}

interface PlacedPart extends StepPart {
  /** index of the bed's step in which the part starts */
  readonly firstStep: number
}

/**
 * @param segments  within [fromMs, toMs), ascending, not overlapping
 * @param read      answers one part
 * @returns         every step of the range; those without good readings have count 0 and NaN
 */
export async function joinSteps(
  segments: readonly BedSegment[],
  fromMs: number,
  toMs: number,
  stepMs: number,
  read: (part: StepPart) => Promise<StepColumns>,
): Promise<StepColumns> {
  const length = Math.max(0, Math.ceil((toMs - fromMs) / stepMs))
  const joined: StepColumns = {
    stepMs,
    startMs: Float64Array.from({ length }, (_, i) => fromMs + i * stepMs),
    min: new Float64Array(length).fill(Number.NaN),
    mean: new Float64Array(length).fill(Number.NaN),
    max: new Float64Array(length).fill(Number.NaN),
    count: new Uint32Array(length),
    coveredMs: new Float64Array(length),
  }
  const parts = segments.flatMap((s) => partsOf(s, fromMs, toMs, stepMs))
  const answers = await Promise.all(parts.map(read))
  for (const [p, part] of parts.entries()) {
    const answer = answers[p]!
    for (let i = 0; i < answer.count.length; i++) mergeStep(joined, part.firstStep + i, answer, i)
  }
  return joined
}

/** Splits a segment into: the rest of a step begun before it, whole steps, the start of a step it does not fill. */
function partsOf(segment: BedSegment, fromMs: number, toMs: number, stepMs: number): PlacedPart[] {
  const parts: PlacedPart[] = []
  const { node } = segment
  const firstWhole = Math.ceil((segment.fromMs - fromMs) / stepMs)
  // the range's own end may cut its last step: that one is whole as far as the range goes
  const lastWhole =
    segment.toMs >= toMs ? Math.ceil((toMs - fromMs) / stepMs) : Math.floor((segment.toMs - fromMs) / stepMs)
  const part = (partFromMs: number, partToMs: number, partStepMs: number): void => {
    if (partToMs <= partFromMs) return
    const firstStep = Math.floor((partFromMs - fromMs) / stepMs)
    parts.push({ node, fromMs: partFromMs, toMs: partToMs, stepMs: partStepMs, firstStep })
  }
  const wholeFromMs = fromMs + firstWhole * stepMs
  const wholeToMs = Math.min(fromMs + lastWhole * stepMs, toMs)
  if (wholeFromMs >= segment.toMs) {
    part(segment.fromMs, segment.toMs, segment.toMs - segment.fromMs)
    return parts
  }
  part(segment.fromMs, wholeFromMs, wholeFromMs - segment.fromMs)
  part(wholeFromMs, wholeToMs, stepMs)
  part(wholeToMs, segment.toMs, segment.toMs - wholeToMs)
  return parts
}

function mergeStep(into: StepColumns, at: number, from: StepColumns, i: number): void {
  const count = from.count[i]!
  if (count === 0 || at >= into.count.length) return
  const before = into.count[at]!
  if (before === 0) {
    into.min[at] = from.min[i]!
    into.mean[at] = from.mean[i]!
    into.max[at] = from.max[i]!
  } else {
    into.min[at] = Math.min(into.min[at]!, from.min[i]!)
    into.max[at] = Math.max(into.max[at]!, from.max[i]!)
    // by the time each part accounts for, as within a part
    const weightBefore = into.coveredMs[at]!
    const weight = from.coveredMs[i]!
    into.mean[at] =
      weightBefore + weight > 0
        ? (into.mean[at]! * weightBefore + from.mean[i]! * weight) / (weightBefore + weight)
        : (into.mean[at]! * before + from.mean[i]! * count) / (before + count)
  }
  into.count[at] = before + count
  into.coveredMs[at] = Math.min(into.stepMs, into.coveredMs[at]! + from.coveredMs[i]!)
}
