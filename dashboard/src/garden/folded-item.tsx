/** One of the garden's things, folded to a line. What is inside is made when it is first opened: forms of many plantings weigh. */
import type { ComponentChildren, RefObject } from 'preact'
import { useState } from 'preact/hooks'

interface FoldedItemProps {
  readonly summary: ComponentChildren
  readonly isOpen?: boolean
  readonly box?: RefObject<HTMLDetailsElement | null>
  readonly children: ComponentChildren
}

export function FoldedItem({ summary, isOpen = false, box, children }: FoldedItemProps) {
  const [wasOpened, setOpened] = useState(false)
  return (
    <details
      class="item"
      open={isOpen}
      {...(box === undefined ? {} : { ref: box })}
      onToggle={(event) => {
        if (event.currentTarget.open) setOpened(true)
      }}
    >
      <summary>{summary}</summary>
      {(isOpen || wasOpened) && children}
    </details>
  )
}
