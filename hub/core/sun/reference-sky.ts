/**
 * The sky that a bed's readings are held against: what a cloudless sky gives, and how bright it must be for the
 * sun to shine in the sense of the WMO (direct irradiance above 120 W/m²).
 */
import { extraterrestrialNormalWm2, SOLAR_CONSTANT_W_M2, simplifiedSolis } from './clear-sky.js'

const RAD = Math.PI / 180

/** WMO-No. 8, ch. 8: the sun shines when the direct irradiance, facing it, exceeds this. */
export const SUNSHINE_WM2 = 120

/**
 * Clean country air at sea level; both thin out with height, half gone at 1400 m (scale height 2 km, usual for water
 * vapour and aerosol). What a place has more or less of, and what the sensor's dome takes, the learned gain
 * takes up. Chosen so that clear moments of three months at Lyngby agree within 5 % from 3° to 60° of elevation.
 */
const AEROSOL = 0.1
const WATER_CM = 1.5
const HAZE_HEIGHT_M = 2000

/** The model's gain of global light with height runs away at low sun; from here down it is kept. */
const HEIGHT_FROM_DEG = 10

/**
 * Global light of a clear sky over elevation: the curve 1080 sin(h)^1.25 W/m² inside Olivieri’s sunshine method, raised by
 * 2 % to the median of the clear moments of the same three months. It
 * fits measured clear light down to 2°, where most models of global light are far off.
 */
const CLEAR_WM2 = 1100
const CLEAR_POWER = 1.25

/**
 * Thin cloud takes light out of the beam; this part of it arrives as diffuse light all the same. Less of it at low
 * sun, where half is scattered upwards. Chosen on minutes with direct irradiance between 60 and 220 W/m² in three
 * months at Lyngby; a sixth more or less shifts the sun hours of a day by about 0.3 h.
 */
const FORWARD = 0.57
const FORWARD_LOST_LOW = 0.3

/**
 * Near the horizon a clear sky itself hardly reaches 120 W/m², and haze decides; where the beam must keep more than this part
 * of its clear strength, a little more light is asked for. Balances wrong sun and missed sun below 3° in the same months.
 */
const LOW_MARGIN_FROM = 0.6
const LOW_MARGIN = 0.3

export interface ReferenceSky {
  /** global irradiance of a clear sky on an open level, W/m²; 0 with the sun down */
  clearWm2(elevationDeg: number, timeMs: number): number
  /** part of it that comes straight from the sun, 0 to 1 */
  beamPart(elevationDeg: number): number
  /** global light relative to a clear sky at which the sun just shines, open level */
  sunRatio(elevationDeg: number): number
  /** diffuse light in that, relative to the clear sky's global light: a walled-in bed gets less of it */
  sunDiffuseRatio(elevationDeg: number): number
}

const STEP_DEG = 0.25
const LOWEST_DEG = -1

/** Skies by height: a table is dear to make and always the same. */
const made = new Map<number, ReferenceSky>()
const MOST_KEPT = 50

/** Reference sky of a place by its height, m. */
export function referenceSky(elevationM: number): ReferenceSky {
  let sky = made.get(elevationM)
  if (sky === undefined) {
    if (made.size >= MOST_KEPT) made.clear()
    sky = makeSky(elevationM)
    made.set(elevationM, sky)
  }
  return sky
}

function makeSky(elevationM: number): ReferenceSky {
  const haze = Math.exp(-Math.max(0, elevationM) / HAZE_HEIGHT_M)
  const clear: number[] = []
  const beam: number[] = []
  const ratio: number[] = []
  const diffuse: number[] = []
  const here = (deg: number) =>
    simplifiedSolis(deg, elevationM, SOLAR_CONSTANT_W_M2, AEROSOL * haze, WATER_CM * haze)
  const atSea = (deg: number) => simplifiedSolis(deg, 0, SOLAR_CONSTANT_W_M2, AEROSOL, WATER_CM)
  for (let deg = LOWEST_DEG; deg <= 90 + STEP_DEG; deg += STEP_DEG) {
    const sine = Math.max(0, Math.sin(deg * RAD))
    const { directNormalWm2 } = here(deg)
    const factorDeg = Math.max(deg, HEIGHT_FROM_DEG)
    const heightFactor = here(factorDeg).globalWm2 / atSea(factorDeg).globalWm2
    const clearWm2 = CLEAR_WM2 * sine ** CLEAR_POWER * heightFactor
    const beamPart = clearWm2 > 0 ? Math.min(0.95, (directNormalWm2 * sine) / clearWm2) : 0
    const beamLeft = directNormalWm2 > 0 ? Math.min(1, SUNSHINE_WM2 / directNormalWm2) : 1
    const forward = FORWARD - FORWARD_LOST_LOW * (1 - sine) ** 4
    const diffuseRatio = 1 - beamPart + forward * (1 - beamLeft) * beamPart
    clear.push(clearWm2)
    beam.push(beamPart)
    const hazeMargin = LOW_MARGIN * Math.max(0, beamLeft - LOW_MARGIN_FROM)
    ratio.push(beamLeft * beamPart + diffuseRatio + hazeMargin)
    diffuse.push(diffuseRatio)
  }
  const at = (table: readonly number[], elevationDeg: number): number => {
    const position = (elevationDeg - LOWEST_DEG) / STEP_DEG
    if (position <= 0) return table[0]!
    const index = Math.min(Math.floor(position), table.length - 2)
    return table[index]! + (table[index + 1]! - table[index]!) * (position - index)
  }
  return {
    clearWm2: (elevationDeg, timeMs) =>
      at(clear, elevationDeg) * (extraterrestrialNormalWm2(timeMs) / SOLAR_CONSTANT_W_M2),
    beamPart: (elevationDeg) => at(beam, elevationDeg),
    sunRatio: (elevationDeg) => at(ratio, elevationDeg),
    sunDiffuseRatio: (elevationDeg) => at(diffuse, elevationDeg),
  }
}
