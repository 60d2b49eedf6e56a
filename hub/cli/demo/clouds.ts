/**
 * Clouds by the minute, as three Markov chains one inside the other: what kind of day it is, what the sky is
 * like this hour, whether a cloud stands before the sun this minute. Rates are ours, set so that days, hours and
 * minutes look like those of a temperate station: settled spells of some days, cumulus that passes in minutes.
 */
import { Noise } from './noise.js'

export type DayKind = 'settled' | 'changeable' | 'dull'
type HourSky = 'clear' | 'broken' | 'overcast'

/** What clouds leave of a clear sky's light. */
export interface CloudLight {
  /** of the direct beam, 0 to 1 */
  readonly beam: number
  /** of the diffuse light under a clear sky; above 1 where bright clouds add to it */
  readonly diffuse: number
  /** of the global light under a clear sky that a closed cloud deck lets through; null: no closed deck */
  readonly deck: number | null
  /** part of the sky covered, 0 to 1: what holds the warmth in at night */
  readonly cover: number
}

/** Chance of the next day's kind, by today's. */
const NEXT_DAY: Readonly<Record<DayKind, Readonly<Record<DayKind, number>>>> = {
  settled: { settled: 0.66, changeable: 0.26, dull: 0.08 },
  changeable: { settled: 0.28, changeable: 0.48, dull: 0.24 },
  dull: { settled: 0.14, changeable: 0.44, dull: 0.42 },
}

/** Share of clear, broken and overcast hours that a day of each kind tends to. */
const HOURS: Readonly<Record<DayKind, Readonly<Record<HourSky, number>>>> = {
  settled: { clear: 0.8, broken: 0.18, overcast: 0.02 },
  changeable: { clear: 0.22, broken: 0.58, overcast: 0.2 },
  dull: { clear: 0.02, broken: 0.23, overcast: 0.75 },
}
/** Chance that an hour's sky simply lasts for another hour. */
const HOUR_LASTS = 0.6
/** Mean length of one cumulus before the sun, minutes. */
const CLOUD_MINUTES = 5

export class Clouds {
  private readonly dayNoise: Noise
  private readonly hourNoise: Noise
  private readonly minuteNoise: Noise
  private dayKind: DayKind = 'changeable'
  private hourSky: HourSky = 'broken'
  private day = Number.NaN
  private hour = Number.NaN
  private isCloudBefore = false
  private share = 0.5
  private deck = 0.3
  private last: CloudLight = { beam: 1, diffuse: 1, deck: null, cover: 0 }

  /** @param forcedKind  kind of a day that the scenario wants (its warm spell), by day number; null: by chance */
  constructor(
    seed: number,
    private readonly forcedKind: (day: number) => DayKind | null,
  ) {
    this.dayNoise = new Noise(seed, 'kind of day')
    this.hourNoise = new Noise(seed, 'sky of the hour')
    this.minuteNoise = new Noise(seed, 'cloud of the minute')
  }

  /**
   * Light of the next minute; call with consecutive minutes.
   *
   * @param minute  since 1970, in local solar time, so that days turn over at night
   */
  next(minute: number): CloudLight {
    this.turnDay(Math.floor(minute / 1440))
    this.turnHour(Math.floor(minute / 60))
    const now = this.minuteSky(minute)
    // a sensor's minute mean sees a cloud's edge pass, not a switch
    const k = 0.6
    this.last = {
      beam: this.last.beam + k * (now.beam - this.last.beam),
      diffuse: this.last.diffuse + k * (now.diffuse - this.last.diffuse),
      deck: now.deck,
      cover: this.last.cover + 0.05 * (now.cover - this.last.cover),
    }
    return this.last
  }

  private turnDay(day: number): void {
    if (day === this.day) return
    this.day = day
    this.dayKind = this.forcedKind(day) ?? pick(NEXT_DAY[this.dayKind], this.dayNoise.uniform(day))
  }

  private turnHour(hour: number): void {
    if (hour === this.hour) return
    this.hour = hour
    if (this.hourNoise.uniform(3 * hour) > HOUR_LASTS) {
      this.hourSky = pick(HOURS[this.dayKind], this.hourNoise.uniform(3 * hour + 1))
    }
    const chance = this.hourNoise.uniform(3 * hour + 2)
    this.share = 0.2 + 0.6 * chance
    this.deck = 0.14 + 0.34 * chance
  }

  private minuteSky(minute: number): CloudLight {
    const chance = this.minuteNoise.uniform(2 * minute)
    const shade = this.minuteNoise.uniform(2 * minute + 1)
    if (this.hourSky === 'clear') {
      this.isCloudBefore = false
      return { beam: 1 - 0.03 * shade, diffuse: 1 + 0.05 * shade, deck: null, cover: 0.05 }
    }
    if (this.hourSky === 'overcast') {
      this.isCloudBefore = true
      // a deck thickens and thins over some minutes
      this.deck = Math.min(0.55, Math.max(0.1, this.deck + 0.01 * (shade - 0.5)))
      return { beam: 0, diffuse: 1, deck: this.deck, cover: 1 }
    }
    const leave = 1 / CLOUD_MINUTES
    const arrive = (leave * this.share) / (1 - this.share)
    if (chance < (this.isCloudBefore ? leave : arrive)) this.isCloudBefore = !this.isCloudBefore
    return this.isCloudBefore
      ? { beam: 0.06 * shade, diffuse: 1.7 + 0.5 * shade, deck: null, cover: this.share }
      : { beam: 0.97 + 0.03 * shade, diffuse: 1.25 + 0.25 * shade, deck: null, cover: this.share }
  }
}

function pick<T extends string>(chances: Readonly<Record<T, number>>, at: number): T {
  let sum = 0
  const entries = Object.entries(chances) as [T, number][]
  for (const [name, chance] of entries) {
    sum += chance
    if (at < sum) return name
  }
  return entries.at(-1)![0]
}
