import { describe, expect, it } from 'vitest'
import { findCrop } from '../../../hub/core/crops/library.js'
import { climateFromNormals } from '../../../hub/core/plan/climate-from-normals.js'
import { sowingSoil } from '../../../hub/core/plan/soil-for-sowing.js'
import { soilFromAir } from '../../../hub/core/plan/soil-from-air.js'
import { KANSAS, ORLANDO } from './support/climates.js'

const kansas = climateFromNormals(KANSAS, null, null)

describe('soil for sowing', () => {
  it('is fit for cabbage from spring to autumn, not in winter', () => {
    const { fit, weeks, basis } = sowingSoil(findCrop('cabbage-early')!, kansas, 2026)
    expect(fit).toHaveLength(1)
    expect(fit[0]!.from > '2026-03-15' && fit[0]!.from < '2026-04-20').toBe(true)
    expect(fit[0]!.to > '2026-10-01').toBe(true)
    expect(weeks[0]).toMatchObject({ date: '2026-01-01', verdict: 'too cold', daysToEmergence: null })
    expect(basis).toBe('from air')
  })

  it('is too hot for spinach in high summer: two stretches', () => {
    expect(sowingSoil(findCrop('spinach')!, kansas, 2026).fit).toHaveLength(2)
  })

  it('lists a stretch round the new year once', () => {
    const { fit } = sowingSoil(findCrop('spinach')!, climateFromNormals(ORLANDO, null, null), 2026)
    expect(fit).toHaveLength(1)
    expect(fit[0]!.from.slice(0, 4)).toBe('2026')
    expect(fit[0]!.to.slice(0, 4)).toBe('2027')
  })

  it('follows the air a few days later and does not freeze deep', () => {
    const air = new Float64Array(365).fill(-20)
    air.fill(10, 100)
    const soil = soilFromAir(air)
    expect(soil[50]).toBe(-1)
    expect(soil[101]).toBeLessThan(soil[104]!)
    expect(soil[200]).toBeCloseTo(10.5, 9)
  })
})
