import { describe, expect, it } from 'vitest'
import { findCrop } from '../../../hub/core/crops/library.js'
import { bedSpace } from '../../../hub/core/space/bed-space.js'

const INCH = 0.0254

describe('space for a crop', () => {
  it('in a bed of four by four feet at sixteen inches', () => {
    const bed = { shape: 'rectangle', lengthM: 48 * INCH, widthM: 48 * INCH } as const
    const { layouts, room, head, bySoil } = bedSpace(findCrop('cabbage-mid')!, bed, 16 * INCH, 0.3)
    expect(layouts.map(({ pattern, edge }) => `${pattern} ${edge}`)).toEqual([
      'square own-square',
      'offset own-square',
      'square to-the-edge',
      'offset to-the-edge',
    ])
    expect(layouts[0]!.spots).toHaveLength(9)
    expect(layouts[0]!.couldBeM).toBeCloseTo(16 * INCH, 3)
    expect(room.room).toBe('usual')
    expect(head!.square.lowKg.value).toBeLessThan(1)
    expect(head!.offset.highKg.value).toBeLessThan(head!.square.highKg.value)
    expect(bySoil).toBeGreaterThan(9)
  })

  it('in a container of sixteen inches', () => {
    const pot = { shape: 'round', diameterM: 16 * INCH } as const
    const { layouts, bySoil } = bedSpace(findCrop('cabbage-early')!, pot, 16 * INCH, 0.35)
    expect(layouts.filter(({ edge }) => edge === 'own-square').map(({ spots }) => spots.length)).toEqual([
      1, 1, 1,
    ])
    expect(bySoil).toBe(2)
  })

  it('where none has room', () => {
    const box = { shape: 'rectangle', lengthM: 1, widthM: 0.2 } as const
    const { layouts, room } = bedSpace(findCrop('broccoli')!, box, 0.45, 0.2)
    expect(layouts[0]).toMatchObject({ spots: [], couldBeM: null })
    expect(room.room).toBe('wider-than-ground')
  })

  it('takes the head sizes of the crop that the garden’s own is based on', () => {
    const own = { ...findCrop('cabbage-savoy')!, id: 'my-savoy' }
    const bed = { shape: 'rectangle', lengthM: 2, widthM: 1 } as const
    expect(bedSpace(own, bed, 0.45, null).head).toBeNull()
    expect(bedSpace(own, bed, 0.45, null, 'cabbage-savoy').head).not.toBeNull()
  })
})
