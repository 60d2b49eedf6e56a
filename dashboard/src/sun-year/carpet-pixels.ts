/**
 * The season carpet's pixels: days across, time of day upwards, at the device's own resolution, so that it has
 * neither seams nor blur. States are told by texture as well as by colour. Pure.
 */
import type { SunState } from '../../../shared/api/measurements.js'
import type { CarpetDay } from '../../../shared/api/sun.js'
import { dayAt } from '../parts/day-at.js'

/** Red, green, blue, each 0 to 255. */
export type Rgb = readonly [number, number, number]

/** Ground and texture of each state; `paper` shows where nothing is known yet. */
export interface CarpetInks {
  readonly paper: Rgb
  readonly ground: Readonly<Record<SunState, Rgb>>
  readonly texture: Readonly<Record<SunState, Rgb>>
}

export const MINUTES_A_DAY = 1440

/** '#d99a1c' to its three parts; '#fff' too, as style sheets are written short. */
export function rgbOf(hex: string): Rgb {
  const whole = hex.length === 4 ? hex.replace(/[0-9a-f]/gi, '$&$&') : hex
  const part = (i: number): number => Number.parseInt(whole.slice(i, i + 2), 16)
  return [part(1), part(3), part(5)]
}

/** Does the texture of a state have ink on this pixel? Periods in device pixels, scaled by `grain`. */
function isInked(state: SunState, x: number, y: number, grain: number): boolean {
  const gx = Math.floor(x / grain)
  const gy = Math.floor(y / grain)
  switch (state) {
    case 'shade':
      return (gx + gy) % 4 === 0
    case 'cloud':
      return gx % 4 === 1 && (gy + (gx % 8 === 1 ? 2 : 0)) % 4 === 1
    case 'unknown':
      return gy % 4 === 1 && gx % 4 < 2
    default:
      return false
  }
}

/** State of a day at a minute after its start; null: not come yet, or nothing said. */
export function stateAt(day: CarpetDay, states: readonly SunState[], minute: number): SunState | null {
  if (minute < 0 || minute >= day.endMin) return null
  let low = 0
  let high = day.startMin.length
  while (low < high) {
    const middle = (low + high) >> 1
    if ((day.startMin[middle] ?? 0) <= minute) low = middle + 1
    else high = middle
  }
  const index = day.state[low - 1]
  return index === undefined ? null : (states[index] ?? null)
}

/**
 * Weaves any carpet of days.
 *
 * @param width, height in device pixels
 * @param inkAt  colour of a day at a part of it (0 at its start, 1 at its end), and of the texture at that pixel
 * @returns RGBA, row by row from the top, which is midnight at the day's end
 */
export function weave(
  days: number,
  width: number,
  height: number,
  inkAt: (day: number, part: number, x: number, y: number) => Rgb,
): Uint8ClampedArray<ArrayBuffer> {
  const pixels = new Uint8ClampedArray(width * height * 4)
  for (let x = 0; x < width; x++) {
    const day = dayAt(x, width, days)
    for (let y = 0; y < height; y++) {
      // a day of 23 or 25 hours fills its column too: an hour's stretch is less odd than a notch
      const ink = inkAt(day, (height - y - 0.5) / height, x, y)
      const i = (y * width + x) * 4
      pixels[i] = ink[0]
      pixels[i + 1] = ink[1]
      pixels[i + 2] = ink[2]
      pixels[i + 3] = 255
    }
  }
  return pixels
}

/**
 * The carpet of sun states.
 *
 * @param grain  device pixels to one grain of texture (the device's pixel ratio, whole)
 */
export const carpetPixels = (
  days: readonly CarpetDay[],
  states: readonly SunState[],
  width: number,
  height: number,
  grain: number,
  inks: CarpetInks,
): Uint8ClampedArray<ArrayBuffer> =>
  weave(days.length, width, height, (at, part, x, y) => {
    const day = days[at]
    const state = day === undefined ? null : stateAt(day, states, part * day.lengthMin)
    if (state === null) return inks.paper
    return isInked(state, x, y, grain) ? inks.texture[state] : inks.ground[state]
  })

/** A stepped line over the carpet from a minute of each day; null breaks it. */
export function minuteLine(
  days: readonly CarpetDay[],
  minuteOf: (day: CarpetDay) => number | null,
  width: number,
  height: number,
): string {
  let path = ''
  let isOpen = false
  days.forEach((day, i) => {
    const minute = minuteOf(day)
    if (minute === null) {
      isOpen = false
      return
    }
    const y = (height - (minute / day.lengthMin) * height).toFixed(1)
    const left = ((i / days.length) * width).toFixed(1)
    const right = (((i + 1) / days.length) * width).toFixed(1)
    path += `${isOpen ? 'L' : 'M'}${left} ${y}H${right}`
    isOpen = true
  })
  return path
}

/** The first and last light is too weak to count as sun: an edge so near to sunrise or sunset tells nothing, min. */
const BY_HORIZON_MIN = 35

const isByHorizon = (minute: number, horizonMin: number | null): boolean =>
  horizonMin !== null && Math.abs(minute - horizonMin) < BY_HORIZON_MIN

/** The edges of what the skyline hides, day by day, as short strokes: not sunrise and sunset themselves. */
export function skylineCut(days: readonly CarpetDay[], width: number, height: number): string {
  let path = ''
  days.forEach((day, i) => {
    const left = ((i / days.length) * width).toFixed(1)
    const right = (((i + 1) / days.length) * width).toFixed(1)
    for (const [from, to] of day.behindSkylineMin) {
      for (const minute of [from, to]) {
        if (isByHorizon(minute, day.sunriseMin) || isByHorizon(minute, day.sunsetMin)) continue
        path += `M${left} ${(height - (minute / day.lengthMin) * height).toFixed(1)}H${right}`
      }
    }
  })
  return path
}
