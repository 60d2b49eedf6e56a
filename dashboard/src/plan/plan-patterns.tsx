/** Patterns of the year's picture: every state and risk is told by texture as well as colour. */
import type { Phase } from './year-scale.js'

export const phaseFill = (phase: Phase): string => `url(#plan-${phase})`

interface HatchProps {
  readonly id: string
  readonly ground: string
  readonly ink: string
  readonly size: number
  readonly angle: number
  readonly line: number
}

function Hatch({ id, ground, ink, size, angle, line }: HatchProps) {
  return (
    <pattern
      id={id}
      width={size}
      height={size}
      patternTransform={`rotate(${angle})`}
      patternUnits="userSpaceOnUse"
    >
      <rect width={size} height={size} fill={ground} />
      <line x1="0" y1="0" x2="0" y2={size} stroke={ink} stroke-width={line} />
    </pattern>
  )
}

export function PlanPatterns() {
  return (
    <svg class="patterns" aria-hidden="true" width="0" height="0">
      <defs>
        <Hatch id="plan-cover" ground="var(--paper)" ink="var(--line-other)" size={6} angle={45} line={1.2} />
        <Hatch id="plan-growing" ground="var(--paper)" ink="var(--line-other)" size={4} angle={90} line={2} />
        <pattern id="plan-forming" width="4" height="4" patternUnits="userSpaceOnUse">
          <rect width="4" height="4" fill="var(--line-other)" />
        </pattern>
        <pattern id="plan-ready" width="8" height="8" patternUnits="userSpaceOnUse">
          <rect width="8" height="8" fill="var(--paper)" />
          <circle cx="2" cy="2" r="1.4" fill="var(--line-other)" />
          <circle cx="6" cy="6" r="1.4" fill="var(--line-other)" />
        </pattern>
        <Hatch id="plan-fair" ground="var(--paper)" ink="var(--line-other)" size={5} angle={45} line={2.2} />
        <Hatch id="plan-heat" ground="var(--paper)" ink="var(--heat)" size={5} angle={-45} line={2.6} />
        <pattern id="plan-cold" width="6" height="6" patternUnits="userSpaceOnUse">
          <rect width="6" height="6" fill="var(--paper)" />
          <circle cx="1.5" cy="1.5" r="1.2" fill="var(--line-air)" />
          <circle cx="4.5" cy="4.5" r="1.2" fill="var(--line-air)" />
        </pattern>
        <pattern id="plan-frost" width="7" height="7" patternUnits="userSpaceOnUse">
          <rect width="7" height="7" fill="var(--paper)" />
          <path d="M1 1l5 5M6 1l-5 5" stroke="var(--line-air)" stroke-width="1.1" />
        </pattern>
        <Hatch id="plan-warm" ground="var(--paper)" ink="var(--heat)" size={5} angle={90} line={1.8} />
      </defs>
    </svg>
  )
}

const PHASES: readonly { readonly fill: string; readonly word: string }[] = [
  { fill: 'url(#plan-cover)', word: 'under cover' },
  { fill: 'url(#plan-growing)', word: 'growing in the bed' },
  { fill: 'url(#plan-forming)', word: 'what is eaten forms' },
  { fill: 'url(#plan-ready)', word: 'ready to cut' },
]

export function PhaseKey({ isUnderCover }: { readonly isUnderCover: boolean }) {
  return (
    <ul class="key" aria-label="Key to the ribbons">
      {PHASES.filter(({ word }) => isUnderCover || word !== 'under cover').map(({ fill, word }) => (
        <li key={word}>
          <svg width="28" height="12" aria-hidden="true">
            <rect x="0.5" y="0.5" width="27" height="11" fill={fill} stroke="var(--line-other)" />
          </svg>
          {word}
        </li>
      ))}
    </ul>
  )
}
