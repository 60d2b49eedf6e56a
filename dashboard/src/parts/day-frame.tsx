/**
 * The frame of every picture of days: a finger, a pointer or the arrow keys read one day of it. The picture is laid out for
 * the width there is; what it draws is up to whoever frames it.
 */
import type { ComponentChildren } from 'preact'
import { useRef } from 'preact/hooks'
import { dayAt } from './day-at.js'
import { useWidth } from './use-width.js'

export interface DayFrameProps {
  readonly class: string
  /** what it is, to a screen reader: 'carpet of days' */
  readonly kind: string
  /** whose days: 'Carpet of the sun on the long bed' */
  readonly label: string
  readonly days: number
  /** room left of the plot for its axis, px */
  readonly left: number
  /** the day read now; null: none */
  readonly at: number | null
  /** where the arrow keys set out from when none is read; may lie one past the end */
  readonly restAt: number
  /** days that Page Up and Page Down go */
  readonly stride: number
  /** the plot is never wider than this, px; by default as wide as there is room */
  readonly most?: number
  onRead(at: number | null): void
  /** the picture in a plot of this width */
  children(width: number): ComponentChildren
}

export function DayFrame(props: DayFrameProps) {
  const { days, left, at, restAt, stride, most = Number.POSITIVE_INFINITY, onRead } = props
  const frame = useRef<HTMLDivElement>(null)
  const width = Math.min(most, Math.max(0, useWidth(frame) - left))

  function point(event: PointerEvent): void {
    const box = frame.current?.getBoundingClientRect()
    if (box !== undefined && width > 0 && days > 0)
      onRead(dayAt(event.clientX - box.left - left, width, days))
  }

  function onKeyDown(event: KeyboardEvent): void {
    const steps: Readonly<Record<string, number>> = {
      ArrowLeft: -1,
      ArrowRight: 1,
      PageUp: -stride,
      PageDown: stride,
    }
    const step = steps[event.key]
    if (step === undefined || days === 0) return
    event.preventDefault()
    onRead(Math.min(days - 1, Math.max(0, (at ?? restAt) + step)))
  }

  return (
    // biome-ignore lint/a11y/useSemanticElements: a picture read day by day, not a group of form fields
    <div
      ref={frame}
      class={props.class}
      role="group"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: arrow keys read its days (WCAG 2.1.1)
      tabIndex={0}
      aria-roledescription={props.kind}
      aria-label={`${props.label}: left and right arrow keys read its days`}
      onKeyDown={onKeyDown}
      onPointerMove={point}
      onPointerDown={point}
      onPointerLeave={() => onRead(null)}
    >
      {width > 0 && props.children(width)}
    </div>
  )
}
