/**
 * Cloudless skies.
 * - Haurwitz and Ineichen & Perez: reference rows of pvlib-python, tests/test_clearsky.py. Tolerance: 1e-6
 *   relative for Haurwitz, half the last printed digit (0.0000005 W/m², given here to six places: 0.001) for Ineichen.
 * - Simplified Solis: test row of pvlib-python, half the last printed digit.
 * - Kasten & Czeplak 1980 (Solar Energy 24:177): G0 = 910 sin h − 30 and 1 − 0.75 (N/8)^3.4, evaluated by hand.
 *   Tolerance 0.0005 W/m² and 0.000005.
 * - Kasten & Young 1989: air mass in the zenith and on the horizon as printed there (0.9997, 37.92). Tolerance
 *   half the last digit.
 */
import { describe, expect, it } from 'vitest'
import {
  cloudFactor,
  extraterrestrialNormalWm2,
  haurwitzWm2,
  ineichenPerez,
  kastenCzeplakWm2,
  relativeAirMass,
  simplifiedSolis,
} from '../../hub/core/sun/clear-sky.js'

describe('Haurwitz 1945', () => {
  it.each([
    [-20, 0],
    [-0.05, 0],
    [-0.001, 0],
    [5, 48.6298687941956],
    [10, 135.741748091813],
    [30, 487.894132885425],
    [50, 778.766689344363],
    [90, 1035.0920325345],
  ])('at %f° gives %f W/m²', (elevationDeg, expected) => {
    expect(Math.abs(haurwitzWm2(elevationDeg) - expected)).toBeLessThanOrEqual(expected * 1e-6)
  })
})

describe('Ineichen & Perez 2002, turbidity 3', () => {
  /** zenith, pressure-corrected air mass, height m, outside W/m², global, direct normal, diffuse */
  it.each([
    [10, 1, 0, 1364, 1038.159219, 942.208186, 110.265293],
    [10, 1, 0, 1370, 1042.725902, 946.352797, 110.750331],
    [10, 1, 2000, 1364, 1134.243124, 994.953778, 154.404929],
    [82.85457044, 6.97935524, 0, 1364, 65.494266, 321.160922, 25.54562],
    [46.0467599, 1.32355476, 0, 1364, 704.696813, 888.90147, 87.736013],
    [10.56413562, 0.93527685, 0, 1364, 1044.123068, 953.249259, 107.031097],
    [34.86074109, 1.12008114, 0, 1364, 853.020657, 922.061247, 96.429095],
    [72.41687122, 3.01614096, 0, 1364, 251.994277, 655.449252, 53.990135],
  ])('zenith %f°, air mass %f, %f m', (zenith, airMass, elevationM, outside, global, direct, diffuse) => {
    const sky = ineichenPerez({
      elevationDeg: 90 - zenith,
      linkeTurbidity: 3,
      elevationM,
      extraterrestrialWm2: outside,
      airMass,
    })
    expect(Math.abs(sky.globalWm2 - global)).toBeLessThanOrEqual(0.001)
    expect(Math.abs(sky.directNormalWm2 - direct)).toBeLessThanOrEqual(0.001)
    expect(Math.abs(sky.diffuseWm2 - diffuse)).toBeLessThanOrEqual(0.001)
  })
})

describe('simplified Solis, Ineichen 2008', () => {
  it('at 80°, aerosol 0.1, water 1 cm, sea level, 1364 W/m² outside', () => {
    const sky = simplifiedSolis(80, 0, 1364, 0.1, 1)
    expect(Math.abs(sky.globalWm2 - 1064.653145)).toBeLessThanOrEqual(0.0000005)
    expect(Math.abs(sky.directNormalWm2 - 959.335463)).toBeLessThanOrEqual(0.0000005)
  })

  it('is dark with the sun below the horizon', () => {
    expect(simplifiedSolis(-10, 0, 1364, 0.1, 1)).toEqual({ globalWm2: 0, directNormalWm2: 0, diffuseWm2: 0 })
  })
})

describe('Kasten & Czeplak 1980', () => {
  it.each([
    [5, 49.312],
    [10, 128.02],
    [20, 281.238],
    [30, 425],
    [45, 613.467],
    [60, 758.083],
    [75, 848.993],
    [90, 880],
    [1, 0],
  ])('at %f° gives %f W/m² under a clear sky', (elevationDeg, expected) => {
    expect(Math.abs(kastenCzeplakWm2(elevationDeg) - expected)).toBeLessThanOrEqual(0.0005)
  })

  it.each([
    [0, 1],
    [2, 0.99327],
    [4, 0.92895],
    [6, 0.71799],
    [8, 0.25],
  ])('%i eighths of cloud leave %f of it', (okta, expected) => {
    expect(Math.abs(cloudFactor(okta) - expected)).toBeLessThanOrEqual(0.000006)
  })
})

describe('what the models rest on', () => {
  it('has the air mass of Kasten & Young 1989 in the zenith and on the horizon', () => {
    expect(Math.abs(relativeAirMass(90) - 0.9997)).toBeLessThanOrEqual(0.00005)
    expect(Math.abs(relativeAirMass(0) - 37.92)).toBeLessThanOrEqual(0.005)
  })

  it('has the distance of the sun: 3.3 % more light in early January, 3.3 % less in early July', () => {
    // NREL algorithm: 0.983289 au on 2015-01-02, 1.014861 au on 2015-08-02; tolerance 0.1 %
    for (const [time, distance] of [
      ['2015-01-02T07:00:00Z', 0.983289204601],
      ['2015-08-02T07:00:00Z', 1.01486146446],
    ] as const) {
      const expected = 1361 / distance ** 2
      expect(Math.abs(extraterrestrialNormalWm2(Date.parse(time)) / expected - 1)).toBeLessThanOrEqual(0.001)
    }
  })
})
