/** What the planting has taken of heat or cold, against what harms: in words, and as a line filled so far. */
import { useRef } from 'preact/hooks'
import type { PlantingReport } from '../../../shared/api/progress.js'
import { useWidth } from '../parts/use-width.js'
import { tempUnit } from '../state/preferences.js'
import { amountText, type DoseOnPage, doseSentence, dosesOf, HEAT_COUNTED } from './dose-words.js'

const HEIGHT = 50
const TOP = 24
const BAND = 9
/** Usual width of a letter at the size of the words, px. */
const LETTER_PX = 6.6

function DoseRuler({ shown, label }: { readonly shown: DoseOnPage; readonly label: string }) {
  const frame = useRef<HTMLDivElement>(null)
  const width = useWidth(frame)
  const { amount, watchAt, likelyAt } = shown.dose
  const end = Math.max(likelyAt * 1.3, amount * 1.06)
  const x = (value: number): number => (value / end) * width
  const likelyPx = 'harm likely'.length * LETTER_PX
  const isLikelyLeft = x(likelyAt) + 4 + likelyPx > width
  const likelyFrom = isLikelyLeft ? x(likelyAt) - 4 - likelyPx : x(likelyAt)
  const hasWatchRoom = x(watchAt) + 4 + 'worth a look'.length * LETTER_PX + 6 < likelyFrom
  return (
    <div class="dose-ruler" ref={frame}>
      {width > 0 && (
        <svg width={width} height={HEIGHT} role="img" aria-label={label}>
          <rect
            x="0.5"
            y={TOP + 0.5}
            width={width - 1}
            height={BAND}
            fill="none"
            stroke="var(--rule-strong)"
          />
          <rect x="0" y={TOP} width={x(amount)} height={BAND + 1} fill={shown.fill} />
          {[watchAt, likelyAt].map((value) => (
            <line
              key={value}
              x1={x(value)}
              x2={x(value)}
              y1={TOP - 6}
              y2={TOP + BAND + 6}
              stroke="var(--ink)"
              stroke-width={value === likelyAt ? 2.4 : 1}
            />
          ))}
          {hasWatchRoom && (
            <text x={x(watchAt) + 4} y={TOP - 8} class="tick ink">
              worth a look
            </text>
          )}
          <text
            x={x(likelyAt) + (isLikelyLeft ? -4 : 4)}
            y={TOP - 8}
            text-anchor={isLikelyLeft ? 'end' : 'start'}
            class="tick ink"
          >
            harm likely
          </text>
        </svg>
      )}
    </div>
  )
}

export function Doses({ report }: { readonly report: PlantingReport }) {
  const all = dosesOf(report, tempUnit.value)
  return (
    <section class="planting-part" aria-label="What it has taken">
      <h3>What it has taken</h3>
      {all.length === 0 && <p>Nothing is known to harm this crop by heat or cold before the frost.</p>}
      {all.map((shown) => {
        const text = doseSentence(shown)
        const amount = amountText(shown.dose.amount, shown.dose.unit)
        return (
          <div key={shown.key} class="dose" data-dose={shown.key} data-level={shown.dose.level}>
            <p>
              <b>
                {shown.name}: {amount}
              </b>{' '}
              {text}
            </p>
            <DoseRuler shown={shown} label={`${shown.name}: ${amount} ${text}`} />
          </div>
        )
      })}
      {all.some(({ key }) => key === 'heat') && <p class="hint">{HEAT_COUNTED}</p>}
    </section>
  )
}
