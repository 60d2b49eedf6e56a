/** The weather at this very moment, between the minutes that the model makes. */
import type { BedMinute, GardenWeather, SiteMinute } from './garden-weather.js'

const MINUTE_MS = 60_000

export class LiveWeather {
  private before: SiteMinute
  private after: SiteMinute

  constructor(
    private readonly weather: GardenWeather,
    last: SiteMinute | null,
  ) {
    this.before = last ?? weather.next()
    this.after = weather.next()
  }

  /** Conditions at each bed at an instant (UTC ms), in a straight line between the middles of two minutes. */
  at(timeMs: number): BedMinute[] {
    const middle = timeMs - MINUTE_MS / 2
    while (this.after.timeMs < middle) {
      this.before = this.after
      this.after = this.weather.next()
    }
    const part = Math.min(1, Math.max(0, (middle - this.before.timeMs) / MINUTE_MS))
    return this.after.beds.map((to, i) => between(this.before.beds[i]!, to, part))
  }
}

function between(from: BedMinute, to: BedMinute, part: number): BedMinute {
  const blend = (a: number, b: number): number => a + part * (b - a)
  return {
    illuminanceLx: blend(from.illuminanceLx, to.illuminanceLx),
    globalWm2: blend(from.globalWm2, to.globalWm2),
    isSunny: part < 0.5 ? from.isSunny : to.isSunny,
    airTempC: blend(from.airTempC, to.airTempC),
    soilTempC: blend(from.soilTempC, to.soilTempC),
  }
}
