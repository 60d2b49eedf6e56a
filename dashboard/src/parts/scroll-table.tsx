/** A wide table on a narrow page: it scrolls by itself, by finger and by keyboard, and the page does not. */
import type { ComponentChildren } from 'preact'

interface ScrollTableProps {
  /** names the region for a screen reader */
  readonly label: string
  readonly children: ComponentChildren
}

export function ScrollTable({ label, children }: ScrollTableProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard (WCAG 2.1.1)
    <section class="table-scroll" tabIndex={0} aria-label={label}>
      {children}
    </section>
  )
}
