/** Copies a text; where the browser lends no clipboard to the page, which it does over TLS and on this machine only, nothing is shown. */
import { useState } from 'preact/hooks'

interface CopyButtonProps {
  readonly text: string
  /** 'the settings' */
  readonly what: string
}

export function CopyButton({ text, what }: CopyButtonProps) {
  const [word, setWord] = useState('')
  if (!isSecureContext || navigator.clipboard === undefined) return null
  const copy = (): Promise<void> =>
    navigator.clipboard.writeText(text).then(
      () => setWord('copied'),
      () => setWord('this browser does not let the page copy: mark it by hand'),
    )
  return (
    <span>
      <button type="button" class="plain" onClick={() => void copy()}>
        Copy {what}
      </button>{' '}
      <span role="status" class="aside">
        {word}
      </span>
    </span>
  )
}
