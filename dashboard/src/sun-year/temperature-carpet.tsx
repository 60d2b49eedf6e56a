/** The season's warmth as a carpet: the mean temperature of each hour, in steps of a crop's own limits. */
import { useEffect, useMemo, useState } from 'preact/hooks'
import type { TemperatureCarpet } from '../../../shared/api/sun.js'
import { dayMonthYear, shortDate } from '../format/local-clock.js'
import { figure, showTemperature, showTemperatureRange, toShown } from '../format/units.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { crops, plantings } from '../state/garden.js'
import { tempUnit } from '../state/preferences.js'
import { readStepInks } from './carpet-inks.js'
import { CarpetPicture, useInks } from './carpet-picture.js'
import type { Rgb } from './carpet-pixels.js'
import {
  limitsOf,
  PLAIN_STEPS,
  stepAt,
  stepsFor,
  type TemperatureStep,
  temperaturePixels,
} from './temperature-steps.js'

type Day = TemperatureCarpet['days'][number]

interface TemperatureCarpetProps {
  readonly carpet: TemperatureCarpet
  readonly bed: string
  readonly bedName: string
}

interface Figures {
  readonly minC: number
  readonly maxC: number
  readonly meanC: number
}

function figuresOf({ meanC }: Day): Figures | null {
  const known = meanC.filter((tempC) => tempC !== null)
  if (known.length === 0) return null
  const sum = known.reduce((total, tempC) => total + tempC, 0)
  return { minC: Math.min(...known), maxC: Math.max(...known), meanC: sum / known.length }
}

/** 'Thu 6 May: 8.1 to 17.9 °C, mean 12.4 °C; 3 hours of heat, 2 of frost.' */
function dayText(day: Day, steps: readonly TemperatureStep[]): string {
  const unit = tempUnit.value
  const found = figuresOf(day)
  if (found === null) return `${shortDate(day.date)}: not measured.`
  const hours = steps.flatMap((step) => {
    const n = day.meanC.filter((tempC) => tempC !== null && stepAt(steps, tempC) === step).length
    return n === 0 ? [] : [`${n} h ${step.words}`]
  })
  return `${shortDate(day.date)}, hours’ means: ${showTemperatureRange(found.minC, found.maxC, unit)}, mean ${showTemperature(found.meanC, unit)}; ${hours.join(', ')}.`
}

function summary({ days }: TemperatureCarpet, bedName: string, steps: readonly TemperatureStep[]): string {
  const hours = days.flatMap(({ meanC }) => meanC.filter((tempC) => tempC !== null))
  if (hours.length === 0) return `${bedName}: no temperature was measured in these days.`
  const parts = steps.flatMap((step) => {
    const part = hours.filter((tempC) => stepAt(steps, tempC) === step).length / hours.length
    return part < 0.005 ? [] : [`${step.words} ${Math.round(part * 100)}\u00a0%`]
  })
  return `Of ${hours.length} measured hours: ${parts.join(', ')}.`
}

/** From where to where a step reaches, in the reader's unit: 'below 0', '4.4 to 12', '27 and more'. */
function reachText(steps: readonly TemperatureStep[], i: number): string {
  const shown = (tempC: number): string => {
    const value = toShown(tempC, '°C', tempUnit.value)
    return figure(value, Number.isInteger(Math.round(value * 10) / 10) ? 0 : 1)
  }
  const from = steps[i]?.fromC ?? null
  const to = steps[i + 1]?.fromC ?? null
  if (from === null) return to === null ? 'any' : `below ${shown(to)}`
  return to === null ? `${shown(from)} and more` : `${shown(from)} to ${shown(to)}`
}

const css = ([r, g, b]: Rgb): string => `rgb(${r} ${g} ${b})`

/** The very colours and textures of the canvas, drawn as strokes. */
function Key({ steps }: { readonly steps: readonly TemperatureStep[] }) {
  const { ground, texture } = useInks(readStepInks)
  const strokes: Readonly<Record<TemperatureStep['ink'], string>> = {
    frost: 'M2 0V12M6 0V12M10 0V12M14 0V12M18 0V12M22 0V12',
    cold: 'M4 0V12M12 0V12M20 0V12',
    cool: '',
    best: '',
    warm: 'M0 3H26M0 9H26',
    hot: 'M0 1.5H26M0 4.5H26M0 7.5H26M0 10.5H26',
  }
  return (
    <ul class="key" aria-label="Key to the temperatures">
      {steps.map(({ ink, words }, i) => (
        <li key={ink}>
          <svg width="26" height="12" aria-hidden="true">
            <rect width="26" height="12" fill={css(ground[ink])} />
            <path d={strokes[ink]} stroke={css(texture[ink])} />
          </svg>
          {words}, {reachText(steps, i)} °{tempUnit.value}
        </li>
      ))}
    </ul>
  )
}

function DaysTable({ days }: { readonly days: readonly Day[] }) {
  const [isOpen, setOpen] = useState(false)
  const unit = tempUnit.value
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Its temperatures as a table</summary>
      {isOpen && (
        <ScrollTable label="Temperatures of the carpet">
          <table>
            <thead>
              <tr>
                <th scope="col">day</th>
                <th scope="col">coolest hour</th>
                <th scope="col">warmest hour</th>
                <th scope="col">mean</th>
              </tr>
            </thead>
            <tbody>
              {[...days].reverse().map((day) => {
                const found = figuresOf(day)
                return (
                  <tr key={day.date}>
                    <th scope="row">{dayMonthYear(day.date)}</th>
                    <td>{found === null ? '–' : showTemperature(found.minC, unit)}</td>
                    <td>{found === null ? '–' : showTemperature(found.maxC, unit)}</td>
                    <td>{found === null ? '–' : showTemperature(found.meanC, unit)}</td>
                  </tr>
                )
              })}
            </tbody>
          </table>
        </ScrollTable>
      )}
    </details>
  )
}

const NO_CROP = ''

export function TemperatureCarpetPicture({ carpet, bed, bedName }: TemperatureCarpetProps) {
  const [crop, setCrop] = useState(NO_CROP)
  useEffect(() => {
    if (crops.state.peek().value === null) void crops.reload()
    if (plantings.state.peek().value === null) void plantings.reload()
  }, [])
  const known = crops.state.value.value ?? []
  const grown = new Set(
    (plantings.state.value.value ?? []).filter((one) => one.bed === bed).map((one) => one.crop),
  )
  const choices = known.filter(({ id }) => grown.has(id))
  const chosen = choices.find(({ id }) => id === crop)
  const steps = useMemo(() => {
    const limits = chosen === undefined ? null : limitsOf(chosen)
    return limits === null ? PLAIN_STEPS : stepsFor(limits)
  }, [chosen])
  const { days } = carpet
  return (
    <div class="carpet">
      <p class="carpet-choice">
        <label>
          by the limits of{' '}
          <select value={crop} onChange={(event) => setCrop(event.currentTarget.value)}>
            <option value={NO_CROP}>no crop</option>
            {choices.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
      </p>
      <CarpetPicture
        days={days}
        label={`Carpet of the air’s warmth on ${bedName}`}
        summary={summary(carpet, bedName, steps)}
        text={(at) => (days[at] === undefined ? '' : dayText(days[at], steps))}
        readInks={readStepInks}
        pixels={(width, height, grain, inks) => temperaturePixels(days, steps, width, height, grain, inks)}
        of={[carpet, steps]}
      />
      <Key steps={steps} />
      <DaysTable days={days} />
    </div>
  )
}
