/**
 * Soil temperature by depth: heat conduction down a column of layers, warmed and cooled at the top by sun, air and
 * sky, and in a container through its sides as well. Explicit finite differences, one step a minute.
 */

/** Thermal properties of moist loam (after Monteith & Unsworth, Principles of Environmental Physics). */
const CONDUCTIVITY_W_MK = 1.0
const HEAT_CAPACITY_J_M3K = 2.4e6
const LAYER_M = 0.025
const LAYERS = 16
const STEP_S = 60
/** exchange with the air: convection, evaporation and infrared lumped, W/m²K */
const SURFACE_EXCHANGE = 19
/** of the light that comes down, what warms the soil under a half-closed canopy */
const ABSORBED = 0.34
/** infrared lost to a clear sky, W/m² */
const CLEAR_SKY_LOSS = 42

export interface SoilKind {
  /** open to the ground below: a raised bed is; a tub on paving is not */
  readonly hasGround: boolean
  /** exchange through the sides of a container, W/m²K; 0 for a bed */
  readonly sideExchange: number
  /** side wall of the container per volume of soil, m²/m³ */
  readonly sidePerVolume: number
  /** of the light at the site, what the sides of the container take up */
  readonly sideAbsorbed: number
}

export class SoilColumn {
  private readonly layersC: Float64Array

  constructor(
    private readonly kind: SoilKind,
    startC: number,
  ) {
    this.layersC = new Float64Array(LAYERS).fill(startC)
  }

  /** Temperature at a depth, °C. */
  atC(depthM: number): number {
    const position = Math.min(LAYERS - 1, Math.max(0, depthM / LAYER_M - 0.5))
    const above = Math.floor(position)
    const below = Math.min(LAYERS - 1, above + 1)
    return this.layersC[above]! + (position - above) * (this.layersC[below]! - this.layersC[above]!)
  }

  /**
   * One minute on.
   *
   * @param airC       air at the bed
   * @param globalWm2  light on the bed
   * @param siteWm2    light on the site around it, which warms a container's sides
   * @param cover      part of the sky covered, 0 to 1
   * @param groundC    soil deep below
   */
  step(airC: number, globalWm2: number, siteWm2: number, cover: number, groundC: number): void {
    const layers = this.layersC
    const perLayer = STEP_S / (HEAT_CAPACITY_J_M3K * LAYER_M)
    const conductance = CONDUCTIVITY_W_MK / LAYER_M
    const atTop =
      SURFACE_EXCHANGE * (airC - layers[0]!) + ABSORBED * globalWm2 - CLEAR_SKY_LOSS * (1 - 0.85 * cover)
    const { sideExchange, sidePerVolume, sideAbsorbed, hasGround } = this.kind
    let fromAbove = atTop
    for (let i = 0; i < LAYERS; i++) {
      const temperature = layers[i]!
      const belowC = i + 1 < LAYERS ? layers[i + 1]! : groundC
      const isBottom = i + 1 === LAYERS
      const down = isBottom && !hasGround ? 0 : conductance * (temperature - belowC)
      const sideways =
        sideExchange > 0
          ? (sideExchange * (airC - temperature) + sideAbsorbed * siteWm2) * sidePerVolume * LAYER_M
          : 0
      layers[i] = temperature + perLayer * (fromAbove - down + sideways)
      fromAbove = down
    }
  }
}
