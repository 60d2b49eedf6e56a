/**
 * The width an element has, followed as it changes: pictures are laid out for the width they have. On paper that is the
 * paper's, so that words keep their size; a picture left wider would have the browser shrink the whole page.
 */
import type { RefObject } from 'preact'
import { useEffect, useLayoutEffect, useState } from 'preact/hooks'

/** So much fits between the margins of A4 and Letter upright. */
const PAPER_PX = 680

/** Is the page being put on paper? */
function usePrinting(): boolean {
  const [isPrinting, setPrinting] = useState(() => matchMedia('print').matches)
  useEffect(() => {
    const query = matchMedia('print')
    const changed = (): void => setPrinting(query.matches)
    query.addEventListener('change', changed)
    return () => query.removeEventListener('change', changed)
  }, [])
  return isPrinting
}

/** Whole CSS pixels; 0 before the first layout. */
export function useWidth(element: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(0)
  const isPrinting = usePrinting()
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
  return isPrinting ? Math.min(width, PAPER_PX) : width
}
