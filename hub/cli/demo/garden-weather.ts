/**
 * The weather of the demo's garden, minute by minute, at the open site and at each bed. Deterministic: the same
 * scenario gives the same minute whenever it is asked for, so a demo that is started again goes on where it was.
 */
import { extraterrestrialNormalWm2, ineichenPerez } from '../../core/sun/clear-sky.js'
import { sunPosition } from '../../core/sun/position.js'
import type { DemoBed } from './beds.js'
import { type CloudLight, Clouds } from './clouds.js'
import { Noise } from './noise.js'
import type { Scenario } from './scenario.js'
import { SiteAir, seasonalMeanC } from './site-air.js'
import { SoilColumn } from './soil.js'
import { isBehindCanopy, skylineAt, skyViewFactor } from './surroundings.js'

const MINUTE_MS = 60_000
const DAY_MS = 86_400_000
const RAD = Math.PI / 180
/** before the history begins, so that soil and air have forgotten how they were started */
const SPIN_UP_DAYS = 20
/** of the diffuse light, what a tree's crown lets through where it covers the sky */
const CANOPY_DIFFUSE = 0.55
/** probe depth, the rooting depth of young plants */
const SOIL_PROBE_M = 0.075
/** soil under the beds follows the season about 40 cm down: a fortnight late and a little less */
const GROUND_LAG_DAYS = 14
const GROUND_SHARE = 0.85

/** True (not measured) conditions at one bed, means of the minute. */
export interface BedMinute {
  readonly illuminanceLx: number
  readonly globalWm2: number
  /** does the direct beam reach the bed, by the WMO's 120 W/m²? */
  readonly isSunny: boolean
  readonly airTempC: number
  readonly soilTempC: number
}

export interface SiteMinute {
  /** start of the minute, UTC ms */
  readonly timeMs: number
  readonly sunElevationDeg: number
  readonly globalWm2: number
  readonly directNormalWm2: number
  readonly airTempC: number
  /** in the order of the scenario's beds */
  readonly beds: readonly BedMinute[]
}

/** Steps through the minutes from the scenario's start, once and without end. */
export class GardenWeather {
  private readonly clouds: Clouds
  private readonly air: SiteAir
  private readonly turbidity: Noise
  private readonly beds: BedWeather[]
  private timeMs: number
  private day = Number.NaN
  private clearDayMeanWm2 = 0
  private linkeTurbidity = 3

  constructor(private readonly scenario: Scenario) {
    const { seed, climate, warmSpell } = scenario
    this.clouds = new Clouds(seed, (day) => scenario.forcedDayKind(day))
    this.air = new SiteAir(seed, climate, warmSpell, (day) => scenario.seasonDayOf(day))
    this.turbidity = new Noise(seed, 'haze')
    const startMs = scenario.historyFromMs - SPIN_UP_DAYS * DAY_MS
    this.timeMs = Math.floor(startMs / MINUTE_MS) * MINUTE_MS
    const startC = seasonalMeanC(climate, scenario.seasonDayOf(scenario.solarDay(this.timeMs)))
    this.beds = scenario.beds.map((bed) => new BedWeather(bed, scenario.seed, startC))
    while (this.timeMs < scenario.historyFromMs) this.next()
  }

  /** The start of the minute that `next` will give, UTC ms. */
  get nextMs(): number {
    return this.timeMs
  }

  next(): SiteMinute {
    const { scenario, timeMs } = this
    const solarDay = scenario.solarDay(timeMs)
    const solarMinute = Math.floor(solarDay * 1440 + 1e-6)
    this.turnDay(Math.floor(solarDay), timeMs)
    const { elevationDeg, azimuthDeg } = sunPosition(timeMs + MINUTE_MS / 2, scenario.place)
    const cloud = this.clouds.next(solarMinute)
    const light = this.siteLight(timeMs, elevationDeg, cloud)
    const airTempC = this.air.next(solarMinute, light.globalWm2, this.clearDayMeanWm2, cloud.cover)
    const groundC = this.groundC(solarDay)
    const around = { ...light, elevationDeg, azimuthDeg, airTempC, groundC, cover: cloud.cover }
    const beds = this.beds.map((bed) => bed.next(solarMinute, around))
    this.timeMs += MINUTE_MS
    const { globalWm2, directNormalWm2 } = light
    return { timeMs, sunElevationDeg: elevationDeg, globalWm2, directNormalWm2, airTempC, beds }
  }

  private turnDay(day: number, timeMs: number): void {
    if (day === this.day) return
    this.day = day
    this.linkeTurbidity = 2.6 + 1.6 * this.turbidity.uniform(day)
    let sum = 0
    for (let i = 0; i < 96; i++) {
      const atMs = timeMs + i * 15 * MINUTE_MS
      sum += this.clearSky(atMs, sunPosition(atMs, this.scenario.place).elevationDeg).globalWm2
    }
    this.clearDayMeanWm2 = sum / 96
  }

  private clearSky(timeMs: number, elevationDeg: number) {
    return ineichenPerez({
      elevationDeg,
      linkeTurbidity: this.linkeTurbidity,
      elevationM: this.scenario.place.elevationM,
      extraterrestrialWm2: extraterrestrialNormalWm2(timeMs),
    })
  }

  private siteLight(timeMs: number, elevationDeg: number, cloud: CloudLight): SiteLight {
    const clear = this.clearSky(timeMs, elevationDeg)
    const directNormalWm2 = cloud.beam * clear.directNormalWm2
    const diffuseWm2 =
      cloud.deck === null
        ? clear.diffuseWm2 * cloud.diffuse
        : Math.max(0, cloud.deck * clear.globalWm2 - directNormalWm2 * Math.sin(elevationDeg * RAD))
    const globalWm2 = directNormalWm2 * Math.max(0, Math.sin(elevationDeg * RAD)) + diffuseWm2
    return { directNormalWm2, diffuseWm2, globalWm2, twilightLx: twilightLx(elevationDeg, cloud) }
  }

  private groundC(solarDay: number): number {
    const { climate } = this.scenario
    const seasonC = seasonalMeanC(climate, this.scenario.seasonDayOf(solarDay - GROUND_LAG_DAYS))
    return climate.annualMeanC + 1 + GROUND_SHARE * (seasonC - climate.annualMeanC)
  }
}

interface SiteLight {
  readonly directNormalWm2: number
  readonly diffuseWm2: number
  readonly globalWm2: number
  readonly twilightLx: number
}

interface Around extends SiteLight {
  readonly elevationDeg: number
  readonly azimuthDeg: number
  readonly airTempC: number
  readonly groundC: number
  readonly cover: number
}

/** Dusk and dawn: some 600 lx with the sun on the horizon, a tenth for every 2.2° below (3 lx at −5°). */
function twilightLx(elevationDeg: number, cloud: CloudLight): number {
  if (elevationDeg < -9 || elevationDeg > 3) return 0
  const fade = elevationDeg > 0 ? 1 - elevationDeg / 3 : 10 ** (elevationDeg / 2.2)
  return 600 * fade * (1 - 0.6 * cloud.cover)
}

/**
 * Luminous efficacy of the direct beam, lm/W: 70 at 10° to 95 at 60° (Littlefair 1988), and of the diffuse light:
 * 144 of a clear sky to 115 of an overcast one.
 */
const beamEfficacy = (elevationDeg: number): number => Math.min(97, Math.max(55, 65 + 0.5 * elevationDeg))
const diffuseEfficacy = (cover: number): number => 140 - 25 * cover

class BedWeather {
  private readonly skyView: number
  private readonly soil: SoilColumn
  private readonly flecks: Noise
  private fleck = 0
  private wallC = 0
  private sunErrorC = 0

  constructor(
    private readonly bed: DemoBed,
    seed: number,
    startC: number,
  ) {
    const crown = bed.canopy
      ? (((bed.canopy.toAzimuthDeg - bed.canopy.fromAzimuthDeg + 360) % 360) / 360) * 0.8
      : 0
    this.skyView = skyViewFactor(bed.skyline) * (1 - crown * (1 - CANOPY_DIFFUSE))
    this.soil = new SoilColumn(bed.soil, startC)
    this.flecks = new Noise(seed, `flecks at ${bed.id}`)
  }

  next(minute: number, around: Around): BedMinute {
    const { elevationDeg, azimuthDeg, directNormalWm2, diffuseWm2, cover } = around
    const sine = Math.max(0, Math.sin(elevationDeg * RAD))
    const directWm2 = directNormalWm2 * this.beamShare(minute, azimuthDeg, elevationDeg)
    const diffuseHere = diffuseWm2 * this.skyView
    const globalWm2 = directWm2 * sine + diffuseHere
    const illuminanceLx =
      directWm2 * sine * beamEfficacy(elevationDeg) +
      diffuseHere * diffuseEfficacy(cover) +
      around.twilightLx * this.skyView
    const airTempC = this.bedAirC(around, directWm2, globalWm2)
    this.soil.step(airTempC, globalWm2, around.globalWm2, cover, around.groundC)
    return {
      illuminanceLx,
      globalWm2,
      isSunny: directWm2 > 120,
      airTempC,
      soilTempC: this.soil.atC(SOIL_PROBE_M),
    }
  }

  /** What of the direct beam reaches the bed, 0 to 1, past skyline and crown. */
  private beamShare(minute: number, azimuthDeg: number, elevationDeg: number): number {
    const { skyline, canopy } = this.bed
    // the sun is a disc of half a degree: its last edge goes over a degree's tenths, not in an instant
    const above = (elevationDeg - skylineAt(skyline, azimuthDeg)) / 0.53 + 0.5
    const share = Math.min(1, Math.max(0, above))
    if (share === 0 || !canopy || !isBehindCanopy(canopy, azimuthDeg, elevationDeg)) return share
    // flecks wander with wind and sun: some minutes in a gap, more of them under leaves
    const aim = this.flecks.uniform(Math.floor(minute / 4)) < canopy.gaps * 0.7 ? 0.85 : canopy.gaps * 0.4
    this.fleck += 0.5 * (aim * (0.8 + 0.4 * this.flecks.uniform(minute + 7)) - this.fleck)
    return share * Math.min(1, this.fleck)
  }

  private bedAirC(around: Around, directWm2: number, globalWm2: number): number {
    const { wallWarmthC, pavingWarmthC, traits } = this.bed
    const morningFace = Math.max(0, Math.sin(around.azimuthDeg * RAD)) * (around.directNormalWm2 / 900)
    this.wallC += (wallWarmthC * morningFace - this.wallC) / 150
    // shield and sensor take a few minutes to follow
    this.sunErrorC += ((traits.sunErrorC * globalWm2) / 900 - this.sunErrorC) / 8
    const paving = (pavingWarmthC * around.globalWm2) / 900
    const shade = directWm2 < 50 && around.directNormalWm2 > 400 ? -0.3 : 0
    return around.airTempC + this.wallC + paving + this.sunErrorC + shade
  }
}
