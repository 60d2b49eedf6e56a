/** The picture of every carpet: days across, time of day upwards, woven on a canvas at the device's own pixels, read day by day. */
import type { ComponentChildren } from 'preact'
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks'
import { onPaletteChange } from '../bed/palette.js'
import { monthName } from '../format/local-clock.js'
import { DayFrame } from '../parts/day-frame.js'
import { MINUTES_A_DAY } from './carpet-pixels.js'

const LEFT = 36
export const CARPET_HEIGHT = 300
const AXIS = 24
/** On paper there are more pixels than on the screen it is printed from. */
const PRINT_RATIO = 3

interface CarpetPictureProps<Inks> {
  readonly days: readonly { readonly date: string }[]
  /** 'Carpet of the sun on the long bed' */
  readonly label: string
  /** what it shows as a whole, in words */
  readonly summary: string
  /** a day in words */
  text(at: number): string
  /** the style sheet's colours; read anew when the scheme changes */
  readInks(): Inks
  /** RGBA from the top; changes when what is shown does */
  pixels(width: number, height: number, grain: number, inks: Inks): Uint8ClampedArray<ArrayBuffer>
  /** what `pixels` depends on */
  readonly of: readonly unknown[]
  /** lines over it, for a plot of this width */
  lines?(width: number): ComponentChildren
}

/** The style sheet's colours, followed as the scheme changes. */
export function useInks<Inks>(readInks: () => Inks): Inks {
  const [inks, setInks] = useState(readInks)
  useEffect(() => onPaletteChange(() => setInks(readInks())), [readInks])
  return inks
}

interface WovenProps<Inks> extends Pick<CarpetPictureProps<Inks>, 'readInks' | 'pixels' | 'of'> {
  readonly width: number
}

function Woven<Inks>({ width, readInks, pixels, of }: WovenProps<Inks>) {
  const canvas = useRef<HTMLCanvasElement>(null)
  const inks = useInks(readInks)

  // before the next frame: a page that is printed waits for no more
  useLayoutEffect(() => {
    const ratio = matchMedia('print').matches ? PRINT_RATIO : devicePixelRatio
    const [w, h] = [Math.round(width * ratio), Math.round(CARPET_HEIGHT * ratio)]
    const context = canvas.current?.getContext('2d')
    if (canvas.current === null || context === null || context === undefined || w < 1) return
    canvas.current.width = w
    canvas.current.height = h
    const grain = Math.max(1, Math.round(ratio * 1.2))
    context.putImageData(new ImageData(pixels(w, h, grain, inks), w, h), 0, 0)
  }, [...of, width, inks])

  return <canvas ref={canvas} class="carpet-canvas" style={{ width: `${width}px` }} />
}

function Axes({
  days,
  width,
}: {
  readonly days: readonly { readonly date: string }[]
  readonly width: number
}) {
  const hours = [0, 6, 12, 18, 24]
  const months = days.flatMap((d, i) => (d.date.endsWith('-01') ? [{ i, date: d.date }] : []))
  const perMonth = (width / Math.max(1, days.length)) * 30
  return (
    <>
      {hours.map((hour) => {
        const y = CARPET_HEIGHT - ((hour * 60) / MINUTES_A_DAY) * CARPET_HEIGHT
        return (
          <g key={hour}>
            <text x={-6} y={Math.min(CARPET_HEIGHT, Math.max(11, y + 4))} text-anchor="end" class="tick">
              {hour}
            </text>
            <line x1={-4} x2={0} y1={y} y2={y} stroke="var(--rule-strong)" />
          </g>
        )
      })}
      {months.map(({ i, date }) => {
        const x = (i / days.length) * width
        if (x > width - 24) return null
        return (
          <g key={date}>
            <line x1={x} x2={x} y1={CARPET_HEIGHT} y2={CARPET_HEIGHT + 5} stroke="var(--rule-strong)" />
            <text x={x + 3} y={CARPET_HEIGHT + 17} class="tick">
              {monthName(date, perMonth < 70)}
            </text>
          </g>
        )
      })}
    </>
  )
}

export function CarpetPicture<Inks>(props: CarpetPictureProps<Inks>) {
  const { days, label, summary, text, lines } = props
  const [at, setAt] = useState<number | null>(null)
  const isRead = at !== null && at < days.length
  return (
    <>
      <p class={isRead ? 'readout' : 'readout at-rest'} aria-live="polite">
        {isRead ? text(at) : summary}
      </p>
      <DayFrame
        class="carpet-frame"
        kind="carpet of days"
        label={label}
        days={days.length}
        left={LEFT}
        at={at}
        restAt={days.length}
        stride={7}
        onRead={setAt}
      >
        {(width) => (
          <>
            <Woven width={width} readInks={props.readInks} pixels={props.pixels} of={props.of} />
            <svg
              class="carpet-lines"
              width={width + LEFT}
              height={CARPET_HEIGHT + AXIS}
              viewBox={`${-LEFT} 0 ${width + LEFT} ${CARPET_HEIGHT + AXIS}`}
              role="img"
              aria-label={summary}
            >
              {lines?.(width)}
              <Axes days={days} width={width} />
              {isRead && (
                <line
                  x1={((at + 0.5) / days.length) * width}
                  x2={((at + 0.5) / days.length) * width}
                  y1={0}
                  y2={CARPET_HEIGHT}
                  class="carpet-cursor"
                />
              )}
            </svg>
          </>
        )}
      </DayFrame>
    </>
  )
}
