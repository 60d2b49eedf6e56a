/** The key to the picture of each day's temperatures: what occurs in it, by pattern, position and word. */
import type { PlantingReport } from '../../../shared/api/progress.js'
import { tempUnit } from '../state/preferences.js'
import { tempText } from './planting-words.js'

const WIDTH = 26
const HEIGHT = 14

interface EnvelopeKeyProps {
  readonly report: PlantingReport
  readonly hasForecast: boolean
}

export function EnvelopeKey({ report, hasForecast }: EnvelopeKeyProps) {
  const { comfort, doses } = report
  const unit = tempUnit.value
  return (
    <ul class="key" aria-label="Key to the temperatures">
      <li>
        <svg width={WIDTH} height={HEIGHT} aria-hidden="true">
          <rect width={WIDTH} height={HEIGHT} fill="var(--line-air)" opacity="0.19" />
          <path
            d={`M0 0.6h${WIDTH}M0 ${HEIGHT - 0.6}h${WIDTH}`}
            stroke="var(--line-air)"
            stroke-width="1.2"
          />
          <path d={`M0 ${HEIGHT / 2}h${WIDTH}`} stroke="var(--ink)" stroke-width="1.8" />
        </svg>
        a day’s lowest, mean and highest
      </li>
      {hasForecast && (
        <li>
          <svg width={WIDTH} height={HEIGHT} aria-hidden="true">
            <rect width={WIDTH} height={HEIGHT} fill="var(--line-air)" opacity="0.3" />
            <path d={`M0 7h${WIDTH}`} stroke="var(--line-air)" stroke-width="1.8" stroke-dasharray="6 4" />
          </svg>
          forecast lowest and highest, each within its band eight times in ten
        </li>
      )}
      {comfort !== null && (
        <li>
          <svg width={WIDTH} height={HEIGHT} aria-hidden="true">
            <rect width={WIDTH} height={HEIGHT} fill="var(--line-other)" opacity="0.25" />
          </svg>
          mean at which it grows best
        </li>
      )}
      {doses.heat !== null && (
        <li>
          <svg width={WIDTH} height={HEIGHT} aria-hidden="true">
            <rect width={WIDTH} height={HEIGHT} fill="var(--heat)" opacity="0.11" />
            <path d={`M0 4h${WIDTH}`} stroke="var(--heat)" stroke-dasharray="5 4" />
          </svg>
          days that went above {tempText(doses.heat.aboveC, unit)}
        </li>
      )}
    </ul>
  )
}
