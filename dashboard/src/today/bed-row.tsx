/** One bed today: its ribbon, its sun in words, air and soil, and what grows there. */
import type { Bed } from '../../../shared/api/garden.js'
import type { BedToday, LatestValue } from '../../../shared/api/measurements.js'
import { ageInWords } from '../format/durations.js'
import { bedSizeText } from '../format/lengths.js'
import { clockTime } from '../format/local-clock.js'
import { figure, labelOf, percent, showTemperatureRange, showValue } from '../format/units.js'
import { stepPath } from '../front-door/steps.js'
import { plantingFormPath } from '../garden/planting-prefill.js'
import { flagWord } from '../parts/flag-words.js'
import { bedPath, plantingPath } from '../routes.js'
import { mayChange } from '../state/access.js'
import { timeZone } from '../state/garden.js'
import { clockStyle, lengthUnit, tempUnit } from '../state/preferences.js'
import { nowMs } from '../state/present.js'
import { DayRibbon } from '../sun/day-ribbon.js'
import { sunSentence } from '../sun/sun-sentence.js'
import { lostToday } from './lost-sun.js'
import { RibbonTable } from './ribbon-table.js'

/** A latest value older than this is told its age, ms. */
const FRESH_MS = 15 * 60_000
/** Of the node's health, not of the bed's: told on the Nodes page. */
const OF_THE_NODE = new Set(['battery', 'signal'])
const KIND_WORDS = { raised: 'raised bed', container: 'container', ground: 'open ground' } as const

/** 'raised bed, 2.4 × 1.2 m' */
function subtitle(bed: Bed | null): string {
  if (bed === null) return ''
  return `${KIND_WORDS[bed.kind]}, ${bedSizeText(bed, lengthUnit.value)}`
}

interface LatestProps {
  readonly latest: LatestValue | undefined
  /** the newest of the bed's values; one much older than it says so itself */
  readonly newestMs: number
}

/** A figure of the moment, with its age where it lags behind the others. */
function Latest({ latest, newestMs }: LatestProps) {
  if (latest === undefined) return <span class="none">no reading yet</span>
  const timeMs = Date.parse(latest.time)
  return (
    <>
      {latest.flags.includes('ceiling') && 'at least '}
      <span class="figure">{showValue(latest.quantity, latest.unit, latest.value, tempUnit.value)}</span>
      {newestMs - timeMs > FRESH_MS && <span class="aside"> {ageInWords(nowMs.value - timeMs)}</span>}
    </>
  )
}

/** What is odd about the newest readings, beneath the table: inside it, it would push the figures about. */
function Doubts({ row }: { readonly row: BedToday }) {
  const doubtful = row.latest.filter((l) => l.flags.some((flag) => flag !== 'ceiling'))
  return (
    <>
      {doubtful.map((l) => (
        <p key={l.quantity} class="doubt">
          The newest {labelOf(l.quantity)} is doubtful: {l.flags.map(flagWord).join('; ')}.
        </p>
      ))}
    </>
  )
}

function rangeText(minC: number | null, maxC: number | null, coverage: number): string {
  const range = showTemperatureRange(minC, maxC, tempUnit.value)
  if (range === null) return 'no good readings today'
  return coverage < 0.8 ? `${range} (from ${percent(coverage)} of the day so far)` : range
}

interface FigureRow {
  readonly label: string
  readonly latest: LatestValue | undefined
  readonly today: string
}

function figureRows(row: BedToday): FigureRow[] {
  const of = (quantity: string): LatestValue | undefined => row.latest.find((l) => l.quantity === quantity)
  const { day } = row
  const others = row.latest.filter(
    (l) => !['air-temp', 'soil-temp'].includes(l.quantity) && !OF_THE_NODE.has(l.quantity),
  )
  return [
    {
      label: 'air',
      latest: of('air-temp'),
      today: rangeText(day.airTempMinC, day.airTempMaxC, day.airCoverage),
    },
    {
      label: 'soil',
      latest: of('soil-temp'),
      today: rangeText(day.soilTempMinC, day.soilTempMaxC, day.soilCoverage),
    },
    ...others.map((latest) => ({
      label: labelOf(latest.quantity),
      latest,
      today:
        latest.quantity === 'light' && day.dliMolM2 !== null ? `${figure(day.dliMolM2, 1)}\u00a0mol/m²` : '',
    })),
  ]
}

function Figures({ row }: { readonly row: BedToday }) {
  const newestMs = Math.max(...row.latest.map((l) => Date.parse(l.time)))
  const ageMs = nowMs.value - newestMs
  return (
    <>
      <table class="figures">
        <caption class="unseen">Figures of the bed now and today</caption>
        <thead>
          <tr>
            <td />
            <th scope="col">{row.latest.length > 0 && ageMs > FRESH_MS ? 'last' : 'now'}</th>
            <th scope="col">today</th>
          </tr>
        </thead>
        <tbody>
          {figureRows(row).map(({ label, latest, today }) => (
            <tr key={label}>
              <th scope="row">{label}</th>
              <td>
                <Latest latest={latest} newestMs={newestMs} />
              </td>
              <td>{today}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {row.latest.length > 0 && ageMs > FRESH_MS && (
        <p class="aside">
          The last readings came at {clockTime(newestMs, timeZone.value, clockStyle.value)},{' '}
          {ageInWords(ageMs)}.
        </p>
      )}
    </>
  )
}

function Plantings({ row, name }: { readonly row: BedToday; readonly name: string }) {
  if (row.plantings.length === 0)
    return mayChange.value ? (
      <p class="aside">
        Nothing grows here that the almanac knows of.{' '}
        <a href={plantingFormPath({ bed: row.bed })}>
          Add a planting<span class="unseen"> to {name}</span>
        </a>
      </p>
    ) : null
  return (
    <ul class="plantings">
      {row.plantings.map((p) => (
        <li key={p.id}>
          <a href={plantingPath(p.id)}>
            {p.cropName}
            {p.variety !== null && ` ‘${p.variety}’`}
          </a>
          , {p.plants} {p.plants === 1 ? 'plant' : 'plants'}: <em>{p.stageName}</em>
        </li>
      ))}
    </ul>
  )
}

/** A bed that nothing has been measured in says what it takes. */
function NoReadings({ row, name }: { readonly row: BedToday; readonly name: string }) {
  if (row.latest.length > 0 || !mayChange.value) return null
  return (
    <p class="aside">
      Nothing has been measured here yet: no node has stood in this bed, or it has not sent.{' '}
      <a href={stepPath('node')}>
        Add a node<span class="unseen"> for {name}</span>
      </a>
      , or{' '}
      <a href="/garden">
        place one that is there already<span class="unseen"> in {name}</span>
      </a>
      .
    </p>
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
        <p class="sub">{subtitle(bed)}</p>
      </div>
      <div class="bed-day">
        <DayRibbon
          sun={row.sun}
          nowMs={nowMs.value}
          timeZone={timeZone.value}
          bedName={name}
          lost={lostToday.value.beds.get(row.bed) ?? []}
        />
        <p class="say">
          <b>{sentence.lead}</b>
          {sentence.rest}
        </p>
        <Figures row={row} />
        <Doubts row={row} />
        <NoReadings row={row} name={name} />
        <Plantings row={row} name={name} />
        <RibbonTable sun={row.sun} bedName={name} />
      </div>
    </article>
  )
}
