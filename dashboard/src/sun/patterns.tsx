/**
 * The patterns of the sun states, defined once for every ribbon on the page: told by texture as well as colour,
 * so that they survive colour blindness and a black-and-white printer.
 */
import type { SunState } from '../../../shared/api/measurements.js'

/** In the order a key lists them. */
export const STATE_WORDS: readonly { readonly state: SunState; readonly word: string }[] = [
  { state: 'sun', word: 'sun' },
  { state: 'cloud', word: 'cloud' },
  { state: 'shade', word: 'shade' },
  { state: 'unknown', word: 'not known' },
  { state: 'night', word: 'night' },
]

export const fillOf = (state: SunState): string =>
  state === 'sun' || state === 'night' ? `var(--${state})` : `url(#state-${state})`

/** Of the day still to come: the sun will be up, but behind the skyline. Lighter than shade, which has been. */
export const HIDDEN_FILL = 'url(#state-hidden)'

export function Patterns() {
  return (
    <svg class="patterns" aria-hidden="true" width="0" height="0">
      <defs>
        <pattern id="state-cloud" width="7" height="7" patternUnits="userSpaceOnUse">
          <rect width="7" height="7" fill="var(--cloud)" />
          <circle cx="2" cy="2" r="0.9" fill="var(--cloud-ink)" />
          <circle cx="5.5" cy="5.5" r="0.9" fill="var(--cloud-ink)" />
        </pattern>
        <pattern
          id="state-shade"
          width="6"
          height="6"
          patternTransform="rotate(45)"
          patternUnits="userSpaceOnUse"
        >
          <rect width="6" height="6" fill="var(--shade)" />
          <line x1="0" y1="0" x2="0" y2="6" stroke="var(--shade-ink)" stroke-width="2.4" />
        </pattern>
        <pattern
          id="state-hidden"
          width="7"
          height="7"
          patternTransform="rotate(45)"
          patternUnits="userSpaceOnUse"
        >
          <line x1="0" y1="0" x2="0" y2="7" stroke="var(--rule-strong)" stroke-width="1.6" />
        </pattern>
        <pattern id="state-unknown" width="8" height="8" patternUnits="userSpaceOnUse">
          <rect width="8" height="8" fill="var(--paper)" />
          <path d="M1 4h3" stroke="var(--faint)" stroke-width="1" />
        </pattern>
      </defs>
    </svg>
  )
}
