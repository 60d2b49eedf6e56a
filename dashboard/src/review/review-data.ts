/** Fetches a look back: the hub may need a while the first time, and says how far it is. */
import { signal } from '@preact/signals'
import type { ReviewAnswer, SeasonReview } from '../../../shared/api/review.js'
import { get } from '../api/client.js'
import { inGarden } from '../state/garden.js'
import { type Resource, resource } from '../state/resource.js'
import type { ReviewAddress } from './review-address.js'

/** The hub holds an answer back for some seconds itself; between two questions it gets this long, ms. */
const PAUSE_MS = 400

export interface ReviewData {
  readonly review: Resource<SeasonReview>
  /** parts reckoned up, of all; null: nothing said yet */
  readonly progress: { readonly value: { readonly done: number; readonly of: number } | null }
}

export function reviewData({ from, to, planting }: ReviewAddress): ReviewData {
  const query = new URLSearchParams({ from, to, ...(planting === null ? {} : { planting }) })
  const progress = signal<{ done: number; of: number } | null>(null)
  const review = resource<SeasonReview>(async (abort) => {
    for (;;) {
      const answer = await get<ReviewAnswer>(inGarden(`/review?${query}`), abort)
      if (answer.review !== null) return answer.review
      progress.value = { done: answer.done, of: answer.of }
      await new Promise((resolve) => setTimeout(resolve, PAUSE_MS))
      abort.throwIfAborted()
    }
  })
  return { review, progress }
}
