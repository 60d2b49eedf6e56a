/** The bed from above, to scale: every plant as its head with the room around it, distances written at the edges. */
import { useRef } from 'preact/hooks'
import type { Space, SpaceLayout } from '../../../shared/api/space.js'
import { type LengthUnit, showLength } from '../format/lengths.js'
import { useWidth } from '../parts/use-width.js'
import { MARGIN, type PictureFrame, pictureFrame, scaleBarM } from './picture-scale.js'
import type { Rows } from './rows.js'

/** More circles than these make a page slow and a picture grey. */
const MOST_CIRCLES = 500
/** A length needs so much room to be written, px: a letter's width, about, and a line's height. */
const LETTER_PX = 6.8
const LINE_PX = 15

interface PartProps {
  readonly space: Space
  readonly layout: SpaceLayout
  readonly frame: PictureFrame
  readonly unit: LengthUnit
}

/** Radius at which a head is drawn, m: midway between the small and the large ones to be expected; null: not known. */
function headRadiusM({ head }: Space, layout: SpaceLayout): number | null {
  if (head === null) return null
  const size = layout.pattern === 'offset' ? head.offset : head.square
  return (size.lowM + size.highM) / 4
}

function Ground({ space, frame }: Pick<PartProps, 'space' | 'frame'>) {
  const [w, h] = [space.lengthM * frame.pxPerM, space.widthM * frame.pxPerM]
  if (space.shape === 'round')
    return <circle cx={frame.left + w / 2} cy={frame.top + h / 2} r={w / 2} class="space-ground" />
  return <rect x={frame.left} y={frame.top} width={w} height={h} class="space-ground" />
}

function Plants({ space, layout, frame }: PartProps) {
  const { xM, yM } = layout.spots ?? { xM: [], yM: [] }
  const headM = headRadiusM(space, layout)
  const roomPx = (space.spacingM / 2) * frame.pxPerM
  const hasRooms = xM.length <= MOST_CIRCLES
  const headPx = headM === null ? Math.min(4, roomPx * 0.5) : headM * frame.pxPerM
  return (
    <g>
      {xM.map((x, i) => {
        const cx = frame.left + x * frame.pxPerM
        const cy = frame.top + (space.widthM - (yM[i] ?? 0)) * frame.pxPerM
        return (
          <g key={`${x} ${yM[i]}`} class="space-plant">
            {hasRooms && <circle cx={cx} cy={cy} r={roomPx} class="space-room" />}
            <circle cx={cx} cy={cy} r={headPx} class={headM === null ? 'space-stem' : 'space-head'} />
          </g>
        )
      })}
    </g>
  )
}

interface Mark {
  readonly fromM: number
  readonly toM: number
}

/** Edge to the first, and the first to the second: what has to be measured. */
function marksOf(first: number | undefined, second: number | undefined): Mark[] {
  if (first === undefined || first < 0.001) return []
  const marks = [{ fromM: 0, toM: first }]
  if (second !== undefined) marks.push({ fromM: first, toM: second })
  return marks
}

/** Measured distances under the bed, from its left end. */
function MarksUnder({ marks, frame, unit }: Pick<PartProps, 'frame' | 'unit'> & { marks: readonly Mark[] }) {
  const y = frame.height - MARGIN.bottom + 14
  const parts = marks.map(({ fromM, toM }) => {
    const [a, b] = [frame.left + fromM * frame.pxPerM, frame.left + toM * frame.pxPerM]
    const text = showLength(toM - fromM, unit)
    return { fromM, a, b, text, isWide: b - a >= text.length * LETTER_PX }
  })
  const isEachWide = parts.every(({ isWide }) => isWide)
  return (
    <g class="space-mark">
      {parts.map(({ fromM, a, b, text }) => (
        <g key={fromM}>
          <path d={`M${a} ${y - 4}v8M${a} ${y}H${b}M${b} ${y - 4}v8`} />
          {isEachWide && (
            <text x={(a + b) / 2} y={y + 16} text-anchor="middle" class="tick">
              {text}
            </text>
          )}
        </g>
      ))}
      {!isEachWide && (
        <text x={(parts.at(-1)?.b ?? 0) + 8} y={y + 4} class="tick">
          {parts.map(({ text }) => text).join(', then ')}
        </text>
      )}
    </g>
  )
}

/** Measured distances beside the bed, from its lower edge. */
function MarksBeside({ marks, space, frame, unit }: Omit<PartProps, 'layout'> & { marks: readonly Mark[] }) {
  const x = MARGIN.left - 8
  const yOf = (m: number): number => frame.top + (space.widthM - m) * frame.pxPerM
  return (
    <g class="space-mark">
      {marks.map(({ fromM, toM }) => {
        const [a, b] = [yOf(fromM), yOf(toM)]
        return (
          <g key={fromM}>
            <path d={`M${x - 4} ${a}h8M${x} ${a}V${b}M${x - 4} ${b}h8`} />
            {a - b >= LINE_PX && (
              <text x={x - 7} y={(a + b) / 2 + 4} text-anchor="end" class="tick">
                {showLength(toM - fromM, unit)}
              </text>
            )}
          </g>
        )
      })}
    </g>
  )
}

function Marks(props: PartProps & { readonly rows: Rows }) {
  const { rows } = props
  if (props.space.shape === 'round') return null
  const between = marksOf(rows.firstM, rows.rows[1]?.atM)
  const inRow = marksOf(rows.rows[0]?.alongM[0], rows.rows[0]?.alongM[1])
  const [under, beside] = rows.run === 'across' ? [between, inRow] : [inRow, between]
  return (
    <>
      <MarksUnder {...props} marks={under} />
      <MarksBeside {...props} marks={beside} />
    </>
  )
}

function ScaleBar({ frame, unit }: Pick<PartProps, 'frame' | 'unit'>) {
  const barM = scaleBarM(frame.pxPerM, unit)
  const [x, y, w] = [MARGIN.left, frame.height - 22, barM * frame.pxPerM]
  return (
    <g>
      <path d={`M${x} ${y - 5}v10M${x} ${y}h${w}M${x + w} ${y - 5}v10`} class="space-bar" data-bar-m={barM} />
      <text x={x + w + 8} y={y + 4} class="tick ink">
        {showLength(barM, unit)}
      </text>
    </g>
  )
}

interface SpacePictureProps {
  readonly space: Space
  readonly layout: SpaceLayout
  readonly rows: Rows | null
  readonly unit: LengthUnit
  /** what it shows, in words */
  readonly label: string
}

export function SpacePicture({ space, layout, rows, unit, label }: SpacePictureProps) {
  const element = useRef<HTMLDivElement>(null)
  const width = useWidth(element)
  const overhangM = layout.plants === 0 ? 0 : Math.max(0, space.spacingM / 2 - layout.fromEdgeM)
  const frame = pictureFrame(width, space.lengthM, space.widthM, overhangM)
  const parts = { space, layout, frame, unit }
  const size =
    space.shape === 'round'
      ? `${showLength(space.lengthM, unit)} across`
      : `${showLength(space.lengthM, unit)} long, ${showLength(space.widthM, unit)} wide`
  return (
    <figure class="space-picture">
      <div ref={element}>
        {width > 0 && (
          <svg width={frame.width} height={frame.height} role="img" aria-label={`${label} ${size}.`}>
            <Ground space={space} frame={frame} />
            {layout.spots !== null && <Plants {...parts} />}
            {rows !== null && <Marks {...parts} rows={rows} />}
            <ScaleBar frame={frame} unit={unit} />
          </svg>
        )}
      </div>
      <figcaption>
        {size}, from above, to scale.{' '}
        {layout.spots === null
          ? 'There are too many plants to draw.'
          : layout.plants === 0
            ? ''
            : space.head === null
              ? 'Dot: the plant; thin circle: its room.'
              : 'Filled: the head to expect; thin circle: its room.'}
      </figcaption>
    </figure>
  )
}
