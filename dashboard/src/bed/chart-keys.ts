/** A chart's keys: arrows move, plus and minus zoom, shift with an arrow reads the next sample. */

/** What a key does to a chart; null: the key belongs to the page. */
export type KeyAction =
  | { readonly kind: 'pan'; readonly part: number }
  | { readonly kind: 'zoom'; readonly factor: number }
  | { readonly kind: 'read'; readonly samples: number }
  | { readonly kind: 'clear' }

export function keyAction(event: KeyboardEvent): KeyAction | null {
  if (event.ctrlKey || event.metaKey || event.altKey) return null
  switch (event.key) {
    case 'ArrowLeft':
      return event.shiftKey ? { kind: 'read', samples: -1 } : { kind: 'pan', part: -0.1 }
    case 'ArrowRight':
      return event.shiftKey ? { kind: 'read', samples: 1 } : { kind: 'pan', part: 0.1 }
    case 'PageUp':
      return { kind: 'pan', part: -1 }
    case 'PageDown':
      return { kind: 'pan', part: 1 }
    case '+':
    case '=':
      return { kind: 'zoom', factor: 1 / 1.5 }
    case '-':
    case '_':
      return { kind: 'zoom', factor: 1.5 }
    case 'Escape':
      return { kind: 'clear' }
    default:
      return null
  }
}
