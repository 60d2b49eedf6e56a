/**
 * The skyline of a bed: how high what stands around reaches, by azimuth. Learned from the bed's own light
 * (skyline-learning.ts), drawn by the grower (drawn-skyline.ts), or both.
 */
import type { Horizon } from './possible-sun.js'

/** Azimuths come in sectors this wide: the sun crosses one in about twelve minutes. */
export const SECTOR_DEG = 3
export const SECTORS = 360 / SECTOR_DEG

export interface Skyline {
  /** middle of each sector, clockwise from north */
  readonly azimuthDeg: Float64Array
  /** most likely height of what stands there, deg above the level */
  readonly elevationDeg: Float64Array
  /** three chances in four that it stands at least this high: what is below counts as shade */
  readonly atLeastDeg: Float64Array
  /** the height lies between these with nine chances in ten; 0 to 90 where nothing is known */
  readonly lowDeg: Float64Array
  readonly highDeg: Float64Array
  /** one standard deviation, deg */
  readonly uncertaintyDeg: Float64Array
  /** 1 where the sun, or the grower, has shown the height to within a few degrees */
  readonly isKnown: Uint8Array
}

export const sectorOf = (azimuthDeg: number): number =>
  Math.floor((((azimuthDeg % 360) + 360) % 360) / SECTOR_DEG) % SECTORS

export const sectorMiddleDeg = (sector: number): number => (sector + 0.5) * SECTOR_DEG

export function sectorMiddles(): Float64Array {
  return Float64Array.from({ length: SECTORS }, (_, sector) => sectorMiddleDeg(sector))
}

/** Height by azimuth (0 to 360°) of one of a skyline's columns, straight between the middles of sectors. */
export function horizonOf(elevationDeg: Float64Array): Horizon {
  return (azimuthDeg) => {
    const position = azimuthDeg / SECTOR_DEG - 0.5
    const below = Math.floor(position)
    const left = elevationDeg[(below + SECTORS) % SECTORS]!
    const right = elevationDeg[(below + 1) % SECTORS]!
    return left + (right - left) * (position - below)
  }
}

/** Where the height is not known, half the guess from known neighbours and half this counts for the sky's light. */
const USUAL_DEG = 8

/**
 * Part of an even sky's light that reaches a level surface past the skyline, 0 to 1: cos² of the height, averaged
 * over all directions (the view factor of a horizon, as in mountain radiation models).
 */
export function skyView({ elevationDeg, lowDeg, highDeg, isKnown }: Skyline): number {
  let sum = 0
  for (const [sector, height] of elevationDeg.entries()) {
    const usual = Math.min(highDeg[sector]!, Math.max(lowDeg[sector]!, USUAL_DEG))
    const counted = isKnown[sector] === 1 ? height : (height + usual) / 2
    sum += Math.cos((counted * Math.PI) / 180) ** 2
  }
  return sum / elevationDeg.length
}

/** Nothing known: the whole sky may be open or not. */
export function unknownSkyline(): Skyline {
  return {
    azimuthDeg: sectorMiddles(),
    elevationDeg: new Float64Array(SECTORS),
    atLeastDeg: new Float64Array(SECTORS),
    lowDeg: new Float64Array(SECTORS),
    highDeg: new Float64Array(SECTORS).fill(90),
    uncertaintyDeg: new Float64Array(SECTORS).fill(30),
    isKnown: new Uint8Array(SECTORS),
  }
}
