/** What has been learned about a sensor and its sky, made ready for judging readings. */
import { horizonOf, type Skyline, skyView } from './skyline.js'
import type { SunContext } from './sun-states.js'

/** @param gainAt  what the sensor says over what is, at a time */
export const learnedContext = (gainAt: (timeMs: number) => number, skyline: Skyline): SunContext => ({
  gainAt,
  horizon: horizonOf(skyline.elevationDeg),
  shadeHorizon: horizonOf(skyline.atLeastDeg),
  skyView: skyView(skyline),
})
