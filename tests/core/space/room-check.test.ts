import { describe, expect, it } from 'vitest'
import { findCrop } from '../../../hub/core/crops/library.js'
import type { Ground } from '../../../hub/core/space/ground.js'
import { groundPerPlantM2, headSize } from '../../../hub/core/space/head-size.js'
import { checkRoom, plantsBySoil } from '../../../hub/core/space/room-check.js'

const BED: Ground = { shape: 'rectangle', lengthM: 1.22, widthM: 1.22 }
const POT: Ground = { shape: 'round', diameterM: 0.4064 }
const cabbage = findCrop('cabbage-mid')!

describe('room for a crop', () => {
  it.each([
    [2, 'wider-than-ground'],
    [0.2, 'too-tight'],
    [0.27, 'too-tight'],
    [0.3, 'tight'],
    [0.4, 'usual'],
    [0.6, 'roomy'],
  ] as const)('of cabbage at %f m is %s', (spacingM, room) => {
    expect(checkRoom(cabbage, BED, spacingM).room).toBe(room)
  })

  it('names the trial where cabbages are closer than it bears', () => {
    expect(checkRoom(findCrop('cabbage-early')!, BED, 0.22).note).toMatch(/Stoffella/)
  })

  it('feeds one cabbage from a pot of 16 inches, 14 deep, and none from a window box', () => {
    expect(plantsBySoil(cabbage, POT, 0.3)).toBe(1)
    expect(plantsBySoil(cabbage, { shape: 'rectangle', lengthM: 0.6, widthM: 0.18 }, 0.15)).toBe(0)
    expect(plantsBySoil(cabbage, BED, null)).toBeNull()
  })
})

describe('head size', () => {
  it('grows with the room, up to what the kind can', () => {
    const at = (spacingM: number): number => headSize(cabbage, spacingM ** 2)!.highKg.value
    expect(at(0.35)).toBeLessThan(at(0.4))
    expect(at(1)).toBe(at(1.5))
    expect(headSize(cabbage, 1)!.highKg.source).toBe('common practice')
  })

  it('is told with its source', () => {
    expect(headSize(cabbage, groundPerPlantM2(0.4, 'square'))!.lowKg).toMatchObject({
      source: 'derived',
      note: expect.stringContaining('Kołota') as string,
    })
  })

  it('is not made up for crops without a trial', () => {
    expect(headSize(findCrop('kale')!, 0.2)).toBeNull()
  })
})
