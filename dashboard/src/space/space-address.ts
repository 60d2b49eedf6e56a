/** The address of the page about space: which bed, which crop, how far apart. */

export interface SpaceAddress {
  readonly bed?: string | null
  readonly crop?: string | null
  readonly spacingM?: number | null
}

export function spacePath({ bed, crop, spacingM }: SpaceAddress): string {
  const query = new URLSearchParams()
  if (bed) query.set('bed', bed)
  if (crop) query.set('crop', crop)
  if (spacingM) query.set('spacingM', String(spacingM))
  const text = query.toString()
  return text === '' ? '/plan/space' : `/plan/space?${text}`
}
