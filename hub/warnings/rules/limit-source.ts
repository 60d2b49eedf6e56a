/** How far a limit can be trusted, as warnings say it. */
import type { Sourced } from '../../core/crops/crop.js'

export const SOURCE_WORDS: Readonly<Record<Sourced['source'], string>> = {
  published: 'published',
  'common practice': "growers' common practice",
  memory: 'from the literature, not checked',
  derived: 'a first guess',
  grower: 'your own figure',
}
