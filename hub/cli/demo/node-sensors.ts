/**
 * What the demo's nodes measure: the true conditions as cheap sensors see them, with their noise, steps and
 * ceilings, and a few of the faults that happen in every garden.
 */
import type { PackReading } from '../senml-pack.js'
import type { DemoBed } from './beds.js'
import type { BedMinute } from './garden-weather.js'
import { Noise } from './noise.js'

const MINUTE_MS = 60_000
const DAY_MINUTES = 1440

/** Minutes since the history's start. */
interface Span {
  readonly from: number
  readonly to: number
}

interface Faults {
  /** silent: battery changed, radio out of reach */
  readonly gaps: readonly Span[]
  /** soil probe reads 85.0 once: its power-on value, sent by a node that did not wait for the first conversion */
  readonly powerOns: readonly number[]
  /** soil probe off its plug: the driver says −127 */
  readonly unplugged: readonly Span[]
}

const NO_FAULTS: Faults = { gaps: [], powerOns: [], unplugged: [] }
const at = (day: number, hour: number, minute = 0): number => day * DAY_MINUTES + hour * 60 + minute

const FAULTS: Readonly<Record<string, Faults>> = {
  'long-bed': {
    gaps: [{ from: at(33, 9), to: at(33, 9, 14) }],
    powerOns: [at(33, 9, 15)],
    unplugged: [],
  },
  'wall-bed': { gaps: [{ from: at(61, 8, 20), to: at(61, 15, 40) }], powerOns: [], unplugged: [] },
  'yard-tubs': {
    gaps: [],
    powerOns: [],
    unplugged: [{ from: at(88, 16, 30), to: at(88, 19) }],
  },
}

/** Below this elevation of the sun the light is sent every ten minutes only, to spare the battery. */
const DARK_BELOW_DEG = -7
const TEMPERATURE_EVERY = 5
const DARK_LIGHT_EVERY = 10
const BATTERY_EVERY = 60
/** DS18B20 at 12 bit (data sheet) */
const SOIL_STEP_C = 1 / 16
const BATTERY_FULL_V = 4.15
const BATTERY_LOSS_V_PER_DAY = 0.0022

export class NodeSensors {
  private readonly noise: Noise
  private readonly faults: Faults

  constructor(
    private readonly bed: DemoBed,
    seed: number,
    private readonly historyFromMs: number,
  ) {
    this.noise = new Noise(seed, `sensors at ${bed.id}`)
    this.faults = FAULTS[bed.id] ?? NO_FAULTS
  }

  /**
   * Readings of the minute that began at an instant, stamped with its end (a mean is known when it is over).
   * Empty when the node has nothing to say or is silent.
   */
  ofMinute(startMs: number, sunElevationDeg: number, minute: BedMinute): PackReading[] {
    const index = Math.round((startMs - this.historyFromMs) / MINUTE_MS)
    if (this.faults.gaps.some(({ from, to }) => index >= from && index < to)) return []
    const timeMs = startMs + MINUTE_MS
    const readings: PackReading[] = []
    if (sunElevationDeg > DARK_BELOW_DEG || index % DARK_LIGHT_EVERY === 0) {
      readings.push({ quantity: 'light', timeMs, value: this.light(minute.illuminanceLx, index) })
    }
    if (index % TEMPERATURE_EVERY === 0) {
      readings.push({ quantity: 'air-temp', timeMs, value: this.airTemp(minute.airTempC, index) })
      readings.push({ quantity: 'soil-temp', timeMs, value: this.soilTemp(minute.soilTempC, index) })
    }
    if (index % BATTERY_EVERY === 0)
      readings.push({ quantity: 'battery', timeMs, value: this.battery(index) })
    return readings
  }

  /** Readings at an instant between minutes, for nodes that publish every few seconds. */
  ofInstant(timeMs: number, now: BedMinute): PackReading[] {
    const index = Math.round(timeMs / 1000)
    return [
      { quantity: 'light', timeMs, value: this.light(now.illuminanceLx, index) },
      { quantity: 'air-temp', timeMs, value: this.airTemp(now.airTempC, index) },
      {
        quantity: 'soil-temp',
        timeMs,
        value: quantise(now.soilTempC + this.bed.traits.soilOffsetC, SOIL_STEP_C),
      },
    ]
  }

  battery(index: number): number {
    const days = index / DAY_MINUTES
    // a new cell after the long gap of the wall bed, else a slow decline
    const fresh = Math.max(
      0,
      ...this.faults.gaps.filter(({ to }) => to <= index).map(({ to }) => to / DAY_MINUTES),
    )
    return quantise(BATTERY_FULL_V - BATTERY_LOSS_V_PER_DAY * (days - fresh), 0.01)
  }

  private light(trueLx: number, index: number): number {
    const { lightGain, lightCeilingLx } = this.bed.traits
    const seen = trueLx * lightGain * (1 + 0.006 * this.noise.normal(4 * index))
    return Math.min(lightCeilingLx, Math.max(0, Math.round(seen)))
  }

  private airTemp(trueC: number, index: number): number {
    return quantise(trueC + 0.06 * this.noise.normal(4 * index + 1), 0.01)
  }

  private soilTemp(trueC: number, index: number): number {
    if (this.faults.powerOns.includes(index)) return 85
    if (this.faults.unplugged.some(({ from, to }) => index >= from && index < to)) return -127
    const noisy = trueC + this.bed.traits.soilOffsetC + 0.02 * this.noise.normal(4 * index + 2)
    return quantise(noisy, SOIL_STEP_C)
  }
}

const quantise = (value: number, step: number): number => Number((Math.round(value / step) * step).toFixed(4))
