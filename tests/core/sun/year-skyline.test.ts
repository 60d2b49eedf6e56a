import { describe, expect, it } from 'vitest'
import {
  SECTORS,
  type Skyline,
  sectorMiddles,
  sectorOf,
  unknownSkyline,
} from '../../../hub/core/sun/skyline.js'
import { yearSkyline } from '../../../hub/core/sun/year-skyline.js'

/** A skyline whose every sector has the same band and guess. */
function banded(
  lowDeg: number,
  highDeg: number,
  elevationDeg: number,
  isKnown = highDeg - lowDeg <= 10,
): Skyline {
  const all = (value: number): Float64Array => new Float64Array(SECTORS).fill(value)
  return {
    azimuthDeg: sectorMiddles(),
    elevationDeg: all(elevationDeg),
    atLeastDeg: all(lowDeg),
    lowDeg: all(lowDeg),
    highDeg: all(highDeg),
    uncertaintyDeg: all((highDeg - lowDeg) / 4),
    isKnown: new Uint8Array(SECTORS).fill(isKnown ? 1 : 0),
  }
}
const SOUTH = sectorOf(180)

describe('the skyline of a year', () => {
  it('is that of its only month', () => {
    expect(yearSkyline([banded(5, 40, 12)])).toEqual(banded(5, 40, 12))
  })

  it('knows from the low sun of winter what the high sun of summer could not see', () => {
    const summer = banded(0, 55, 46)
    const winter = banded(3, 8, 5)
    const year = yearSkyline([summer, winter])
    expect([year.lowDeg[SOUTH], year.highDeg[SOUTH], year.elevationDeg[SOUTH], year.isKnown[SOUTH]]).toEqual([
      3, 8, 5, 1,
    ])
  })

  it('believes the newest month where an older one contradicts it', () => {
    const year = yearSkyline([banded(30, 36, 33), banded(2, 6, 4)])
    expect([year.lowDeg[SOUTH], year.highDeg[SOUTH], year.elevationDeg[SOUTH]]).toEqual([30, 36, 33])
  })

  it('joins two wide bands into what both allow', () => {
    const year = yearSkyline([banded(0, 25, 8), banded(18, 80, 40)])
    expect([year.lowDeg[SOUTH], year.highDeg[SOUTH], year.isKnown[SOUTH]]).toEqual([18, 25, 1])
    expect(year.elevationDeg[SOUTH]).toBeGreaterThanOrEqual(18)
  })

  it('stays unknown where no month saw anything', () => {
    const unknown = unknownSkyline()
    const year = yearSkyline([unknown, unknown])
    expect(year.isKnown[SOUTH]).toBe(0)
    expect([year.lowDeg[SOUTH], year.highDeg[SOUTH]]).toEqual([unknown.lowDeg[SOUTH], unknown.highDeg[SOUTH]])
  })

  it('needs a month', () => {
    expect(() => yearSkyline([])).toThrow(RangeError)
  })
})
