import { describe, expect, it } from 'vitest'
import { ADJUSTABLE } from '../../../hub/core/crops/adjusted-crop.js'
import {
  findGardenCrop,
  gardenCrops,
  isAdjustable,
  libraryNumber,
} from '../../../hub/core/crops/garden-crops.js'
import { CROPS } from '../../../hub/core/crops/library.js'

describe('the crops of a garden', () => {
  it('are the library’s where the grower has said nothing', () => {
    expect([...gardenCrops([]).keys()]).toEqual([...CROPS.keys()])
    expect(findGardenCrop('kale', [])).toMatchObject({ by: 'library' })
    expect(findGardenCrop('moonflower', [])).toBeUndefined()
  })

  it('take the grower’s numbers in, and say that they are theirs', () => {
    const own = { id: 'kale', basedOn: 'kale', name: null, adjustments: { baseC: 2 } }
    const known = findGardenCrop('kale', [own])!
    expect(known).toMatchObject({ by: 'adjusted', crop: { baseC: { value: 2, source: 'grower' } } })
    expect(libraryNumber(known, 'baseC')).toBe(4.4)
    expect(findGardenCrop('kale', [{ ...own, adjustments: {} }])?.by).toBe('library')
  })

  it('hold crops that the grower added, and leave out those whose model has gone', () => {
    const aunts = { id: 'aunts', basedOn: 'kale', name: 'Aunt’s kale', adjustments: {} }
    const lost = { id: 'lost', basedOn: 'moonflower', name: 'Lost', adjustments: {} }
    const crops = gardenCrops([aunts, lost])
    expect(crops.get('aunts')).toMatchObject({ by: 'own', crop: { id: 'aunts', name: 'Aunt’s kale' } })
    expect(crops.has('lost')).toBe(false)
  })

  it('have a library number in every field that applies to them', () => {
    for (const crop of CROPS.values()) {
      const known = findGardenCrop(crop.id, [])!
      for (const field of Object.keys(ADJUSTABLE).filter(isAdjustable)) {
        const value = libraryNumber(known, field)
        expect(value === null || Number.isFinite(value), `${crop.id} ${field}`).toBe(true)
      }
    }
  })
})
