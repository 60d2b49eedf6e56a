/**
 * J. Weathers (ed.), Commercial Gardening (1913), vol. 3, "Laying out land and planting": number of plants, at given distances,
 * contained in a square rod (as reprinted at chestofbooks.com). A square rod is 16½ ft each way. The table divides areas, so
 * it counts parts of plants at the edge; whole rows are exact where the distance divides the rod (3 and 6 in), and elsewhere
 * fewer by less than one row each way. Asked over the API, as a page does.
 */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type ApiFixture, openApi } from '../api/api-fixture.js'

const INCH_M = 0.0254
const ROD_IN = 198
/** [inches apart each way, plants in a square rod as printed] */
const ROWS: readonly (readonly [number, number])[] = [
  [3, 4356],
  [4, 2450],
  [6, 1089],
  [8, 612],
  [10, 392],
  [12, 272],
]

describe('plants in a square rod', () => {
  let api: ApiFixture
  beforeAll(async () => {
    api = await openApi()
    await api.setUpHome()
  })
  afterAll(() => api.close())

  it.each(ROWS)('%i in apart: %i', async (inches, printed) => {
    const side = (ROD_IN * INCH_M).toFixed(4)
    const query = `crop=cabbage-early&lengthM=${side}&widthM=${side}&spacingM=${(inches * INCH_M).toFixed(4)}`
    const { status, body } = await api.ask('GET', `gardens/home/space?${query}`)
    expect(status).toBe(200)
    const square = body.layouts.find(
      (one: { pattern: string; edge: string }) => one.pattern === 'square' && one.edge === 'own-square',
    )
    const rows = ROD_IN / inches
    if (Number.isInteger(rows)) expect(square.plants).toBe(printed)
    else {
      expect(square.plants).toBeLessThanOrEqual(printed)
      expect(printed - square.plants).toBeLessThan(2 * rows)
    }
  })
})
