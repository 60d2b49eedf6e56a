/** Long pages are drawn part by part, so that no single piece of work keeps a finger waiting. */
import { useEffect, useState } from 'preact/hooks'

/** How many of `total` parts are to be drawn by now: one, then one more after each drawing. */
export function useOneByOne(total: number): number {
  const [drawn, setDrawn] = useState(1)
  useEffect(() => {
    if (drawn >= total) return
    const timer = setTimeout(() => setDrawn(drawn + 1))
    return () => clearTimeout(timer)
  }, [drawn, total])
  return Math.min(drawn, total)
}
