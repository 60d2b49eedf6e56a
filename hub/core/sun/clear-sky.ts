/**
 * Light under a cloudless sky. All take the apparent elevation of the sun in degrees and give W/m² on the level,
 * 0 with the sun down. Illuminance follows by light.ts.
 */
const RAD = Math.PI / 180

/** Total solar irradiance at the mean distance of the earth, W/m² (Kopp & Lean 2011, doi 10.1029/2010GL045777). */
export const SOLAR_CONSTANT_W_M2 = 1361

/** January 3rd, 2000: the earth is nearest to the sun about this day of any year. */
const PERIHELION_MS = Date.UTC(2000, 0, 3)
const YEAR_MS = 365.2425 * 86_400_000

/** Irradiance facing the sun outside the atmosphere, W/m²; the distance to first order (3.3 % either way). */
export function extraterrestrialNormalWm2(timeMs: number): number {
  return SOLAR_CONSTANT_W_M2 * (1 + 0.0334 * Math.cos((2 * Math.PI * (timeMs - PERIHELION_MS)) / YEAR_MS))
}

/** Relative air mass. Kasten & Young 1989, Applied Optics 28:4735, doi 10.1364/AO.28.004735. */
export function relativeAirMass(elevationDeg: number): number {
  if (elevationDeg < -1) return Number.POSITIVE_INFINITY
  return 1 / (Math.sin(elevationDeg * RAD) + 0.50572 * (elevationDeg + 6.07995) ** -1.6364)
}

/** Air pressure relative to sea level by height, m (standard atmosphere, scale height near the ground). */
export const pressureRatio = (elevationM: number): number => Math.exp(-elevationM / 8434.5)

/** Global irradiance of a cloudless sky. Haurwitz 1945, J. Meteorology 2:154. */
export function haurwitzWm2(elevationDeg: number): number {
  const sine = Math.sin(elevationDeg * RAD)
  return sine <= 0 ? 0 : 1098 * sine * Math.exp(-0.059 / sine)
}

/** Global irradiance of a cloudless sky. Kasten & Czeplak 1980, Solar Energy 24:177. Never below 0. */
export function kastenCzeplakWm2(elevationDeg: number): number {
  return Math.max(0, 910 * Math.sin(elevationDeg * RAD) - 30)
}

/** What is left of it under clouds, 0.25 to 1. Kasten & Czeplak 1980. @param okta eighths of the sky covered */
export function cloudFactor(okta: number): number {
  return 1 - 0.75 * (okta / 8) ** 3.4
}

export interface ClearSky {
  readonly globalWm2: number
  /** facing the sun */
  readonly directNormalWm2: number
  readonly diffuseWm2: number
}

export interface ClearSkyConditions {
  /** apparent elevation of the sun */
  readonly elevationDeg: number
  /** Linke turbidity: 2 very clear, 3 clean country, 4 humid or town, 5 and more hazy */
  readonly linkeTurbidity: number
  /** height of the place, m */
  readonly elevationM: number
  /** outside the atmosphere, facing the sun, W/m² */
  readonly extraterrestrialWm2: number
  /** pressure-corrected air mass; from the elevation where left out */
  readonly airMass?: number
}

const NO_LIGHT: ClearSky = { globalWm2: 0, directNormalWm2: 0, diffuseWm2: 0 }

/**
 * Global, direct and diffuse light of a cloudless sky of a given turbidity.
 * Ineichen & Perez 2002, Solar Energy 73:151, doi 10.1016/S0038-092X(02)00045-2; direct part limited as in
 * Ineichen 2008, Solar Energy 82:758.
 */
export function ineichenPerez(conditions: ClearSkyConditions): ClearSky {
  const { elevationDeg, linkeTurbidity, elevationM, extraterrestrialWm2 } = conditions
  const sine = Math.sin(elevationDeg * RAD)
  if (sine <= 0) return NO_LIGHT
  const airMass = conditions.airMass ?? relativeAirMass(elevationDeg) * pressureRatio(elevationM)
  const fh1 = Math.exp(-elevationM / 8000)
  const fh2 = Math.exp(-elevationM / 1250)
  const cg1 = 5.09e-5 * elevationM + 0.868
  const cg2 = 3.92e-5 * elevationM + 0.0387
  const globalWm2 =
    cg1 * extraterrestrialWm2 * sine * Math.exp(-cg2 * airMass * (fh1 + fh2 * (linkeTurbidity - 1)))
  const b = 0.664 + 0.163 / fh1
  const direct = b * extraterrestrialWm2 * Math.exp(-0.09 * airMass * (linkeTurbidity - 1))
  const directLimit = (globalWm2 * (1 - (0.1 - 0.2 * Math.exp(-linkeTurbidity)) / (0.1 + 0.882 / fh1))) / sine
  const directNormalWm2 = Math.max(0, Math.min(direct, directLimit))
  return { globalWm2, directNormalWm2, diffuseWm2: globalWm2 - directNormalWm2 * sine }
}

/**
 * Direct light of a cloudless sky, facing the sun, and the global light with it: the simplified Solis model, which
 * holds down to a few degrees of elevation. Ineichen 2008, Solar Energy 82:758, doi 10.1016/j.solener.2008.02.009.
 *
 * @param aerosol  optical depth of aerosols at 700 nm: 0.05 very clear, 0.1 clean country, 0.3 hazy
 * @param waterCm  precipitable water, cm
 */
export function simplifiedSolis(
  elevationDeg: number,
  elevationM: number,
  extraterrestrialWm2: number,
  aerosol: number,
  waterCm: number,
): ClearSky {
  const sine = Math.sin(elevationDeg * RAD)
  if (sine <= 0) return NO_LIGHT
  const lnPressure = Math.log(pressureRatio(elevationM))
  const w = Math.max(waterCm, 0.2)
  const ln = Math.log(w)
  const enhanced =
    extraterrestrialWm2 *
    (0.12 * w ** 0.56 * aerosol ** 2 + 0.97 * w ** 0.032 * aerosol + 1.08 * w ** 0.0051 + 0.071 * lnPressure)
  const beamDepth =
    (1.82 + 0.056 * ln + 0.0071 * ln ** 2) * aerosol +
    (0.33 + 0.045 * ln + 0.0096 * ln ** 2) +
    (0.0089 * w + 0.13) * lnPressure
  const beamPower =
    (0.00925 * aerosol ** 2 + 0.0148 * aerosol - 0.0172) * ln +
    (-0.7565 * aerosol ** 2 + 0.5057 * aerosol + 0.4557)
  const globalDepth =
    (1.24 + 0.047 * ln + 0.0061 * ln ** 2) * aerosol +
    (0.27 + 0.043 * ln + 0.009 * ln ** 2) +
    (0.0079 * w + 0.1) * lnPressure
  const globalPower = -0.0147 * ln - 0.3079 * aerosol ** 2 + 0.2846 * aerosol + 0.3798
  const directNormalWm2 = enhanced * Math.exp(-beamDepth / sine ** beamPower)
  const globalWm2 = enhanced * Math.exp(-globalDepth / sine ** globalPower) * sine
  return { globalWm2, directNormalWm2, diffuseWm2: Math.max(0, globalWm2 - directNormalWm2 * sine) }
}
