/**
 * - Sunlight, lux per µmol m⁻² s⁻¹: conversion table of Apogee Instruments after Thimijan & Heins 1983
 *   (HortScience 18:818), factor 54; rows exact. Its row 200 → 40,800 is a misprint of 10,800 and left out.
 * - DLI: 54,000 lx for ten hours are 1000 µmol m⁻² s⁻¹ × 36,000 s = 36.0 mol m⁻², by definition of the unit.
 * - Luminous efficacy: Perez et al. 1990 model, sun at 60°, global 892.82 W/m², direct 800, dew point 15 °C:
 *   99,415 lx (test row of ladybug-tools/ladybug). Our one factor claims 10 %.
 */
import { describe, expect, it } from 'vitest'
import { dailyLightIntegral, luxFromIrradiance, ppfdFromLux } from '../../hub/core/sun/light.js'

describe('plant light from lux', () => {
  it.each([
    [540, 10],
    [5_400, 100],
    [16_200, 300],
    [32_400, 600],
    [54_000, 1_000],
    [108_000, 2_000],
  ])('%i lx of sunlight are %i µmol m⁻² s⁻¹', (lux, ppfd) => {
    expect(ppfdFromLux(lux)).toBeCloseTo(ppfd, 9)
  })

  it('makes 36.0 mol m⁻² of 54,000 lx for ten hours', () => {
    const lux = new Float64Array(600).fill(54_000)
    const weights = new Float64Array(600).fill(60_000)
    expect(dailyLightIntegral(lux, weights)).toBeCloseTo(36, 9)
  })

  it('leaves out readings without weight and a sensor below zero in the dark', () => {
    const lux = Float64Array.from([54_000, 1e9, -400])
    const weights = Float64Array.from([3_600_000, 0, 3_600_000])
    expect(dailyLightIntegral(lux, weights)).toBeCloseTo(3.6, 9)
  })
})

describe('lux from irradiance', () => {
  it('is within its stated 10 % of the Perez model', () => {
    expect(Math.abs(luxFromIrradiance(892.82) / 99_415.27 - 1)).toBeLessThan(0.1)
  })
})
