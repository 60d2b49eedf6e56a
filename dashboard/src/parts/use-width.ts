/** The width an element has, followed as it changes: pictures are laid out for the width they have. */
import type { RefObject } from 'preact'
import { useLayoutEffect, useState } from 'preact/hooks'

/** Whole CSS pixels; 0 before the first layout. */
export function useWidth(element: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(0)
  useLayoutEffect(() => {
    const observed = element.current
    if (observed === null) return
    setWidth(Math.floor(observed.clientWidth))
    let frame = 0
    const observer = new ResizeObserver(() => {
      // once a frame: an observer that resizes what it watches would be told off by the browser
      cancelAnimationFrame(frame)
      frame = requestAnimationFrame(() => setWidth(Math.floor(observed.clientWidth)))
    })
    observer.observe(observed)
    return () => {
      cancelAnimationFrame(frame)
      observer.disconnect()
    }
  }, [element])
  return width
}
