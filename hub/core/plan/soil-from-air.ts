/** Soil temperature at sowing depth where nobody has measured it: the air's mean over the last days. */
import { inSlots } from './year-slots.js'

/**
 * Days of air that the soil's daily mean goes with. Of 3 to 21 days, five come nearest to ten years of soil at 5 cm beside
 * Manhattan, Kansas (USCRN, 2009 to 2017: root mean square error about 2 °C, soil half a degree warmer than the air); Zheng, Hunt &
 * Running 1993 (Clim. Res. 2:183, from memory) use eleven at 10 cm.
 */
const AIR_DAYS = 5
/** Soil on that record was warmer than the air by this, on the whole year. Sunny beds gain more, mulched ones less. */
const WARMER_C = 0.5
/** Moist soil gives off so much heat when it freezes that a top layer seldom falls far below. Common knowledge; a floor. */
const COLDEST_SOIL_C = -1

/**
 * @param meanC  daily means of the air, a year round and round
 * @returns      daily means of the soil at about 5 cm, °C
 */
export function soilFromAir(meanC: Float64Array): Float64Array {
  return Float64Array.from(meanC, (_, slot) => {
    let sum = 0
    for (let back = 0; back < AIR_DAYS; back++) sum += meanC[inSlots(slot - back)]!
    return Math.max(COLDEST_SOIL_C, sum / AIR_DAYS + WARMER_C)
  })
}
