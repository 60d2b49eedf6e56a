/** Conversions between the three lights: illuminance (lx), irradiance (W/m²) and plant light (DLI). */

/**
 * Luminous efficacy of daylight, lm/W: lux that come with one W/m² of global irradiance. 107 under clear skies
 * and 109 averaged over all (Littlefair 1988, Lighting Research & Technology 20:177; his review of 1985 has 105 for
 * both). It moves with the sun and the clouds by about 10 % either way, which is less than what separates one
 * cheap sensor from the next under its dome, and the learned gain takes both up together.
 */
export const DAYLIGHT_LUX_PER_WM2 = 107

/**
 * Sunlight, lx per µmol m⁻² s⁻¹ of photosynthetic photons, 400 to 700 nm. Thimijan & Heins 1983,
 * HortScience 18:818. For daylight only, lamps differ; good to some 5 %, the sensor's own error comes on top.
 */
export const SUNLIGHT_LUX_PER_PPFD = 54

export const luxFromIrradiance = (irradianceWm2: number): number => irradianceWm2 * DAYLIGHT_LUX_PER_WM2

/** Photosynthetic photon flux density in sunlight, µmol m⁻² s⁻¹. */
export const ppfdFromLux = (illuminanceLx: number): number => illuminanceLx / SUNLIGHT_LUX_PER_PPFD

/**
 * Daily light integral.
 *
 * @param illuminanceLx  readings
 * @param weightMs       time that each reading accounts for, ms; 0 leaves a reading out
 * @returns              mol m⁻², of the time accounted for (not scaled up to a whole day)
 */
export function dailyLightIntegral(illuminanceLx: Float64Array, weightMs: Float64Array): number {
  let luxSeconds = 0
  for (let i = 0; i < illuminanceLx.length; i++) {
    const weight = weightMs[i] ?? 0
    if (weight > 0) luxSeconds += Math.max(0, illuminanceLx[i]!) * (weight / 1000)
  }
  return luxSeconds / SUNLIGHT_LUX_PER_PPFD / 1e6
}
