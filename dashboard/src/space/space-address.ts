/** The address of the page about space: which bed or size, which crop, how far apart. */

export interface SpaceAddress {
  /** a bed's id; null: lengths are typed */
  readonly bed?: string | null
  readonly crop?: string | null
  readonly spacingM?: number | null
  readonly shape?: 'rectangle' | 'round' | null
  readonly lengthM?: number | null
  readonly widthM?: number | null
  readonly depthM?: number | null
}

export function spacePath(address: SpaceAddress): string {
  const query = new URLSearchParams()
  for (const name of ['bed', 'crop', 'spacingM', 'shape', 'lengthM', 'widthM', 'depthM'] as const) {
    const value = address[name]
    if (value) query.set(name, String(value))
  }
  const text = query.toString()
  return text === '' ? '/plan/space' : `/plan/space?${text}`
}

/** Reads such an address; what is no length is left out. */
export function spaceAddressIn(search: string): SpaceAddress {
  const query = new URLSearchParams(search)
  const length = (name: string, mostM: number): number | null => {
    const value = Number(query.get(name) ?? Number.NaN)
    return value >= 0.01 && value <= mostM ? value : null
  }
  return {
    bed: query.get('bed') || null,
    crop: query.get('crop') || null,
    spacingM: length('spacingM', 5),
    shape: query.get('shape') === 'round' ? 'round' : null,
    lengthM: length('lengthM', 200),
    widthM: length('widthM', 200),
    depthM: length('depthM', 5),
  }
}
