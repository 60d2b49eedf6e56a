import { expect, it } from 'vitest'
import { plantingName } from '../../../hub/core/crops/spoken-name.js'

it.each([
  ['Cabbage, early', null, 'early cabbage'],
  ['Lettuce, heading', 'Lantern', 'heading lettuce ‘Lantern’'],
  ['Brussels sprouts', null, 'Brussels sprouts'],
  ['Chinese cabbage', 'Rondo', 'Chinese cabbage ‘Rondo’'],
])('%s (%s) is spoken of as %s', (crop, variety, spoken) => {
  expect(plantingName(crop, variety)).toBe(spoken)
})
