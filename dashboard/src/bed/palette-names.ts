/** The colours that canvases use, by their names in the style sheet. Without the page, so that pure parts can name them. */
export const PALETTE_NAMES = [
  'paper',
  'ink',
  'faint',
  'rule',
  'rule-strong',
  'night-wash',
  'line-air',
  'line-soil',
  'line-light',
  'line-other',
  'mark',
  'heat',
] as const
export type PaletteName = (typeof PALETTE_NAMES)[number]
export type Palette = Readonly<Record<PaletteName, string>>
