/** Directions in words, for the page and for what the hub writes. */

export const COMPASS_POINTS = [
  'north',
  'north-north-east',
  'north-east',
  'east-north-east',
  'east',
  'east-south-east',
  'south-east',
  'south-south-east',
  'south',
  'south-south-west',
  'south-west',
  'west-south-west',
  'west',
  'west-north-west',
  'north-west',
  'north-north-west',
] as const

export type CompassPoint = (typeof COMPASS_POINTS)[number]

/** Compass point of an azimuth (degrees clockwise from north, any turn) in words, of sixteen: 'west-south-west'. */
export const compassPoint = (azimuthDeg: number): CompassPoint =>
  COMPASS_POINTS[Math.round((((azimuthDeg % 360) + 360) % 360) / 22.5) % 16]!
