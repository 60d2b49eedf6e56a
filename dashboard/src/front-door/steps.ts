/** The steps of the beginning: their order, their addresses, and which are done. Pure. */

export const STEPS = ['place', 'bed', 'crop', 'node', 'reading'] as const
export type Step = (typeof STEPS)[number]

export const STEP_WORDS: Readonly<Record<Step, string>> = {
  place: 'The place',
  bed: 'A bed',
  crop: 'A crop',
  node: 'A node',
  reading: 'Its first reading',
}

export const stepPath = (step: Step): string => `/begin/${step}`

/** What the hub knows so far. */
export interface Progress {
  readonly hasGarden: boolean
  readonly beds: number
  readonly plantings: number
  /** named, placed or heard of */
  readonly nodes: number
  readonly nodesHeard: number
}

export function isDone(step: Step, progress: Progress): boolean {
  switch (step) {
    case 'place':
      return progress.hasGarden
    case 'bed':
      return progress.beds > 0
    case 'crop':
      return progress.plantings > 0
    case 'node':
      return progress.nodes > 0
    case 'reading':
      return progress.nodesHeard > 0
  }
}

/** Where somebody who comes back goes on; null: everything is there. */
export const firstOpen = (progress: Progress): Step | null =>
  STEPS.find((step) => !isDone(step, progress)) ?? null

export function neighbours(step: Step): { readonly before: Step | null; readonly after: Step | null } {
  const at = STEPS.indexOf(step)
  return { before: STEPS[at - 1] ?? null, after: STEPS[at + 1] ?? null }
}
