/** The key under the ribbons: a swatch and a word for each state that occurs. */
import type { SunState } from '../../../shared/api/measurements.js'
import { fillOf, HIDDEN_FILL, STATE_WORDS } from './patterns.js'

/** The key to the bars of whole days. */
export function BarsKey() {
  return (
    <ul class="key" aria-label="Key to the bars">
      <li>
        <svg width="26" height="12" aria-hidden="true">
          <rect x="0.5" y="0.5" width="25" height="11" fill="var(--sun)" />
        </svg>
        sun hours
      </li>
      <li>
        <svg width="26" height="12" aria-hidden="true">
          <rect x="0.5" y="0.5" width="25" height="11" fill="none" stroke="var(--rule-strong)" />
        </svg>
        possible under a clear sky
      </li>
    </ul>
  )
}

interface StateKeyProps {
  readonly states: ReadonlySet<SunState>
  /** do the ribbons show where the skyline will hide the sun? */
  readonly hasHidden?: boolean
}

export function StateKey({ states, hasHidden = false }: StateKeyProps) {
  const shown = STATE_WORDS.filter(({ state }) => states.has(state))
  return (
    <ul class="key" aria-label="Key to the ribbons">
      {shown.map(({ state, word }) => (
        <li key={state}>
          <svg width="26" height="12" aria-hidden="true">
            <rect x="0.5" y="0.5" width="25" height="11" fill={fillOf(state)} stroke="var(--rule-strong)" />
          </svg>
          {word}
        </li>
      ))}
      <li>
        <svg width="26" height="12" aria-hidden="true">
          <rect x="0.5" y="0.5" width="25" height="11" fill="none" stroke="var(--rule-strong)" />
        </svg>
        still to come
      </li>
      {hasHidden && (
        <li>
          <svg width="26" height="12" aria-hidden="true">
            <rect x="0.5" y="0.5" width="25" height="11" fill={HIDDEN_FILL} stroke="var(--rule-strong)" />
          </svg>
          still to come, behind the skyline
        </li>
      )}
    </ul>
  )
}
