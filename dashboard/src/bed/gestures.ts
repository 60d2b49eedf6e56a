/**
 * Moving and zooming a chart by mouse, touch and wheel. The page must still scroll: a finger moving up or down and
 * a plain wheel over a chart nobody clicked belong to the page.
 */

export interface GestureHandlers {
  /** move by a part of the view, positive: later */
  onPan(part: number): void
  /** zoom by a factor round a place from 0 (left edge) to 1 (right edge) */
  onZoom(factor: number, place: number): void
  /** a tap or a hover reads the value at this place, px from the plot's left edge */
  onRead(leftPx: number): void
}

const TAP_PX = 6

/** @param plot the plotting area; @param focusable the element that holds the keyboard focus of the chart */
export function attachGestures(plot: HTMLElement, focusable: HTMLElement, on: GestureHandlers): () => void {
  const pointers = new Map<number, number>()
  let travelled = 0

  const place = (clientX: number): number => {
    const box = plot.getBoundingClientRect()
    return (clientX - box.left) / box.width
  }
  const spread = (): number => {
    const [a = 0, b = 0] = [...pointers.values()]
    return Math.abs(a - b)
  }
  const middle = (): number => {
    const [a = 0, b = 0] = [...pointers.values()]
    return (a + b) / 2
  }

  function onDown(event: PointerEvent): void {
    if (event.pointerType === 'mouse' && event.button !== 0) return
    pointers.set(event.pointerId, event.clientX)
    travelled = 0
    plot.setPointerCapture(event.pointerId)
  }

  function onMove(event: PointerEvent): void {
    const before = pointers.get(event.pointerId)
    if (before === undefined) return
    const width = plot.clientWidth
    if (pointers.size === 1) {
      travelled += Math.abs(event.clientX - before)
      pointers.set(event.pointerId, event.clientX)
      if (travelled > TAP_PX) on.onPan((before - event.clientX) / width)
      return
    }
    const spreadBefore = spread()
    const middleBefore = middle()
    pointers.set(event.pointerId, event.clientX)
    travelled = TAP_PX + 1
    if (spreadBefore > 8 && spread() > 8) on.onZoom(spreadBefore / spread(), place(middle()))
    on.onPan((middleBefore - middle()) / width)
  }

  function onUp(event: PointerEvent): void {
    if (!pointers.delete(event.pointerId)) return
    if (event.type === 'pointerup' && travelled <= TAP_PX) on.onRead(place(event.clientX) * plot.clientWidth)
  }

  function onWheel(event: WheelEvent): void {
    if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
      event.preventDefault()
      on.onPan(event.deltaX / plot.clientWidth)
      return
    }
    const isMeant = event.ctrlKey || event.metaKey || focusable.contains(document.activeElement)
    if (!isMeant) return
    event.preventDefault()
    on.onZoom(Math.exp(Math.max(-60, Math.min(60, event.deltaY)) * 0.004), place(event.clientX))
  }

  plot.addEventListener('pointerdown', onDown)
  plot.addEventListener('pointermove', onMove)
  plot.addEventListener('pointerup', onUp)
  plot.addEventListener('pointercancel', onUp)
  plot.addEventListener('wheel', onWheel, { passive: false })
  return () => {
    plot.removeEventListener('pointerdown', onDown)
    plot.removeEventListener('pointermove', onMove)
    plot.removeEventListener('pointerup', onUp)
    plot.removeEventListener('pointercancel', onUp)
    plot.removeEventListener('wheel', onWheel)
  }
}
