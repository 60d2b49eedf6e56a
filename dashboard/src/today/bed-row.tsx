/** One bed today: its ribbon, its sun in words, air and soil, and what grows there. */
import type { Bed } from '../../../shared/api/garden.js'
import type { BedToday, LatestValue } from '../../../shared/api/measurements.js'
import { ageInWords } from '../format/durations.js'
import { figure, labelOf, metres, percent, showTemperatureRange, showValue } from '../format/units.js'
import { flagWord } from '../parts/flag-words.js'
import { bedPath } from '../routes.js'
import { timeZone } from '../state/garden.js'
import { clockStyle, tempUnit } from '../state/preferences.js'
import { nowMs } from '../state/present.js'
import { DayRibbon } from '../sun/day-ribbon.js'
import { sunSentence } from '../sun/sun-sentence.js'
import { RibbonTable } from './ribbon-table.js'

/** A latest value older than this is told its age, ms. */
const FRESH_MS = 15 * 60_000
const KIND_WORDS = { raised: 'raised bed', container: 'container', ground: 'open ground' } as const

/** 'raised bed, 2.4 × 1.2 m · spring cabbage, 9 plants' */
function subtitle(bed: Bed | null, row: BedToday): string {
  const parts: string[] = []
  if (bed !== null)
    parts.push(`${KIND_WORDS[bed.kind]}, ${metres(bed.lengthM)}\u00a0×\u00a0${metres(bed.widthM)}\u00a0m`)
  const crops = row.plantings.map((p) => p.cropName)
  if (crops.length > 0) parts.push([...new Set(crops)].join(', '))
  return parts.join(' · ')
}

/** A figure of the moment, with its age once it is not of the moment any more, and its doubts. */
function Latest({ latest }: { readonly latest: LatestValue | undefined }) {
  if (latest === undefined) return <span class="none">no reading yet</span>
  const ageMs = nowMs.value - Date.parse(latest.time)
  return (
    <>
      <span class="figure">{showValue(latest.quantity, latest.unit, latest.value, tempUnit.value)}</span>
      {ageMs > FRESH_MS && <span class="aside"> {ageInWords(ageMs)}</span>}
      {latest.flags.length > 0 && (
        <span class="doubt"> doubtful: {latest.flags.map(flagWord).join('; ')}</span>
      )}
    </>
  )
}

function rangeText(minC: number | null, maxC: number | null, coverage: number): string {
  const range = showTemperatureRange(minC, maxC, tempUnit.value)
  if (range === null) return 'no good readings today'
  return coverage < 0.8 ? `${range} (from ${percent(coverage)} of the day so far)` : range
}

function otherQuantities(row: BedToday): LatestValue[] {
  return row.latest.filter((l) => l.quantity !== 'air-temp' && l.quantity !== 'soil-temp')
}

function Figures({ row }: { readonly row: BedToday }) {
  const of = (quantity: string): LatestValue | undefined => row.latest.find((l) => l.quantity === quantity)
  const { day } = row
  return (
    <table class="figures">
      <caption class="unseen">Figures of the bed now and today</caption>
      <thead class="unseen">
        <tr>
          <th scope="col">what</th>
          <th scope="col">now</th>
          <th scope="col">today</th>
        </tr>
      </thead>
      <tbody>
        <tr>
          <th scope="row">air</th>
          <td>
            <Latest latest={of('air-temp')} />
          </td>
          <td>{rangeText(day.airTempMinC, day.airTempMaxC, day.airCoverage)}</td>
        </tr>
        <tr>
          <th scope="row">soil</th>
          <td>
            <Latest latest={of('soil-temp')} />
          </td>
          <td>{rangeText(day.soilTempMinC, day.soilTempMaxC, day.soilCoverage)}</td>
        </tr>
        {otherQuantities(row).map((latest) => (
          <tr key={latest.quantity}>
            <th scope="row">{labelOf(latest.quantity)}</th>
            <td>
              <Latest latest={latest} />
            </td>
            <td>
              {latest.quantity === 'light' && day.dliMolM2 !== null
                ? `${figure(day.dliMolM2, 1)} mol/m² of growing light`
                : ''}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function Plantings({ row }: { readonly row: BedToday }) {
  if (row.plantings.length === 0) return null
  return (
    <ul class="plantings">
      {row.plantings.map((p) => (
        <li key={p.id}>
          {p.cropName}
          {p.variety !== null && ` ‘${p.variety}’`}, {p.plants} {p.plants === 1 ? 'plant' : 'plants'}:{' '}
          <em>{p.stageName}</em>
        </li>
      ))}
    </ul>
  )
}

interface BedRowProps {
  readonly row: BedToday
  readonly bed: Bed | null
}

export function BedRow({ row, bed }: BedRowProps) {
  const name = bed?.name ?? row.bed
  const sentence = sunSentence(row.sun, nowMs.value, timeZone.value, clockStyle.value)
  return (
    <article class="bed-row" data-bed={row.bed}>
      <div class="bed-name">
        <h2>
          <a href={bedPath(row.bed)}>{name}</a>
        </h2>
        <p class="sub">{subtitle(bed, row)}</p>
      </div>
      <div class="bed-day">
        <DayRibbon sun={row.sun} nowMs={nowMs.value} timeZone={timeZone.value} bedName={name} />
        <p class="say">
          <b>{sentence.lead}</b>
          {sentence.rest}
        </p>
        <Figures row={row} />
        <Plantings row={row} />
        <RibbonTable sun={row.sun} bedName={name} />
      </div>
    </article>
  )
}
