/** Long pages are drawn part by part, so that no single piece of work keeps a finger waiting. */
import { useEffect, useLayoutEffect, useState } from 'preact/hooks'

/** How many of `total` parts are to be drawn by now: one, then one more after each drawing; all of them on paper. */
export function useOneByOne(total: number): number {
  const [drawn, setDrawn] = useState(1)
  useEffect(() => {
    if (drawn >= total) return
    const timer = setTimeout(() => setDrawn(drawn + 1))
    return () => clearTimeout(timer)
  }, [drawn, total])
  // whoever prints at once is not to get half a page; listening from the first part on, before it is painted
  useLayoutEffect(() => {
    const drawAll = (): void => setDrawn(total)
    addEventListener('beforeprint', drawAll)
    return () => removeEventListener('beforeprint', drawAll)
  }, [total])
  return Math.min(drawn, total)
}
