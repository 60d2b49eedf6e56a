/** The strips of the year's picture: how good each week of sowing is, and each of its risks, by height and pattern. */
import type { Plan, PlanWeek } from '../../../shared/api/plan.js'
import { addDays } from '../../../shared/local-time.js'
import { formingWords, weekGrade } from './plan-words.js'
import type { YearScale } from './year-scale.js'

export const LABEL_PX = 18
export const STRIP_PX = 24
export const GOOD_PX = 32
export const MEAN_PX = 72

interface StripProps {
  readonly weeks: readonly PlanWeek[]
  readonly scale: YearScale
  /** top of its label */
  readonly top: number
}

interface RiskKind {
  readonly key: string
  readonly label: string
  readonly fill: string
  readonly ink: string
  chance(week: PlanWeek): { readonly watch: number; readonly likely: number } | null
}

/** Risks that the crop has at all, in the order in which they come. */
export function riskKinds(plan: Plan): RiskKind[] {
  const kinds: readonly RiskKind[] = [
    {
      key: 'frost',
      label: 'frost that kills',
      fill: 'url(#plan-frost)',
      ink: 'var(--line-air)',
      chance: ({ youngFrost, killingFrost }) => {
        const chance = Math.max(youngFrost, killingFrost)
        return { watch: chance, likely: chance }
      },
    },
    {
      key: 'cold',
      label: 'at the start: flowering after cold',
      fill: 'url(#plan-cold)',
      ink: 'var(--line-air)',
      chance: (week) => week.coldBolting,
    },
    {
      key: 'heat',
      label: `at the end: heat while ${formingWords(plan.forms)}`,
      fill: 'url(#plan-heat)',
      ink: 'var(--heat)',
      chance: (week) => week.heat,
    },
    {
      key: 'warm',
      label: 'flowering in warm, long days',
      fill: 'url(#plan-warm)',
      ink: 'var(--heat)',
      chance: (week) => week.heatBolting,
    },
  ]
  return kinds.filter(({ chance }) => plan.weeks.some((week) => chance(week) !== null))
}

/** Left edge and width of a week's cell. */
const cell = (week: PlanWeek, { x }: YearScale): { x: number; width: number } => {
  const left = x(week.sowOn)
  return { x: left, width: Math.max(1, x(addDays(week.sowOn, 7)) - left) }
}

const GRADE_FILL: Readonly<Record<ReturnType<typeof weekGrade>, string>> = {
  good: 'var(--line-other)',
  fair: 'url(#plan-fair)',
  risky: 'var(--paper)',
  'no use': 'none',
}

export function GoodStrip({ weeks, scale, top }: StripProps) {
  const base = top + LABEL_PX + GOOD_PX
  return (
    <g>
      <text x={0} y={top + 12} class="tick ink haloed">
        weeks of sowing: solid good, hatched fair, open risky
      </text>
      {weeks.map((week) => {
        const grade = weekGrade(week.score)
        if (grade === 'no use') return null
        const height = Math.max(4, week.score * GOOD_PX)
        return (
          <rect
            key={week.sowOn}
            {...cell(week, scale)}
            y={base - height}
            height={height}
            fill={GRADE_FILL[grade]}
            stroke="var(--line-other)"
            stroke-width={0.8}
          />
        )
      })}
      <line x1={0} x2={scale.x(addDays(scale.from, 364))} y1={base} y2={base} stroke="var(--rule-strong)" />
    </g>
  )
}

export function RiskStrip({ weeks, scale, top, kind }: StripProps & { readonly kind: RiskKind }) {
  const base = top + LABEL_PX + STRIP_PX
  const isNone = weeks.every((week) => (kind.chance(week)?.watch ?? 0) === 0)
  return (
    <g>
      <text x={0} y={top + 12} class="tick ink haloed">
        {kind.label}
        {isNone && ': in no week'}
      </text>
      {weeks.map((week) => {
        const chance = kind.chance(week)
        if (chance === null || chance.watch <= 0) return null
        const box = cell(week, scale)
        return (
          <g key={week.sowOn}>
            <rect
              {...box}
              y={base - chance.likely * STRIP_PX}
              height={chance.likely * STRIP_PX}
              fill={kind.fill}
            />
            <path
              d={`M${box.x} ${base - chance.watch * STRIP_PX}h${box.width}`}
              stroke={kind.ink}
              stroke-width={1.4}
            />
          </g>
        )
      })}
      <line x1={0} x2={scale.x(addDays(scale.from, 364))} y1={base} y2={base} stroke="var(--rule-strong)" />
    </g>
  )
}

/** The usual mean of the year, with the range that suits the crop best as a band across. */
export function MeanCurve({
  plan,
  scale,
  top,
  label,
}: { readonly plan: Plan; readonly label: string } & Omit<StripProps, 'weeks'>) {
  const { usualMeanC, bestMeanFromC, bestMeanToC, from } = plan
  const least = Math.min(...usualMeanC, bestMeanFromC) - 1
  const most = Math.max(...usualMeanC, bestMeanToC) + 1
  const y = (meanC: number): number => top + LABEL_PX + MEAN_PX - ((meanC - least) / (most - least)) * MEAN_PX
  const weeks = Math.floor(scale.days / 7)
  const points = Array.from({ length: weeks + 1 }, (_, week) => {
    const meanC = usualMeanC[week % usualMeanC.length] ?? 0
    return `${scale.x(addDays(from, 7 * week)).toFixed(1)} ${y(meanC).toFixed(1)}`
  })
  return (
    <g>
      <text x={0} y={top + 12} class="tick ink haloed">
        {label}
      </text>
      <rect
        x={0}
        y={y(bestMeanToC)}
        width={scale.width}
        height={Math.max(1, y(bestMeanFromC) - y(bestMeanToC))}
        class="plan-best"
      />
      <path d={`M${points.join('L')}`} class="plan-mean" />
    </g>
  )
}
