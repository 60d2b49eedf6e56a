/** Degree days of a planting as a ruler: the stages they bring as marks, how far the crop has come as a filled band. */
import { useRef } from 'preact/hooks'
import type { PlantingProgress } from '../../../shared/api/measurements.js'
import { useWidth } from '../parts/use-width.js'

const HEIGHT = 46
const TOP = 24
const BAND = 9
/** Usual width of a letter at the size of the words, px. */
const LETTER_PX = 6.6

interface Mark {
  readonly name: string
  readonly degreeDaysC: number
  readonly isReached: boolean
}

interface PlacedMark extends Mark {
  readonly x: number
  /** where the word goes; null: no room for it, the table has it */
  readonly word: { readonly x: number; readonly anchor: 'start' | 'end' } | null
}

/** Marks from left to right, each with its word right of it, or left of it at the right end, where there is room. */
function placed(progress: PlantingProgress, end: number, width: number): PlacedMark[] {
  let takenTo = 0
  return progress.stages.map((stage) => {
    const x = (stage.degreeDaysC / end) * width
    const wordPx = stage.stageName.length * LETTER_PX
    const isLate = x + 3 + wordPx > width
    const from = isLate ? x - 4 - wordPx : x + 3
    const hasRoom = from >= takenTo
    if (hasRoom) takenTo = from + wordPx + 6
    return {
      name: stage.stageName,
      degreeDaysC: stage.degreeDaysC,
      isReached: stage.reachedOn !== null,
      x,
      word: hasRoom ? { x: isLate ? x - 4 : x + 3, anchor: isLate ? 'end' : 'start' } : null,
    }
  })
}

export function StageRuler({
  progress,
  label,
}: {
  readonly progress: PlantingProgress
  readonly label: string
}) {
  const frame = useRef<HTMLDivElement>(null)
  const width = useWidth(frame)
  const most = Math.max(...progress.stages.map((stage) => stage.degreeDaysC), progress.degreeDaysC ?? 0, 1)
  const end = most * 1.06
  return (
    <div class="stage-ruler" ref={frame}>
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
          {progress.degreeDaysC !== null && (
            <rect
              x="0"
              y={TOP}
              width={(progress.degreeDaysC / end) * width}
              height={BAND + 1}
              fill="var(--line-other)"
            />
          )}
          {placed(progress, end, width).map((mark) => (
            <g key={mark.name}>
              <line x1={mark.x} x2={mark.x} y1={TOP - 4} y2={TOP + BAND + 5} stroke="var(--ink)" />
              {mark.word !== null && (
                <text
                  x={mark.word.x}
                  y={TOP - 8}
                  text-anchor={mark.word.anchor}
                  class={mark.isReached ? 'tick ink' : 'tick'}
                >
                  {mark.name}
                </text>
              )}
            </g>
          ))}
        </svg>
      )}
    </div>
  )
}
