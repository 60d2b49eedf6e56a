/** The colours of the style sheet for canvases, which cannot read CSS variables; read anew when the scheme changes. */
import { PALETTE_NAMES, type Palette, type PaletteName } from './palette-names.js'

export function readPalette(): Palette {
  const style = getComputedStyle(document.documentElement)
  const entries = PALETTE_NAMES.map((name) => [name, style.getPropertyValue(`--${name}`).trim()] as const)
  return Object.fromEntries(entries) as Record<PaletteName, string>
}

/** Calls back when the reader's scheme changes or the page is printed; returns what stops that. */
export function onPaletteChange(changed: () => void): () => void {
  const queries = ['(prefers-color-scheme: dark)', 'print'].map((q) => matchMedia(q))
  for (const query of queries) query.addEventListener('change', changed)
  return () => {
    for (const query of queries) query.removeEventListener('change', changed)
  }
}
