/**
 * The three beds of the demo and what makes them different: what stands around them, what their soil is in,
 * and what the node there is like. All invented.
 */
import type { BedInput } from '../../../shared/api/garden.js'
import type { SoilKind } from './soil.js'

/** Height of what stands around, degrees above the level, at azimuths clockwise from north; between them a line. */
export type SkylinePoint = readonly [azimuthDeg: number, elevationDeg: number]

export interface Canopy {
  /** sector of the sky that the crown covers */
  readonly fromAzimuthDeg: number
  readonly toAzimuthDeg: number
  readonly fromElevationDeg: number
  readonly toElevationDeg: number
  /** part of the direct light that comes through its gaps, on average */
  readonly gaps: number
}

export interface NodeTraits {
  /** sensor's reading over the true light: dome, diffuser, spread of the part */
  readonly lightGain: number
  /** the largest value its light sensor can say, lx */
  readonly lightCeilingLx: number
  /** what the air sensor reads too high in full sun, °C: radiation shield and what surrounds it */
  readonly sunErrorC: number
  readonly soilOffsetC: number
}

export interface DemoBed {
  readonly id: string
  readonly bed: BedInput
  readonly node: { readonly id: string; readonly name: string }
  readonly skyline: readonly SkylinePoint[]
  readonly canopy: Canopy | null
  /** direct light that a wall facing the morning sun gives back as warmth, °C in full sun */
  readonly wallWarmthC: number
  /** warming of the air over paving in full sun, °C */
  readonly pavingWarmthC: number
  readonly soil: SoilKind
  readonly traits: NodeTraits
}

const RAISED_BED: SoilKind = { hasGround: true, sideExchange: 0, sidePerVolume: 0, sideAbsorbed: 0 }
/** a tub of 45 cm: 4/0.45 m² of wall for each m³ */
const TUB: SoilKind = { hasGround: false, sideExchange: 7, sidePerVolume: 8.9, sideAbsorbed: 0.1 }

/** BH1750 with a measurement time register of 31 and of 69 (ROHM data sheet): 65535 / 1.2 × 69 / MTreg. */
const HIGH_CEILING_LX = 121_557
const LOW_CEILING_LX = 54_612

/**
 * @param isNorthern  north of the equator the midday sun stands in the south, so the tree does too
 */
export function demoBeds(isNorthern: boolean): readonly DemoBed[] {
  return [
    {
      id: 'long-bed',
      bed: { name: 'Long bed', kind: 'raised', lengthM: 4.8, widthM: 1.2, depthM: 0.4 },
      node: { id: 'plover', name: 'Plover, at the long bed' },
      skyline: [
        [0, 6],
        [90, 8],
        [180, 5],
        [270, 7],
      ],
      canopy: null,
      wallWarmthC: 0,
      pavingWarmthC: 0,
      soil: RAISED_BED,
      traits: { lightGain: 0.97, lightCeilingLx: HIGH_CEILING_LX, sunErrorC: 0.5, soilOffsetC: 0.1 },
    },
    {
      id: 'wall-bed',
      bed: { name: 'Wall bed', kind: 'raised', lengthM: 3, widthM: 1, depthM: 0.35 },
      node: { id: 'curlew', name: 'Curlew, at the wall bed' },
      // an old wall along the western side: from just after noon on it hides the sun
      skyline: isNorthern
        ? [
            [0, 30],
            [20, 8],
            [80, 13],
            [120, 12],
            [178, 10],
            [186, 45],
            [205, 66],
            [270, 70],
            [330, 66],
            [345, 40],
          ]
        : [
            [2, 10],
            [60, 12],
            [100, 13],
            [160, 8],
            [195, 40],
            [215, 66],
            [270, 70],
            [335, 66],
            [354, 45],
          ],
      canopy: null,
      wallWarmthC: 1.2,
      pavingWarmthC: 0.3,
      soil: RAISED_BED,
      traits: { lightGain: 0.9, lightCeilingLx: HIGH_CEILING_LX, sunErrorC: 0.6, soilOffsetC: -0.2 },
    },
    {
      id: 'yard-tubs',
      bed: { name: 'Yard tubs', kind: 'container', lengthM: 1.8, widthM: 0.45, depthM: 0.4 },
      node: { id: 'avocet', name: 'Avocet, in the yard' },
      skyline: [
        [0, 12],
        [90, 14],
        [180, 12],
        [250, 28],
        [290, 28],
      ],
      // a crown over the morning and midday sky: sun comes in flecks, and freely only for an afternoon's hours
      canopy: isNorthern
        ? { fromAzimuthDeg: 70, toAzimuthDeg: 225, fromElevationDeg: 14, toElevationDeg: 78, gaps: 0.2 }
        : { fromAzimuthDeg: 315, toAzimuthDeg: 110, fromElevationDeg: 14, toElevationDeg: 78, gaps: 0.2 },
      wallWarmthC: 0.4,
      pavingWarmthC: 1.8,
      soil: TUB,
      traits: { lightGain: 1.04, lightCeilingLx: LOW_CEILING_LX, sunErrorC: 1.1, soilOffsetC: 0.2 },
    },
  ]
}
