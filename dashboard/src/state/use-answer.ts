/** An answer of the hub that follows what is typed: asked anew when the question changes and typing has paused. */
import { useEffect, useMemo, useRef } from 'preact/hooks'
import { type Resource, resource } from './resource.js'

interface HowAsked {
  /** typing pauses so long before the hub is asked, ms */
  readonly pauseMs: number
  /** what the page begins with is asked without a pause */
  readonly beginsAtOnce?: boolean
  /** while there is nothing to ask, the last answer stays; otherwise it is gone with its question */
  readonly keepsLast?: boolean
}

/** @param question  null: there is nothing to ask */
export function useAnswer<T>(
  question: string | null,
  ask: (question: string, signal: AbortSignal) => Promise<T>,
  { pauseMs, beginsAtOnce = false, keepsLast = false }: HowAsked,
): Resource<T> {
  const asked = useRef({ question: question ?? '', ask })
  const isAtOnce = useRef(beginsAtOnce)
  const answer = useMemo(() => resource<T>((signal) => asked.current.ask(asked.current.question, signal)), [])
  useEffect(() => {
    const waitMs = isAtOnce.current ? 0 : pauseMs
    isAtOnce.current = false
    if (question === null) {
      if (!keepsLast) answer.clear()
      return undefined
    }
    asked.current = { question, ask }
    const timer = setTimeout(() => void answer.reload(), waitMs)
    return () => clearTimeout(timer)
  }, [question, answer])
  return answer
}
