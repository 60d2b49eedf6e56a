/**
 * The carpet of temperatures: hours' means as steps from cold slate by leaf to madder heat, with a crop's own limits as the
 * edges, each step told by texture as well. Pure.
 */
import type { Crop } from '../../../shared/api/crops.js'
import type { TemperatureCarpet } from '../../../shared/api/sun.js'
import { type Rgb, weave } from './carpet-pixels.js'

export type StepInk = 'frost' | 'cold' | 'cool' | 'best' | 'warm' | 'hot'

/** From `fromC` up to where the next begins. */
export interface TemperatureStep {
  /** null: from however cold */
  readonly fromC: number | null
  readonly ink: StepInk
  readonly words: string
}

/** Without a crop: frost, the usual base of cool crops, cool and mild, warm from 20, heat from 27 °C as elsewhere in the hub. */
export const PLAIN_STEPS: readonly TemperatureStep[] = [
  { fromC: null, ink: 'frost', words: 'frost' },
  { fromC: 0, ink: 'cold', words: 'too cold to grow' },
  { fromC: 4.4, ink: 'cool', words: 'cool' },
  { fromC: 12, ink: 'best', words: 'mild' },
  { fromC: 20, ink: 'warm', words: 'warm' },
  { fromC: 27, ink: 'hot', words: 'hot' },
]

export interface CropLimits {
  readonly baseC: number
  readonly bestFromC: number
  readonly bestToC: number
  readonly heatAboveC: number | null
}

/** The steps by a crop's own limits; those that would fall together are told as one. */
export function stepsFor({ baseC, bestFromC, bestToC, heatAboveC }: CropLimits): TemperatureStep[] {
  const steps: TemperatureStep[] = [
    { fromC: null, ink: 'frost', words: 'frost' },
    { fromC: 0, ink: 'cold', words: 'too cold to grow' },
    { fromC: baseC, ink: 'cool', words: 'grows slowly' },
    { fromC: bestFromC, ink: 'best', words: 'its best' },
    { fromC: bestToC, ink: 'warm', words: 'warmer than best' },
    ...(heatAboveC === null ? [] : [{ fromC: heatAboveC, ink: 'hot' as const, words: 'heat' }]),
  ]
  return steps.filter(
    ({ fromC }, i) => fromC === null || (steps[i + 1]?.fromC ?? Number.POSITIVE_INFINITY) > fromC,
  )
}

/** As the hub names these figures of a crop (hub/api/crop-on-wire.ts). */
const FIGURES: Readonly<Record<keyof CropLimits, string>> = {
  baseC: 'coolest mean for growth',
  bestFromC: 'best mean, from',
  bestToC: 'best mean, to',
  heatAboveC: 'heat hours count above',
}

/** A crop's limits out of its figures on the wire; null: they are not all there. */
export function limitsOf({ figures }: Pick<Crop, 'figures'>): CropLimits | null {
  const value = (limit: keyof CropLimits): number | null =>
    figures.find(({ name }) => name === FIGURES[limit])?.value ?? null
  const [baseC, bestFromC, bestToC] = [value('baseC'), value('bestFromC'), value('bestToC')]
  if (baseC === null || bestFromC === null || bestToC === null) return null
  return { baseC, bestFromC, bestToC, heatAboveC: value('heatAboveC') }
}

/** The step a temperature falls into. */
export const stepAt = (steps: readonly TemperatureStep[], tempC: number): TemperatureStep | undefined =>
  steps.findLast(({ fromC }) => fromC === null || tempC >= fromC)

/** Does the texture of a step have ink on this pixel? Best is plain; the further from it, the denser. */
function isInked(ink: StepInk, x: number, y: number, grain: number): boolean {
  const gx = Math.floor(x / grain)
  const gy = Math.floor(y / grain)
  switch (ink) {
    case 'frost':
      return gx % 3 === 0
    case 'cold':
      return gx % 6 === 0
    case 'warm':
      return gy % 6 === 0
    case 'hot':
      return gy % 3 === 0
    default:
      return false
  }
}

export interface StepInks {
  readonly paper: Rgb
  readonly ground: Readonly<Record<StepInk, Rgb>>
  readonly texture: Readonly<Record<StepInk, Rgb>>
}

export function temperaturePixels(
  days: TemperatureCarpet['days'],
  steps: readonly TemperatureStep[],
  width: number,
  height: number,
  grain: number,
  inks: StepInks,
): Uint8ClampedArray<ArrayBuffer> {
  // once an hour of the season, not once a pixel
  const stepsOf = days.map(({ meanC }) =>
    meanC.map((tempC) => (tempC === null ? undefined : stepAt(steps, tempC))),
  )
  return weave(days.length, width, height, (at, part, x, y) => {
    const hours = stepsOf[at] ?? []
    const step = hours[Math.min(hours.length - 1, Math.floor(part * hours.length))]
    if (step === undefined) return inks.paper
    return isInked(step.ink, x, y, grain) ? inks.texture[step.ink] : inks.ground[step.ink]
  })
}

/** Halfway between two colours, or any part of the way. */
export const mixed = (a: Rgb, b: Rgb, part: number): Rgb => [
  Math.round(a[0] + (b[0] - a[0]) * part),
  Math.round(a[1] + (b[1] - a[1]) * part),
  Math.round(a[2] + (b[2] - a[2]) * part),
]
